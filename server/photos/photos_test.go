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
		if _, err := s.Begin("a", hash, int64(len(raw))); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Append("a", hash, 0, cut{bytes.NewReader(raw[:at])}); !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Fatalf("cut at %d: got %v", at, err)
		}
		offset, length, err := s.State("a", hash)
		if err != nil || offset != int64(at) || length != int64(len(raw)) {
			t.Fatalf("cut at %d: the store is at %d of %d (%v)", at, offset, length, err)
		}
		if again, err := s.Begin("a", hash, length); err != nil || again != offset {
			t.Fatalf("cut at %d: begun again at %d (%v)", at, again, err)
		}
		if _, err := s.Append("a", hash, offset, bytes.NewReader(raw[at:])); err != nil {
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
		{"a name that is not a hash", func(s *photos.Store) error { _, err := s.Begin("a", "../../etc/passwd", 5); return err }, photos.ErrName},
		{"a picture of 21 MB", func(s *photos.Store) error { _, err := s.Begin("a", hash, 21_000_000); return err }, photos.ErrTooLong},
		{"a picture of no bytes", func(s *photos.Store) error { _, err := s.Begin("a", hash, 0); return err }, photos.ErrTooLong},
		{"a part before its picture", func(s *photos.Store) error { _, err := s.Append("a", hash, 0, bytes.NewReader(raw)); return err }, photos.ErrAbsent},
		{"a picture that nobody sent", func(s *photos.Store) error { _, _, err := s.Get(hash); return err }, photos.ErrAbsent},
		{"a part at the wrong place", func(s *photos.Store) error {
			s.Begin("a", hash, length)
			_, err := s.Append("a", hash, 3, bytes.NewReader(raw))
			return err
		}, photos.ErrOffset},
		{"a part past the end", func(s *photos.Store) error {
			s.Begin("a", hash, length)
			_, err := s.Append("a", hash, 0, bytes.NewReader(append(raw, 'x')))
			return err
		}, photos.ErrHash},
		{"other bytes", func(s *photos.Store) error {
			s.Begin("a", hash, length)
			_, err := s.Append("a", hash, 0, bytes.NewReader(bytes.Repeat([]byte("x"), len(raw))))
			return err
		}, photos.ErrHash},
		{"bytes that are not a picture", func(s *photos.Store) error {
			s.Begin("a", textHash, int64(len(text)))
			_, err := s.Append("a", textHash, 0, bytes.NewReader(text))
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
	s.Begin("a", hash, int64(len(raw)))
	s.Append("a", hash, 0, bytes.NewReader(bytes.Repeat([]byte("x"), len(raw))))
	if offset, err := s.Begin("a", hash, int64(len(raw))); err != nil || offset != 0 {
		t.Fatalf("begun again at %d (%v), want 0", offset, err)
	}
	if _, err := s.Append("a", hash, 0, bytes.NewReader(raw)); err != nil {
		t.Fatal(err)
	}
}

func TestTheSamePictureTwiceIsThereAlready(t *testing.T) {
	raw, hash := picture(10)
	s := open(t)
	s.Begin("a", hash, int64(len(raw)))
	s.Append("a", hash, 0, bytes.NewReader(raw))
	if offset, err := s.Begin("a", hash, int64(len(raw))); err != nil || offset != int64(len(raw)) {
		t.Fatalf("begun at %d (%v), want all of it", offset, err)
	}
}

// stalled gives the first bytes of a part and then nothing, until goOn is closed.
type stalled struct {
	first   io.Reader
	waiting chan struct{}
	goOn    chan struct{}
}

func (s *stalled) Read(p []byte) (int, error) {
	if n, err := s.first.Read(p); err == nil {
		return n, nil
	}
	close(s.waiting)
	<-s.goOn
	return 0, io.ErrUnexpectedEOF
}

func TestAStalledUploadDoesNotLockItsPictureForOthers(t *testing.T) {
	raw, hash := picture(1000)
	s := open(t)
	length := int64(len(raw))
	if _, err := s.Begin("a", hash, length); err != nil {
		t.Fatal(err)
	}
	slow := &stalled{bytes.NewReader(raw[:100]), make(chan struct{}), make(chan struct{})}
	ended := make(chan error)
	go func() {
		_, err := s.Append("a", hash, 0, slow)
		ended <- err
	}()
	<-slow.waiting
	offset, err := s.Begin("a", hash, length)
	if err != nil {
		t.Fatal(err)
	}
	if next, err := s.Append("a", hash, offset, bytes.NewReader(raw[offset:])); err != nil || next != length {
		t.Fatalf("another sender got to %d: %v", next, err)
	}
	close(slow.goOn)
	if err := <-ended; err == nil {
		t.Fatal("the stalled upload was accepted")
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
	s.Begin("a", whole, int64(len(done)))
	s.Append("a", whole, 0, bytes.NewReader(done))
	s.Begin("a", hash, int64(len(raw)))
	s.Append("a", hash, 0, cut{bytes.NewReader(raw[:500])})
	for _, one := range []struct {
		age   time.Duration
		swept int
	}{{photos.PartLife - time.Hour, 0}, {photos.PartLife + time.Hour, 1}, {10 * photos.PartLife, 0}} {
		clock = time.Now().Add(one.age)
		if swept, err := s.Sweep(); err != nil || swept != one.swept {
			t.Fatalf("after %s %d were swept, %v", one.age, swept, err)
		}
	}
	if _, _, err := s.State("a", hash); !errors.Is(err, photos.ErrAbsent) {
		t.Fatalf("what was given up is still there: %v", err)
	}
	left, err := os.ReadDir(dir + "/parts")
	if err != nil || len(left) != 0 {
		t.Fatalf("%d files were left, %v", len(left), err)
	}
	if offset, _, err := s.State("a", whole); err != nil || offset != int64(len(done)) {
		t.Fatalf("the whole picture is at %d, %v", offset, err)
	}
	if offset, err := s.Begin("a", hash, int64(len(raw))); err != nil || offset != 0 {
		t.Fatalf("begun again at %d, %v", offset, err)
	}
	if _, err := s.Append("a", hash, 0, bytes.NewReader(raw)); err != nil {
		t.Fatal(err)
	}
}

func TestADeviceSendsOnlySoManyBytesOfPicturesADayAndStopsNobodyElse(t *testing.T) {
	clock := time.Now()
	s, err := photos.Open(t.TempDir(), func() time.Time { return clock })
	if err != nil {
		t.Fatal(err)
	}
	s.Bounds.Bytes = 300_000
	send := func(by string, size int) error {
		raw, hash := picture(size)
		offset, err := s.Begin(by, hash, int64(len(raw)))
		if err != nil {
			return err
		}
		_, err = s.Append(by, hash, offset, bytes.NewReader(raw[offset:]))
		return err
	}
	if err := send("a", 50_000); err != nil {
		t.Fatal(err)
	}
	if err := send("a", 50_001); !errors.Is(err, photos.ErrTooMany) {
		t.Fatalf("too many bytes: %v", err)
	}
	if err := send("b", 50_002); err != nil {
		t.Errorf("another device: %v", err)
	}
	clock = clock.Add(24 * time.Hour)
	if err := send("a", 50_001); err != nil {
		t.Errorf("a day later: %v", err)
	}
}

func TestWhoBeginsMoreUploadsThanOneMayLosesItsOldest(t *testing.T) {
	s := open(t)
	s.Bounds.Begun = 2
	var hashes []string
	for i := range 3 {
		raw, hash := picture(10 + i)
		hashes = append(hashes, hash)
		for range 2 {
			if _, err := s.Begin("a", hash, int64(len(raw))); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := s.Append("a", hash, 0, bytes.NewReader(raw[:20])); err != nil {
			t.Fatal(err)
		}
	}
	for i, want := range []error{photos.ErrAbsent, nil, nil} {
		if offset, _, err := s.State("a", hashes[i]); !errors.Is(err, want) || err == nil && offset != 20 {
			t.Errorf("picture %d is at %d, %v", i+1, offset, err)
		}
	}
}
