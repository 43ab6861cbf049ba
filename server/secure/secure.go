// Package secure serves HTTPS, without which a browser gives a phone neither lasting storage nor offline use. There are
// three modes, for three kinds of nursery: a certificate for a public name, fetched and renewed automatically (Public),
// one made here for a network without a public name (Office), and one that another program keeps in files (Files).
package secure

import (
	"crypto/tls"
	"net/http"
)

// TLSMode is one way of serving HTTPS.
type TLSMode struct {
	// TLS has the certificate; it is renewed while the server runs.
	TLS *tls.Config
	// Plain answers browsers that come by plain http, at a second port. It is nil when nothing needs to listen there.
	Plain http.Handler
	// Note is for the terminal: what the person who sets up the phones has to know. It may be empty.
	Note string

	wrap func(http.Handler) http.Handler
}

// Around wraps the app with what the mode itself answers by HTTPS.
func (w *TLSMode) Around(app http.Handler) http.Handler {
	if w.wrap == nil {
		return app
	}
	return w.wrap(app)
}

func withCertificate(get func(*tls.ClientHelloInfo) (*tls.Certificate, error)) *tls.Config {
	return &tls.Config{GetCertificate: get, MinVersion: tls.VersionTLS12}
}
