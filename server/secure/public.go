package secure

import (
	"crypto/tls"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// Authority is the ACME directory (RFC 8555) that certificates for a public name come from, unless another is named.
const Authority = acme.LetsEncryptURL

// Public serves HTTPS for names that the whole world can reach at ports 443 and 80: the certificate is requested at the
// first visit, kept in the folder, and renewed 30 days before it ends. Requesting it accepts the authority's terms.
// client may be nil; it is for authorities that the system does not trust, as in a test.
func Public(names []string, folder, authority string, client *http.Client) (*TLSMode, error) {
	for _, name := range names {
		if !strings.Contains(name, ".") || strings.ContainsAny(name, ":/ ") {
			return nil, fmt.Errorf("%q is not a public name; write it like beds.example, without https:// and port", name)
		}
	}
	m := &autocert.Manager{
		Prompt: autocert.AcceptTOS, Cache: autocert.DirCache(folder), HostPolicy: autocert.HostWhitelist(names...),
		Client: &acme.Client{DirectoryURL: authority, HTTPClient: client, UserAgent: "bedwalk"},
	}
	way := &TLSMode{TLS: m.TLSConfig(), Plain: m.HTTPHandler(redirect(names))}
	way.TLS.MinVersion = tls.VersionTLS12
	return way, nil
}

// redirect sends a request by plain http to the same page by HTTPS, under a name that has a certificate.
func redirect(names []string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host, _, err := net.SplitHostPort(r.Host)
		if err != nil {
			host = r.Host
		}
		if !slices.Contains(names, strings.ToLower(host)) {
			host = names[0]
		}
		http.Redirect(w, r, "https://"+host+r.URL.RequestURI(), http.StatusTemporaryRedirect)
	})
}
