package api_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"bedwalk/server/backup"
)

const tus, tusPart = "Tus-Resumable: 1.0.0", "Content-Type: application/offset+octet-stream"

func pictureOf(size int) (raw []byte, hash string) {
	raw = append([]byte("\x89PNG\r\n\x1a\n"), bytes.Repeat([]byte{7}, size-8)...)
	sum := sha256.Sum256(raw)
	return raw, hex.EncodeToString(sum[:])
}

func (s *site) beginPicture(p *paired, hash string, length int) answer {
	return s.do(p.cookie, "POST", "/api/photos", "", tus, "Upload-Length: "+strconv.Itoa(length),
		"Upload-Metadata: hash "+base64.StdEncoding.EncodeToString([]byte(hash)))
}

func (s *site) sendPart(p *paired, hash string, offset int, raw []byte) answer {
	return s.do(p.cookie, "PATCH", "/api/photos/"+hash, string(raw), tus, tusPart, "Upload-Offset: "+strconv.Itoa(offset))
}

// Every phone reads in a note the hash of its picture before the picture is sent.
func TestNobodySpoilsAnothersPictureByBeginningItWithOtherBytes(t *testing.T) {
	s := newSite(t)
	scout, liar := s.pair("scout"), s.pair("scout")
	raw, hash := pictureOf(1000)
	wrong := bytes.Repeat([]byte("x"), 600)
	s.beginPicture(liar, hash, len(raw))
	s.sendPart(liar, hash, 0, wrong)
	if r := s.beginPicture(scout, hash, len(raw)); r.status != 201 || r.header.Get("Upload-Offset") != "0" {
		t.Fatalf("begun: %d at %s", r.status, r.header.Get("Upload-Offset"))
	}
	if r := s.sendPart(scout, hash, 0, raw[:500]); r.status != 204 {
		t.Fatalf("first half: %d %s", r.status, r.body)
	}
	s.beginPicture(liar, hash, 20_000_000)
	s.sendPart(liar, hash, 0, wrong)
	s.sendPart(liar, hash, 500, wrong[:500])
	if r := s.sendPart(scout, hash, 500, raw[500:]); r.status != 204 {
		t.Fatalf("second half: %d %s", r.status, r.body)
	}
	if r := s.do(liar.cookie, "GET", "/api/photos/"+hash, ""); !bytes.Equal(r.body, raw) {
		t.Fatalf("the picture is %d, %d bytes", r.status, len(r.body))
	}
	if r := s.sendPart(liar, hash, 600, wrong[:400]); r.status != 409 || r.header.Get("Upload-Offset") != "1000" {
		t.Fatalf("who was behind: %d at %s", r.status, r.header.Get("Upload-Offset"))
	}
	if left := s.parts(); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func (s *site) parts() (names []string) {
	s.Helper()
	all, err := os.ReadDir(filepath.Join(s.db.Dir(), backup.PhotosDir, "parts"))
	if err != nil {
		s.Fatal(err)
	}
	for _, one := range all {
		names = append(names, one.Name())
	}
	return names
}

func TestPicturesThatAreBegunWithoutEndTakeNoRoomAndStopNobodys(t *testing.T) {
	s := newSite(t)
	scout, liar := s.pair("scout"), s.pair("scout")
	raw, hash := pictureOf(1000)
	s.beginPicture(scout, hash, len(raw))
	s.sendPart(scout, hash, 0, raw[:500])
	for i := range 200 {
		sum := sha256.Sum256([]byte(fmt.Sprint(i)))
		if r := s.beginPicture(liar, hex.EncodeToString(sum[:]), 20_000_000); r.status != 201 {
			t.Fatalf("number %d: %d %s", i, r.status, r.body)
		}
	}
	if left := s.parts(); len(left) > 100 {
		t.Errorf("%d files of begun pictures", len(left))
	}
	if r := s.sendPart(scout, hash, 500, raw[500:]); r.status != 204 {
		t.Fatalf("second half: %d %s", r.status, r.body)
	}
}
