package api_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"testing"
)

func TestFilesOfTheAppAreZippedForWhoeverTakesThat(t *testing.T) {
	s := newSite(t)
	for _, path := range []string{"/", "/assets/main-x1.js", "/sw.js"} {
		plain := s.do("", "GET", path, "", "Accept-Encoding: identity")
		if plain.status != 200 || plain.header.Get("Content-Encoding") != "" || plain.header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("%s plain: %d %v", path, plain.status, plain.header)
		}
		// The second time it comes from what was kept of the first.
		for range 2 {
			zipped := s.do("", "GET", path, "", "Accept-Encoding: br;q=1, gzip")
			if zipped.header.Get("Content-Encoding") != "gzip" || zipped.header.Get("Vary") != "Accept-Encoding" {
				t.Fatalf("%s zipped: %d %v", path, zipped.status, zipped.header)
			}
			if got := unzipped(t, zipped.body); !bytes.Equal(got, plain.body) {
				t.Errorf("%s unzips to %q, want %q", path, got, plain.body)
			}
		}
	}
}

func TestAPartOfAFileIsCutFromTheFileAsItIs(t *testing.T) {
	part := newSite(t).do("", "GET", "/assets/main-x1.js", "", "Accept-Encoding: gzip", "Range: bytes=0-5")
	if part.status != 206 || string(part.body) != "export" {
		t.Fatalf("%d %q", part.status, part.body)
	}
}

func TestAPictureOfTheAppIsNotZippedAgain(t *testing.T) {
	picture := newSite(t).do("", "GET", "/icon.png", "", "Accept-Encoding: gzip")
	if picture.status != 200 || picture.header.Get("Content-Encoding") != "" || string(picture.body) != "picture" {
		t.Fatalf("%d %v %q", picture.status, picture.header, picture.body)
	}
}

func unzipped(t *testing.T, raw []byte) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	out, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
