package access

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
)

// A page from elsewhere can give its own name our address and then read from us as from
// itself ("DNS rebinding"). The browser still sends that name as Host; so only names are
// answered that are known to be ours. Addresses need no name server and cannot be turned.

// ourHost says whether a request was meant for us: by an address that it reached, by a
// loopback name where it came by loopback, or by a name of the grower's.
func (k *Keeper) ourHost(r *http.Request) bool {
	host, ok := hostOf(r.Host)
	if !ok {
		return false
	}
	if k.names[host] {
		return true
	}
	here := local(r)
	if loopbackName(host) {
		return here.IsLoopback()
	}
	a, err := netip.ParseAddr(host)
	return err == nil && here.IsValid() && a.Unmap() == here
}

// near says whether a request comes from this machine and was handed on by nobody who says
// so: both ends on loopback, and meant for loopback.
func near(r *http.Request) bool {
	host, ok := hostOf(r.Host)
	if !ok || !loopbackName(host) || !local(r).IsLoopback() || !peer(r).IsLoopback() {
		return false
	}
	for _, h := range handedOn {
		if len(r.Header.Values(h)) > 0 {
			return false
		}
	}
	return true
}

// handedOn are headers of proxies (RFC 7239; RFC 9110, section 7.6.3; the others by custom).
var handedOn = []string{"Forwarded", "Via", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip"}

// loopbackName says whether a host is this machine as it calls itself
// (RFC 6761, section 6.3; RFC 1122, section 3.2.1.3; RFC 4291, section 2.5.3).
func loopbackName(host string) bool {
	a, err := netip.ParseAddr(host)
	return host == "localhost" || (err == nil && a.Unmap().IsLoopback())
}

// local is the address that a request reached; the zero Addr where that is not known.
func local(r *http.Request) netip.Addr {
	a, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr)
	if !ok {
		return netip.Addr{}
	}
	return a.AddrPort().Addr().Unmap().WithZone("")
}

// hostOf is a Host header's name or address: small letters, without port, brackets or a dot
// at the end. What does not look like one is refused.
func hostOf(header string) (string, bool) {
	host, port := header, ""
	if i := strings.LastIndexByte(header, ':'); i >= 0 && !strings.HasSuffix(header, "]") {
		host, port = header[:i], header[i+1:]
		if _, err := strconv.ParseUint(port, 10, 16); err != nil {
			return "", false
		}
	}
	if inside, ok := strings.CutPrefix(host, "["); ok {
		inside, ok = strings.CutSuffix(inside, "]")
		a, err := netip.ParseAddr(inside)
		return a.String(), ok && err == nil && a.Is6() && a.Zone() == ""
	}
	host = strings.ToLower(strings.TrimSuffix(host, "."))
	return host, plainName(host)
}

// plainName says whether a host is letters, digits, dots, hyphens and underscores.
func plainName(host string) bool {
	for _, c := range []byte(host) {
		if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyz0123456789.-_", rune(c)) {
			return false
		}
	}
	return host != "" && len(host) <= 253 // RFC 1035, section 2.3.4, less the dot at the end
}

// hostNames reads Options.Names. An IPv6 address may stand without brackets.
func hostNames(list []string) (map[string]bool, error) {
	names := make(map[string]bool, len(list))
	for _, name := range list {
		if a, err := netip.ParseAddr(name); err == nil && a.Zone() == "" {
			names[a.Unmap().String()] = true
			continue
		}
		host, ok := hostOf(name)
		if !ok || strings.ContainsAny(name, ":[") {
			return nil, fmt.Errorf("%q is no name or address of a host", name)
		}
		names[host] = true
	}
	return names, nil
}
