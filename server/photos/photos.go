// Package photos keeps pictures by the SHA-256 of their bytes, separate from the notes.
//
// A picture comes in parts at byte offsets, so that a lost connection costs at most one part; others can get it only when it
// is whole and its hash is the announced one. The same picture sent twice is kept once. Each device has its own
// upload of a picture, because every phone knows the hash from a note before the picture is here: nobody can spoil
// another's by sending other bytes. The central type is Store. Package api speaks the tus protocol.
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

	"golang.org/x/time/rate"

	"bedwalk/server/db"

	"bedwalk/schema"
)

// MaxBytes is the largest picture, as schema.Photo has it.
const MaxBytes = 20_000_000

// PartLife is how long an upload that was begun waits for its next byte. A phone that comes back later sends the picture
// again from the start: it keeps the picture until the server has all of it.
const PartLife = 7 * 24 * time.Hour

// chunk is how many bytes of a part are written at once. Nothing is locked while the server waits for the sender.
const chunk = 256 << 10

// StatusChecksumMismatch is the HTTP status of the tus protocol (its checksum extension) for bytes that do not match the announced hash.
const StatusChecksumMismatch = 460

// Errors that a caller can test for.
var (
	ErrName = schema.NewProblem(http.StatusBadRequest, "photo_name", "A picture is named by the 64 hexadecimal digits (small letters) of its SHA-256.",
		"Compute the hash of its bytes.")
	ErrAbsent = schema.NewProblem(http.StatusNotFound, "no_such_photo", "The server does not have this picture yet.",
		"It may still be on the phone that took it.")
	ErrOffset = schema.NewProblem(http.StatusConflict, "photo_offset", "The part does not start where the last one ended.",
		"Ask for the offset and continue from there.")
	ErrTooLong = schema.NewProblem(http.StatusRequestEntityTooLarge, "photo_too_large", "The picture is larger than 20 MB.",
		"Make it smaller and send that.")
	ErrHash = schema.NewProblem(StatusChecksumMismatch, "photo_hash", "The bytes do not match the announced hash.",
		"They were discarded; send the picture again from the start.")
	ErrType = schema.NewProblem(http.StatusUnsupportedMediaType, "photo_type", "The file is not a JPEG, PNG or WebP picture.",
		"Send one of these.")
	ErrTooMany = schema.NewProblem(http.StatusTooManyRequests, "photo_too_many", "This device has reached its limit of picture bytes for one day.",
		"It keeps the others and sends them later.")
)

var (
	name = regexp.MustCompile(`^[0-9a-f]{64}$`)
	// partName is a picture and the device that sends it.
	partName = regexp.MustCompile(`^([0-9a-f]{64})(\.[0-9A-Za-z]*)?$`)
)

// Store is a folder of pictures.
type Store struct {
	// Bounds may be changed before the store is used.
	Bounds Bounds
	dir    string
	now    func() time.Time
	mu     sync.Mutex
	sent   map[string]*rate.Limiter
	// busy are locks for the pictures that are being written, by the first digits of their names.
	busy [256]sync.Mutex
}

// Open opens the folder, and makes it when it is missing. Now is the clock by which unfinished uploads expire.
func Open(dir string, now func() time.Time) (*Store, error) {
	if err := os.MkdirAll(filepath.Join(dir, "parts"), 0o750); err != nil {
		return nil, fmt.Errorf("make the folder of pictures: %w", err)
	}
	return &Store{Bounds: DefaultBounds, dir: dir, now: now, sent: map[string]*rate.Limiter{}}, nil
}

// Append adds a part at an offset and returns where the next one begins. What arrived before a cut is kept. The last
// part puts the picture in place, when its bytes match the announced hash. Two connections of one device do not wait for
// each other: the one behind gets ErrOffset, and so does a device when another has sent the whole picture.
func (s *Store) Append(by, hash string, offset int64, part io.Reader) (next int64, err error) {
	u, err := s.upload(by, hash)
	if err != nil {
		return 0, err
	}
	buffer := make([]byte, chunk)
	for next = offset; ; {
		n, read := io.ReadFull(part, buffer)
		if errors.Is(read, io.ErrUnexpectedEOF) && n > 0 {
			// The next read says whether the part ends here or was cut off.
			read = nil
		}
		whole := false
		if !s.mayTake(by, n) {
			return next, ErrTooMany
		}
		if n > 0 || next == offset {
			if next, whole, err = s.write(u, next, buffer[:n]); err != nil {
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

// write adds bytes at an offset, synced to the disk, and puts the picture in place when it is whole.
func (s *Store) write(u upload, offset int64, raw []byte) (next int64, whole bool, err error) {
	defer s.lock(u.hash)()
	have, length, err := s.state(u)
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
		u.drop()
		return 0, false, ErrHash
	}
	f, err := os.OpenFile(u.part, os.O_WRONLY|os.O_APPEND, 0o640)
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
	return next, true, s.finish(u)
}

func (s *Store) finish(u upload) error {
	raw, err := os.ReadFile(u.part)
	if err != nil {
		return err
	}
	if sum := sha256.Sum256(raw); hex.EncodeToString(sum[:]) != u.hash {
		u.drop()
		return ErrHash
	}
	if _, ok := TypeOf(raw); !ok {
		u.drop()
		return ErrType
	}
	if err := os.MkdirAll(filepath.Dir(s.whole(u.hash)), 0o750); err != nil {
		return explain(err)
	}
	if err := db.Place(u.part, s.whole(u.hash)); err != nil {
		return explain(err)
	}
	return os.Remove(u.part + lengthSuffix)
}

// Get opens a whole picture, and returns its media type.
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

// TypeOf returns a picture's media type by its first bytes (the sniffing rules of the WHATWG), and whether it is accepted.
func TypeOf(start []byte) (kind string, ok bool) {
	kind = http.DetectContentType(start)
	return kind, kind == "image/jpeg" || kind == "image/png" || kind == "image/webp"
}

func (s *Store) whole(hash string) string { return filepath.Join(s.dir, hash[:2], hash) }

// lock takes a picture's lock, which some other pictures share. It is never held while waiting for a sender.
func (s *Store) lock(hash string) (unlock func()) {
	n, _ := strconv.ParseUint(hash[:2], 16, 8)
	s.busy[n].Lock()
	return s.busy[n].Unlock
}

// explain returns the journal's error for a full disk.
func explain(err error) error {
	if errors.Is(err, syscall.ENOSPC) || err != nil && strings.Contains(err.Error(), "no space left") {
		return fmt.Errorf("%w (%w)", db.ErrFull, err)
	}
	return err
}
