// Package secure is how phones reach the server by HTTPS, without which a browser gives them neither storage worth the
// name nor working offline. There are three ways, for three kinds of nursery: a certificate for a public name that is
// got and renewed by itself (Public), one made here for a network without a name (Office), and one that somebody else
// keeps in files (Files).
package secure

import (
	"crypto/tls"
	"net/http"
)

// TLSMode is one way to HTTPS.
type TLSMode struct {
	// TLS has the certificate; it is renewed while the server runs.
	TLS *tls.Config
	// Plain answers browsers that come by plain http at a port beside. It is nil when nothing needs to listen there.
	Plain http.Handler
	// Note is for the terminal: what whoever sets up the phones has to know. It may be empty.
	Note string

	wrap func(http.Handler) http.Handler
}

// Around is the app with what the way itself has to answer by HTTPS.
func (w *TLSMode) Around(app http.Handler) http.Handler {
	if w.wrap == nil {
		return app
	}
	return w.wrap(app)
}

func withCertificate(get func(*tls.ClientHelloInfo) (*tls.Certificate, error)) *tls.Config {
	return &tls.Config{GetCertificate: get, MinVersion: tls.VersionTLS12}
}
