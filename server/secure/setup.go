package secure

import (
	"bytes"
	"crypto/x509"
	"embed"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"slices"
	"strings"
)

//go:embed page
var files embed.FS

// page leads a phone that does not trust the office yet to HTTPS, in plain HTML: the app itself must not be
// opened by plain http, or the phone would keep notes under an address that cannot work offline.
var page = template.Must(template.ParseFS(files, "page/setup.html"))

// trustedPath is asked by the page over HTTPS: any answer says that this phone trusts the office.
const trustedPath = "/office/trusted"

// certificatePath is where phones fetch the authority's certificate; Android goes by the ending.
const certificatePath = "/bedwalk-office.crt"

type setup struct {
	authority *x509.Certificate
	port      int
}

// plain answers everything by plain http: the page at every address, and the files it needs.
func (s *setup) plain() http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET "+certificatePath, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/x-x509-ca-cert")
		w.Header().Set("Content-Disposition", `attachment; filename="bedwalk-office.crt"`)
		_, _ = w.Write(s.authority.Raw)
	})
	for _, name := range []string{"setup.js", "setup.css"} {
		m.HandleFunc("GET /office/"+name, func(w http.ResponseWriter, r *http.Request) {
			http.ServeFileFS(w, r, files, "page/"+name)
		})
	}
	m.HandleFunc("GET /", s.show)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", fmt.Sprintf("default-src 'none'; style-src 'self'; script-src 'self'; connect-src %s; base-uri 'none'; form-action 'none'; frame-ancestors 'none'", s.home(r)))
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		m.ServeHTTP(w, r)
	})
}

func (s *setup) show(w http.ResponseWriter, r *http.Request) {
	language := languageOf(r)
	other := map[string]string{"en": "es", "es": "en"}[language]
	var out bytes.Buffer
	err := page.Execute(&out, map[string]any{
		"Language": language, "Other": other, "T": setupWords[language], "OtherName": setupWords[other].Name,
		"Certificate": certificatePath, "Fingerprint": inLines(Fingerprint(s.authority)),
		// The page leads on to the address that was asked for, a pairing link above all.
		"Home": s.home(r) + r.URL.EscapedPath(), "Check": s.home(r) + trustedPath, "Here": r.URL.EscapedPath(),
	})
	if err != nil {
		http.Error(w, "The page could not be built. Reload it.", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(out.Bytes())
}

// inLines breaks a fingerprint into four parts, which can be compared line by line.
func inLines(print string) (lines []string) {
	pairs := strings.Split(print, ":")
	for part := range slices.Chunk(pairs, (len(pairs)+3)/4) {
		lines = append(lines, strings.Join(part, ":"))
	}
	return lines
}

// home is the HTTPS origin under the name or address by which the visitor came.
func (s *setup) home(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = strings.Trim(r.Host, "[]")
	}
	if !plainName(host) {
		host = "localhost"
	}
	return "https://" + strings.TrimSuffix(net.JoinHostPort(host, fmt.Sprint(s.port)), ":443")
}

// plainName is true for a name that is safe in an address and in a content security policy as it is.
func plainName(host string) bool {
	return host != "" && strings.IndexFunc(host, func(c rune) bool {
		return (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '.' && c != '-' && c != ':'
	}) < 0
}

// around lets the page, which has another origin, ask by HTTPS whether the phone trusts the office.
func (s *setup) around(app http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != trustedPath {
			app.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Access-Control-Allow-Origin", "*")
		w.WriteHeader(http.StatusNoContent)
	})
}

// languageOf returns the language chosen on the page, else the first that the browser asks for and that we have.
func languageOf(r *http.Request) string {
	wanted := append([]string{r.URL.Query().Get("language")}, strings.Split(r.Header.Get("Accept-Language"), ",")...)
	for _, one := range wanted {
		short, _, _ := strings.Cut(strings.TrimSpace(one), "-")
		short, _, _ = strings.Cut(short, ";")
		if _, ok := setupWords[short]; ok {
			return short
		}
	}
	return "en"
}
