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

	"bedwalk/server/db"
)

// MaxBytes is the largest picture, as schema.Photo has it.
const MaxBytes = 20_000_000

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
	mu  sync.Mutex
	// busy holds a lock for each picture that is being written.
	busy map[string]*sync.Mutex
}

// Open takes up the folder, and makes it when it is not there.
func Open(dir string) (*Store, error) {
	if err := os.MkdirAll(filepath.Join(dir, "parts"), 0o750); err != nil {
		return nil, fmt.Errorf("make the folder of pictures: %w", err)
	}
	return &Store{dir: dir, busy: map[string]*sync.Mutex{}}, nil
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
// part puts the picture in place, when its bytes are what was promised.
func (s *Store) Append(hash string, offset int64, part io.Reader) (next int64, err error) {
	if !name.MatchString(hash) {
		return 0, ErrName
	}
	defer s.lock(hash)()
	have, length, err := s.state(hash)
	if err != nil {
		return 0, err
	}
	if offset != have {
		return have, ErrOffset
	}
	if have == length {
		return have, nil
	}
	f, err := os.OpenFile(s.part(hash), os.O_WRONLY|os.O_APPEND, 0o640)
	if err != nil {
		return have, explain(err)
	}
	// One byte more than is left would show a part that is too long.
	n, err := io.Copy(f, io.LimitReader(part, length-have+1))
	err = errors.Join(err, f.Sync(), f.Close())
	next = have + n
	switch {
	case next > length:
		s.drop(hash)
		return 0, ErrHash
	case err != nil:
		return next, explain(err)
	case next < length:
		return next, nil
	}
	return next, s.finish(hash)
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

func (s *Store) lock(hash string) (unlock func()) {
	s.mu.Lock()
	one, ok := s.busy[hash]
	if !ok {
		one = new(sync.Mutex)
		s.busy[hash] = one
	}
	s.mu.Unlock()
	one.Lock()
	return one.Unlock
}

// explain gives a full disk the same name as the journal does.
func explain(err error) error {
	if errors.Is(err, syscall.ENOSPC) || err != nil && strings.Contains(err.Error(), "no space left") {
		return fmt.Errorf("%w (%w)", db.ErrFull, err)
	}
	return err
}
