package access

import "net/http"

// policy is the content security policy: scripts, styles and streams from this server's own
// files alone, nothing inline, no frames, forms to ourselves (W3C Content Security Policy
// Level 3). Pictures may also stand in the text (data:), where they can do nothing.
func policy(reports string) string {
	p := "default-src 'none'; img-src 'self' data:; style-src 'self'; script-src 'self'; connect-src 'self'; manifest-src 'self'; " +
		"form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
	if reports != "" {
		p += "; report-uri " + reports
	}
	return p
}

// unused are what a browser could do for the page and never needs to.
const unused = "accelerometer=(), camera=(), display-capture=(), geolocation=(), gyroscope=(), magnetometer=(), microphone=(), midi=(), payment=(), usb=()"

// head sets the headers of an answer. The referrer policy tells nobody else anything, and is
// not no-referrer, under which a browser calls our own forms' origin "null" (W3C Fetch,
// "append a request Origin header"): without TLS nothing else would tell them from another
// page's, because a browser sends Sec-Fetch-Site to trustworthy addresses alone. Strict-Transport-Security is left out: a grower's own
// certificate that ran out would shut the grower out, with no way past the browser.
func (k *Keeper) head(h http.Header) {
	h.Set("Content-Security-Policy", k.policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY") // browsers older than frame-ancestors
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", unused)
	h.Set("Cache-Control", "no-store")
	h.Set("Vary", "Cookie")
}
