package secure

import (
	"crypto/tls"
	"fmt"
	"os"
	"sync"
	"time"
)

// Files serves HTTPS with a certificate and its key from PEM files that another program renews.
func Files(cert, key string) (*TLSMode, error) {
	k, err := watch(cert, key)
	if err != nil {
		return nil, err
	}
	return &TLSMode{TLS: withCertificate(k.get), Note: k.notNow(time.Now())}, nil
}

// notNow says what is wrong with the time of the certificate, "" for nothing. It is served all the same: a renewed one is taken up without
// a new start.
func (k *keys) notNow(now time.Time) string {
	leaf := k.current.Leaf
	switch {
	case now.After(leaf.NotAfter):
		return fmt.Sprintf("The certificate %s expired on %s, so no phone will connect: renew it (the server takes up the new file by itself), or set this machine's clock if that is wrong.",
			k.cert, leaf.NotAfter.Format(time.DateOnly))
	case now.Before(leaf.NotBefore):
		return fmt.Sprintf("The certificate %s is not good before %s, so no phone will connect: set this machine's clock; if it is right, wait until then.",
			k.cert, leaf.NotBefore.Format(time.DateTime))
	}
	return ""
}

func watch(cert, key string) (*keys, error) {
	k := &keys{cert: cert, key: key}
	_, err := k.get(nil)
	return k, err
}

// keys holds a certificate that is read again when its file changes, because certificates are renewed by other
// programs while the server runs.
type keys struct {
	cert, key string
	mu        sync.Mutex
	looked    time.Time
	changed   time.Time
	current   *tls.Certificate
}

// lookAgain is how often the file is checked.
const lookAgain = time.Minute

func (k *keys) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.current != nil && time.Since(k.looked) < lookAgain {
		return k.current, nil
	}
	k.looked = time.Now()
	info, err := os.Stat(k.cert)
	if err == nil && k.current != nil && info.ModTime().Equal(k.changed) {
		return k.current, nil
	}
	fresh, loadErr := tls.LoadX509KeyPair(k.cert, k.key)
	if err != nil || loadErr != nil {
		if k.current != nil {
			// A renewal may be half written; the old certificate is served until the new one is complete.
			return k.current, nil
		}
		return nil, fmt.Errorf("read the certificate %s with the key %s: %w; name both files in PEM form", k.cert, k.key, loadErr)
	}
	k.current, k.changed = &fresh, info.ModTime()
	return k.current, nil
}
