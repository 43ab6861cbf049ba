// Package photos keeps pictures by the SHA-256 of their bytes, apart from the notes and never in their way.
//
// A picture comes in parts at byte offsets, so that a cut costs at most one part; it is there for others only when it
// is whole and its hash is the one that was promised. The same picture sent twice is kept once. The central type is
// Store. How parts travel (the tus protocol) is package api's business.
package photos

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"bedwalk/server/db"
)

// MaxBytes is the largest picture, as schema.Photo has it.
const MaxBytes = 20_000_000

// PartLife is how long an upload that was begun waits for its next byte. A phone that comes back later sends the picture
// from its start again: it keeps it until the server has it whole.
const PartLife = 7 * 24 * time.Hour

// chunk is how much of a part is written at once. While the sender is waited for nothing is locked.
const chunk = 256 << 10

// Errors that a caller tells apart.
var (
	ErrName    = errors.New("a picture is named by the 64 hexadecimal digits (small letters) of its SHA-256; reckon the hash of its bytes")
	ErrAbsent  = errors.New("the picture is not here yet; it may still be on the phone that took it")
	ErrOffset  = errors.New("the part does not begin where the last one ended; ask for the offset and go on from there")
	ErrTooLong = errors.New("the picture is larger than 20 MB; make it smaller and send that")
	ErrHash    = errors.New("the bytes are not the promised picture; it was dropped, send it again from the start")
	ErrType    = errors.New("the bytes are no JPEG, PNG or WebP picture; only these are kept")
)

var name = regexp.MustCompile(`^[0-9a-f]{64}$`)

// Store is a folder of pictures.
type Store struct {
	dir string
	now func() time.Time
	// busy are locks for the pictures that are being written, by the first digits of their names.
	busy [256]sync.Mutex
}

// Open takes up the folder, and makes it when it is not there. Now is the clock by which parts grow old.
func Open(dir string, now func() time.Time) (*Store, error) {
	if err := os.MkdirAll(filepath.Join(dir, "parts"), 0o750); err != nil {
		return nil, fmt.Errorf("make the folder of pictures: %w", err)
	}
	return &Store{dir: dir, now: now}, nil
}

// Sweep drops the uploads that have waited for their next byte longer than PartLife, and says how many.
func (s *Store) Sweep() (swept int, err error) {
	parts, err := os.ReadDir(filepath.Join(s.dir, "parts"))
	if err != nil {
		return 0, fmt.Errorf("look through the begun pictures: %w", err)
	}
	oldest := s.now().Add(-PartLife)
	for _, part := range parts {
		hash, isLength := strings.CutSuffix(part.Name(), ".length")
		if !name.MatchString(hash) {
			continue
		}
		unlock := s.lock(hash)
		// Both files are as old as the younger of them: the length is written once, the bytes as they come.
		info, err := os.Stat(s.part(hash))
		if errors.Is(err, fs.ErrNotExist) {
			info, err = os.Stat(s.part(hash) + ".length")
		}
		if err == nil && info.ModTime().Before(oldest) {
			s.drop(hash)
			if !isLength {
				swept++
			}
		}
		unlock()
	}
	return swept, nil
}

// Begin announces a picture of so many bytes; one that is there or has been begun is taken up where it is.
func (s *Store) Begin(hash string, length int64) (offset int64, err error) {
	if !name.MatchString(hash) {
		return 0, ErrName
	}
	if length < 1 || length > MaxBytes {
		return 0, ErrTooLong
	}
	defer s.lock(hash)()
	if have, total, err := s.state(hash); err == nil && total == length {
		return have, nil
	} else if err != nil && !errors.Is(err, ErrAbsent) {
		return 0, err
	}
	if err := explain(os.WriteFile(s.part(hash)+".length", []byte(strconv.FormatInt(length, 10)), 0o640)); err != nil {
		return 0, err
	}
	return 0, explain(os.WriteFile(s.part(hash), nil, 0o640))
}

// State says how many bytes of a picture are here, and of how many.
func (s *Store) State(hash string) (offset, length int64, err error) {
	if !name.MatchString(hash) {
		return 0, 0, ErrName
	}
	defer s.lock(hash)()
	return s.state(hash)
}

func (s *Store) state(hash string) (offset, length int64, err error) {
	if info, err := os.Stat(s.whole(hash)); err == nil {
		return info.Size(), info.Size(), nil
	}
	text, err := os.ReadFile(s.part(hash) + ".length")
	if errors.Is(err, fs.ErrNotExist) {
		return 0, 0, ErrAbsent
	}
	if err != nil {
		return 0, 0, err
	}
	if length, err = strconv.ParseInt(string(text), 10, 64); err != nil {
		return 0, 0, ErrAbsent
	}
	info, err := os.Stat(s.part(hash))
	if err != nil {
		return 0, 0, ErrAbsent
	}
	return info.Size(), length, nil
}

// Append adds a part at an offset and returns where the next one begins. What arrived before a cut is kept. The last
// part puts the picture in place, when its bytes are what was promised. Two senders of one picture do not wait for each
// other: who is behind is told ErrOffset, and goes on from where the other one is.
func (s *Store) Append(hash string, offset int64, part io.Reader) (next int64, err error) {
	if !name.MatchString(hash) {
		return 0, ErrName
	}
	buffer := make([]byte, chunk)
	for next = offset; ; {
		n, read := io.ReadFull(part, buffer)
		if errors.Is(read, io.ErrUnexpectedEOF) && n > 0 {
			// Whether the part ends here or was cut off, the next reading says.
			read = nil
		}
		whole := false
		if n > 0 || next == offset {
			if next, whole, err = s.write(hash, next, buffer[:n]); err != nil {
				return next, err
			}
		}
		switch {
		case whole || errors.Is(read, io.EOF):
			return next, nil
		case read != nil:
			return next, read
		}
	}
}

// write adds bytes at an offset, forced to the disk, and puts the picture in place when it is whole.
func (s *Store) write(hash string, offset int64, raw []byte) (next int64, whole bool, err error) {
	defer s.lock(hash)()
	have, length, err := s.state(hash)
	if err != nil {
		return 0, false, err
	}
	if offset != have {
		return have, false, ErrOffset
	}
	if have == length {
		return have, true, nil
	}
	if have+int64(len(raw)) > length {
		s.drop(hash)
		return 0, false, ErrHash
	}
	f, err := os.OpenFile(s.part(hash), os.O_WRONLY|os.O_APPEND, 0o640)
	if err != nil {
		return have, false, explain(err)
	}
	n, err := f.Write(raw)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return have + int64(n), false, explain(err)
	}
	if next = have + int64(n); next < length {
		return next, false, nil
	}
	return next, true, s.finish(hash)
}

func (s *Store) finish(hash string) error {
	raw, err := os.ReadFile(s.part(hash))
	if err != nil {
		return err
	}
	if sum := sha256.Sum256(raw); hex.EncodeToString(sum[:]) != hash {
		s.drop(hash)
		return ErrHash
	}
	if _, ok := TypeOf(raw); !ok {
		s.drop(hash)
		return ErrType
	}
	if err := os.MkdirAll(filepath.Dir(s.whole(hash)), 0o750); err != nil {
		return explain(err)
	}
	if err := db.Place(s.part(hash), s.whole(hash)); err != nil {
		return explain(err)
	}
	return os.Remove(s.part(hash) + ".length")
}

// Get opens a whole picture, and says what it is.
func (s *Store) Get(hash string) (f *os.File, kind string, err error) {
	if !name.MatchString(hash) {
		return nil, "", ErrName
	}
	if f, err = os.Open(s.whole(hash)); err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			err = ErrAbsent
		}
		return nil, "", err
	}
	start := make([]byte, 512)
	n, err := f.ReadAt(start, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, "", errors.Join(err, f.Close())
	}
	kind, _ = TypeOf(start[:n])
	return f, kind, nil
}

// TypeOf tells a picture's media type by its first bytes (the sniffing rules of the WHATWG), and whether it is kept.
func TypeOf(start []byte) (kind string, ok bool) {
	kind = http.DetectContentType(start)
	return kind, kind == "image/jpeg" || kind == "image/png" || kind == "image/webp"
}

func (s *Store) whole(hash string) string { return filepath.Join(s.dir, hash[:2], hash) }
func (s *Store) part(hash string) string  { return filepath.Join(s.dir, "parts", hash) }

func (s *Store) drop(hash string) {
	os.Remove(s.part(hash))
	os.Remove(s.part(hash) + ".length")
}

// lock takes the lock of a picture, which some others share: it is never held while a sender is waited for.
func (s *Store) lock(hash string) (unlock func()) {
	n, _ := strconv.ParseUint(hash[:2], 16, 8)
	s.busy[n].Lock()
	return s.busy[n].Unlock
}

// explain gives a full disk the same name as the journal does.
func explain(err error) error {
	if errors.Is(err, syscall.ENOSPC) || err != nil && strings.Contains(err.Error(), "no space left") {
		return fmt.Errorf("%w (%w)", db.ErrFull, err)
	}
	return err
}
