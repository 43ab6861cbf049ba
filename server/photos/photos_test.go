package photos_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"testing"
	"time"

	"bedwalk/server/photos"
)

func picture(size int) (raw []byte, hash string) {
	raw = append([]byte("\xff\xd8\xff\xe0"), bytes.Repeat([]byte("leaf"), size)...)
	sum := sha256.Sum256(raw)
	return raw, hex.EncodeToString(sum[:])
}

func open(t *testing.T) *photos.Store {
	t.Helper()
	s, err := photos.Open(t.TempDir(), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

type cut struct{ r io.Reader }

func (c cut) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	if errors.Is(err, io.EOF) {
		err = io.ErrUnexpectedEOF
	}
	return n, err
}

func TestAPictureCutAtAnyByteGoesOnWhereItWasCut(t *testing.T) {
	raw, hash := picture(10)
	for at := range len(raw) {
		s := open(t)
		if _, err := s.Begin(hash, int64(len(raw))); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Append(hash, 0, cut{bytes.NewReader(raw[:at])}); !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Fatalf("cut at %d: got %v", at, err)
		}
		offset, length, err := s.State(hash)
		if err != nil || offset != int64(at) || length != int64(len(raw)) {
			t.Fatalf("cut at %d: the store is at %d of %d (%v)", at, offset, length, err)
		}
		if again, err := s.Begin(hash, length); err != nil || again != offset {
			t.Fatalf("cut at %d: begun again at %d (%v)", at, again, err)
		}
		if _, err := s.Append(hash, offset, bytes.NewReader(raw[at:])); err != nil {
			t.Fatalf("cut at %d: %v", at, err)
		}
		f, kind, err := s.Get(hash)
		if err != nil || kind != "image/jpeg" {
			t.Fatalf("cut at %d: got %q, %v", at, kind, err)
		}
		if got, _ := io.ReadAll(f); !bytes.Equal(got, raw) {
			t.Fatalf("cut at %d: other bytes came back", at)
		}
		f.Close()
	}
}

func TestWhatIsNotAsPromisedIsRefusedWithItsReason(t *testing.T) {
	raw, hash := picture(10)
	length := int64(len(raw))
	text := []byte("no picture at all, only words, as long as it takes")
	sum := sha256.Sum256(text)
	textHash := hex.EncodeToString(sum[:])
	for _, one := range []struct {
		name string
		do   func(*photos.Store) error
		want error
	}{
		{"a name that is no hash", func(s *photos.Store) error { _, err := s.Begin("../../etc/passwd", 5); return err }, photos.ErrName},
		{"a picture of 21 MB", func(s *photos.Store) error { _, err := s.Begin(hash, 21_000_000); return err }, photos.ErrTooLong},
		{"a picture of no bytes", func(s *photos.Store) error { _, err := s.Begin(hash, 0); return err }, photos.ErrTooLong},
		{"a part before its picture", func(s *photos.Store) error { _, err := s.Append(hash, 0, bytes.NewReader(raw)); return err }, photos.ErrAbsent},
		{"a picture that nobody sent", func(s *photos.Store) error { _, _, err := s.Get(hash); return err }, photos.ErrAbsent},
		{"a part at the wrong place", func(s *photos.Store) error {
			s.Begin(hash, length)
			_, err := s.Append(hash, 3, bytes.NewReader(raw))
			return err
		}, photos.ErrOffset},
		{"a part past the end", func(s *photos.Store) error {
			s.Begin(hash, length)
			_, err := s.Append(hash, 0, bytes.NewReader(append(raw, 'x')))
			return err
		}, photos.ErrHash},
		{"other bytes", func(s *photos.Store) error {
			s.Begin(hash, length)
			_, err := s.Append(hash, 0, bytes.NewReader(bytes.Repeat([]byte("x"), len(raw))))
			return err
		}, photos.ErrHash},
		{"bytes that are no picture", func(s *photos.Store) error {
			s.Begin(textHash, int64(len(text)))
			_, err := s.Append(textHash, 0, bytes.NewReader(text))
			return err
		}, photos.ErrType},
	} {
		t.Run(one.name, func(t *testing.T) {
			if err := one.do(open(t)); !errors.Is(err, one.want) {
				t.Fatalf("got %v, want %v", err, one.want)
			}
		})
	}
}

func TestAPictureWithWrongBytesCanBeSentAgain(t *testing.T) {
	raw, hash := picture(10)
	s := open(t)
	s.Begin(hash, int64(len(raw)))
	s.Append(hash, 0, bytes.NewReader(bytes.Repeat([]byte("x"), len(raw))))
	if offset, err := s.Begin(hash, int64(len(raw))); err != nil || offset != 0 {
		t.Fatalf("begun again at %d (%v), want 0", offset, err)
	}
	if _, err := s.Append(hash, 0, bytes.NewReader(raw)); err != nil {
		t.Fatal(err)
	}
}

func TestTheSamePictureTwiceIsThereAlready(t *testing.T) {
	raw, hash := picture(10)
	s := open(t)
	s.Begin(hash, int64(len(raw)))
	s.Append(hash, 0, bytes.NewReader(raw))
	if offset, err := s.Begin(hash, int64(len(raw))); err != nil || offset != int64(len(raw)) {
		t.Fatalf("begun at %d (%v), want all of it", offset, err)
	}
}

// stalled gives the first bytes of a part and then nothing, until it is let go.
type stalled struct {
	first   io.Reader
	waiting chan struct{}
	letGo   chan struct{}
}

func (s *stalled) Read(p []byte) (int, error) {
	if n, err := s.first.Read(p); err == nil {
		return n, nil
	}
	close(s.waiting)
	<-s.letGo
	return 0, io.ErrUnexpectedEOF
}

func TestAStalledUploadDoesNotLockItsPictureForOthers(t *testing.T) {
	raw, hash := picture(1000)
	s := open(t)
	length := int64(len(raw))
	if _, err := s.Begin(hash, length); err != nil {
		t.Fatal(err)
	}
	slow := &stalled{bytes.NewReader(raw[:100]), make(chan struct{}), make(chan struct{})}
	ended := make(chan error)
	go func() {
		_, err := s.Append(hash, 0, slow)
		ended <- err
	}()
	<-slow.waiting
	offset, err := s.Begin(hash, length)
	if err != nil {
		t.Fatal(err)
	}
	if next, err := s.Append(hash, offset, bytes.NewReader(raw[offset:])); err != nil || next != length {
		t.Fatalf("another sender got to %d: %v", next, err)
	}
	close(slow.letGo)
	if err := <-ended; err == nil {
		t.Fatal("the stalled upload was told that all is well")
	}
	f, _, err := s.Get(hash)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, err := io.ReadAll(f); err != nil || !bytes.Equal(got, raw) {
		t.Fatalf("%d other bytes came back, %v", len(got), err)
	}
}

func TestUploadsThatWereGivenUpAreSweptAfterAWeekAndNoOthers(t *testing.T) {
	clock := time.Now()
	dir := t.TempDir()
	s, err := photos.Open(dir, func() time.Time { return clock })
	if err != nil {
		t.Fatal(err)
	}
	raw, hash := picture(1000)
	done, whole := picture(10)
	s.Begin(whole, int64(len(done)))
	s.Append(whole, 0, bytes.NewReader(done))
	s.Begin(hash, int64(len(raw)))
	s.Append(hash, 0, cut{bytes.NewReader(raw[:500])})
	for _, one := range []struct {
		age   time.Duration
		swept int
	}{{photos.PartLife - time.Hour, 0}, {photos.PartLife + time.Hour, 1}, {10 * photos.PartLife, 0}} {
		clock = time.Now().Add(one.age)
		if swept, err := s.Sweep(); err != nil || swept != one.swept {
			t.Fatalf("after %s %d were swept, %v", one.age, swept, err)
		}
	}
	if _, _, err := s.State(hash); !errors.Is(err, photos.ErrAbsent) {
		t.Fatalf("what was given up is still there: %v", err)
	}
	left, err := os.ReadDir(dir + "/parts")
	if err != nil || len(left) != 0 {
		t.Fatalf("%d files were left, %v", len(left), err)
	}
	if offset, _, err := s.State(whole); err != nil || offset != int64(len(done)) {
		t.Fatalf("the whole picture is at %d, %v", offset, err)
	}
	if offset, err := s.Begin(hash, int64(len(raw))); err != nil || offset != 0 {
		t.Fatalf("begun anew at %d, %v", offset, err)
	}
	if _, err := s.Append(hash, 0, bytes.NewReader(raw)); err != nil {
		t.Fatal(err)
	}
}
