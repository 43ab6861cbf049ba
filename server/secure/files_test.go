package secure

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// certificate writes a self-signed certificate with a serial number, and its key.
func certificate(t *testing.T, dir string, serial int64) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := x509.Certificate{SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: "beds.test"}, NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, &template, &template, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := x509.MarshalECPrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	if err := errors.Join(
		os.WriteFile(cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600),
		os.WriteFile(key, pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: raw}), 0o600),
	); err != nil {
		t.Fatal(err)
	}
	return cert, key
}

func TestARenewedCertificateIsTakenUpAndAHalfWrittenOneIsNot(t *testing.T) {
	dir := t.TempDir()
	cert, key := certificate(t, dir, 1)
	k, err := watch(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	serial := func() int64 {
		t.Helper()
		// A minute later.
		k.looked = time.Time{}
		c, err := k.get(nil)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := x509.ParseCertificate(c.Certificate[0])
		if err != nil {
			t.Fatal(err)
		}
		return leaf.SerialNumber.Int64()
	}
	age := func(file string) {
		t.Helper()
		if err := os.Chtimes(file, time.Time{}, time.Now().Add(time.Duration(len(file))*time.Minute)); err != nil {
			t.Fatal(err)
		}
	}
	if got := serial(); got != 1 {
		t.Fatalf("serves certificate %d", got)
	}
	if err := os.WriteFile(cert, []byte("-----BEGIN"), 0o600); err != nil {
		t.Fatal(err)
	}
	age(cert)
	if got := serial(); got != 1 {
		t.Fatalf("half a renewal: serves certificate %d", got)
	}
	certificate(t, dir, 2)
	if got := serial(); got != 2 {
		t.Fatalf("after the renewal: serves certificate %d", got)
	}
}

func TestACertificateOfAnotherTimeIsNamedAtTheTerminalAndServed(t *testing.T) {
	cert, key := certificate(t, t.TempDir(), 7)
	way, err := Files(cert, key)
	if err != nil || way.Note != "" {
		t.Fatalf("a good one: %q, %v", way.Note, err)
	}
	k, err := watch(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	leaf := k.current.Leaf
	for _, c := range []struct {
		now  time.Time
		says string
	}{
		{leaf.NotAfter, ""}, {leaf.NotAfter.Add(time.Second), "expired on"}, {leaf.NotBefore, ""}, {leaf.NotBefore.Add(-time.Second), "is not good before"},
	} {
		if note := k.notNow(c.now); c.says == "" && note != "" || !strings.Contains(note, c.says) || note != "" && !strings.Contains(note, "clock") {
			t.Errorf("at %s: %q", c.now, note)
		}
	}
}
