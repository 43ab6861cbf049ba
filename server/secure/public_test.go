package secure

import (
	"crypto/tls"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestPlainHTTPLeadsToAPublicNameAndNowhereElse(t *testing.T) {
	way, err := Public([]string{"beds.example", "www.beds.example"}, t.TempDir(), Authority, nil)
	if err != nil {
		t.Fatal(err)
	}
	for host, want := range map[string]string{
		"beds.example": "https://beds.example/pair/K7Q2?x=1", "www.beds.example:80": "https://www.beds.example/pair/K7Q2?x=1",
		"203.0.113.9": "https://beds.example/pair/K7Q2?x=1", "evil.example": "https://beds.example/pair/K7Q2?x=1",
	} {
		r := httptest.NewRequest(http.MethodGet, "/pair/K7Q2?x=1", nil)
		r.Host = host
		w := httptest.NewRecorder()
		way.Plain.ServeHTTP(w, r)
		if got := w.Header().Get("Location"); got != want || w.Code != http.StatusTemporaryRedirect {
			t.Errorf("%s leads with %d to %s, want %s", host, w.Code, got, want)
		}
	}
}

func TestNoCertificateIsAskedForUnderANameThatIsNotOurs(t *testing.T) {
	asked := 0
	authority := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked++ }))
	defer authority.Close()
	way, err := Public([]string{"beds.example"}, t.TempDir(), authority.URL, authority.Client())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := way.TLS.GetCertificate(helloFrom("evil.example")); err == nil || asked > 0 {
		t.Errorf("got %v after %d requests", err, asked)
	}
	if _, err := way.TLS.GetCertificate(helloFrom("beds.example")); err == nil || asked == 0 {
		t.Errorf("our own name gave %v after %d requests; it should have been asked for", err, asked)
	}
}

func TestAPublicNameIsANameAlone(t *testing.T) {
	for _, name := range []string{"https://beds.example", "beds.example:443", "packshed", "beds.example/x", ""} {
		if _, err := Public([]string{name}, t.TempDir(), Authority, nil); err == nil || !strings.Contains(err.Error(), "beds.example") {
			t.Errorf("%q gave %v", name, err)
		}
	}
}

func helloFrom(name string) *tls.ClientHelloInfo {
	return &tls.ClientHelloInfo{ServerName: name, SupportedVersions: []uint16{tls.VersionTLS13}}
}
