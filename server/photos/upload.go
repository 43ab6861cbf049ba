package photos

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"golang.org/x/time/rate"
)

// Bounds limit what one device may use: unfinished uploads, of which the oldest is dropped for a new one, and bytes
// of pictures, at once and then each day. A phone sends one picture after another, some 2 MB each.
type Bounds struct {
	Begun int
	Bytes int
}

// DefaultBounds leave room for two weeks of pictures from a phone that was out of range.
var DefaultBounds = Bounds{Begun: 20, Bytes: 2_000_000_000}

// devicesKept is how many devices' bytes are counted at a time.
const devicesKept = 10_000

// upload is one picture that one device is sending: a file with what has arrived, and one with its length.
type upload struct{ hash, part string }

const lengthSuffix = ".length"

func (s *Store) upload(by, hash string) (u upload, err error) {
	if base := hash + "." + by; !name.MatchString(hash) || !partName.MatchString(base) {
		return u, ErrName
	}
	return upload{hash, filepath.Join(s.dir, "parts", hash+"."+by)}, nil
}

func (u upload) drop() {
	os.Remove(u.part)
	os.Remove(u.part + lengthSuffix)
}

// touched is when it last grew: the newer time of its two files, since the length is written once and the bytes as they
// come.
func (u upload) touched() (time.Time, error) {
	info, err := os.Stat(u.part)
	if errors.Is(err, fs.ErrNotExist) {
		info, err = os.Stat(u.part + lengthSuffix)
	}
	if err != nil {
		return time.Time{}, err
	}
	return info.ModTime(), nil
}

// Begin announces a picture of so many bytes that a device is going to send; one that is there whole, or that the device
// has begun, is continued from where it is.
func (s *Store) Begin(by, hash string, length int64) (offset int64, err error) {
	u, err := s.upload(by, hash)
	if err != nil {
		return 0, err
	}
	if length < 1 || length > MaxBytes {
		return 0, ErrTooLong
	}
	if err := s.makeRoom(by, u); err != nil {
		return 0, err
	}
	defer s.lock(hash)()
	if have, total, err := s.state(u); err == nil && total == length || err == nil && have == total {
		return have, nil
	} else if err != nil && !errors.Is(err, ErrAbsent) {
		return 0, err
	}
	if err := explain(os.WriteFile(u.part+lengthSuffix, []byte(strconv.FormatInt(length, 10)), 0o640)); err != nil {
		return 0, err
	}
	return 0, explain(os.WriteFile(u.part, nil, 0o640))
}

// makeRoom drops the oldest uploads of a device that has begun too many. The device sends such a picture again from the start.
func (s *Store) makeRoom(by string, besides upload) error {
	lengths, err := filepath.Glob(filepath.Join(s.dir, "parts", "*."+by+lengthSuffix))
	if err != nil || len(lengths) < s.Bounds.Begun {
		return err
	}
	begun := map[upload]time.Time{}
	for _, path := range lengths {
		part := strings.TrimSuffix(path, lengthSuffix)
		u := upload{filepath.Base(part)[:64], part}
		if at, err := u.touched(); err == nil && u != besides {
			begun[u] = at
		}
	}
	for len(begun) >= s.Bounds.Begun {
		var oldest upload
		for u, at := range begun {
			if oldest.part == "" || at.Before(begun[oldest]) {
				oldest = u
			}
		}
		delete(begun, oldest)
		unlock := s.lock(oldest.hash)
		oldest.drop()
		unlock()
	}
	return nil
}

// mayTake counts the bytes that a device sends against its bounds.
func (s *Store) mayTake(by string, n int) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	l, ok := s.sent[by]
	if !ok {
		if len(s.sent) >= devicesKept {
			clear(s.sent)
		}
		l = rate.NewLimiter(rate.Limit(float64(s.Bounds.Bytes)/(24*time.Hour).Seconds()), s.Bounds.Bytes)
		s.sent[by] = l
	}
	return l.AllowN(s.now(), n)
}

// State returns how many bytes of a device's upload have arrived, and of how many; all of them where the whole picture
// is here.
func (s *Store) State(by, hash string) (offset, length int64, err error) {
	u, err := s.upload(by, hash)
	if err != nil {
		return 0, 0, err
	}
	defer s.lock(hash)()
	return s.state(u)
}

func (s *Store) state(u upload) (offset, length int64, err error) {
	if info, err := os.Stat(s.whole(u.hash)); err == nil {
		// Another device was faster.
		u.drop()
		return info.Size(), info.Size(), nil
	}
	text, err := os.ReadFile(u.part + lengthSuffix)
	if errors.Is(err, fs.ErrNotExist) {
		return 0, 0, ErrAbsent
	}
	if err != nil {
		return 0, 0, err
	}
	if length, err = strconv.ParseInt(string(text), 10, 64); err != nil {
		return 0, 0, ErrAbsent
	}
	info, err := os.Stat(u.part)
	if err != nil {
		return 0, 0, ErrAbsent
	}
	return info.Size(), length, nil
}

// Sweep drops the uploads that have waited for their next byte longer than PartLife, and returns how many.
func (s *Store) Sweep() (swept int, err error) {
	parts, err := os.ReadDir(filepath.Join(s.dir, "parts"))
	if err != nil {
		return 0, fmt.Errorf("list the unfinished uploads: %w", err)
	}
	oldest := s.now().Add(-PartLife)
	for _, part := range parts {
		base, isLength := strings.CutSuffix(part.Name(), lengthSuffix)
		if !partName.MatchString(base) {
			continue
		}
		u := upload{base[:64], filepath.Join(s.dir, "parts", base)}
		unlock := s.lock(u.hash)
		if at, err := u.touched(); err == nil && at.Before(oldest) {
			u.drop()
			if !isLength {
				swept++
			}
		}
		unlock()
	}
	return swept, nil
}
