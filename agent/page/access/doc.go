// Package access says who may read the local page and who may change anything by it.
// It knows nothing of the greenhouse: it wraps an http.Handler and serves it.
//
// Reading is open on the machine itself (both ends of the connection on loopback, by a
// loopback name, not handed on by a proxy that says so); from elsewhere it needs the
// password unless the grower opened it. Changing always needs the password, from a page
// of this server itself, with a form or JSON.
//
// There is one password. Its hash (argon2id) is the file "password" in the state folder;
// whoever reads that file can try passwords at leisure, and whoever writes it owns the
// page. While there is none, a link that works once is what sets it; the daemon prints
// it, and so proves that who uses it sits at the machine.
//
// Sessions live in memory alone, by the hash of a random cookie: a new start ends them all.
//
// What this cannot do: without TLS the password and the cookie cross the network in the
// clear. A browser sends the cookie to every port of this host. Behind a proxy that speaks
// TLS the cookie is not marked Secure, and all who come by it count as one address. A proxy
// on the same machine that sends a loopback name as Host and adds no header of its own
// cannot be told from the grower's browser; for it, Reading is Closed.
// None of this is a safeguard of hot liquid: rules and hardware are.
package access
