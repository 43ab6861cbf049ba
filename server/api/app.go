package api

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// hashed is the folder of files whose names hold their content's hash; Vite fills it.
const hashed = "assets/"

// errNoApp is the answer of a server that was built before the app.
var errNoApp = schema.NewProblem(http.StatusServiceUnavailable, "no_app", "Client not built: run npm run build.", "Then build the server again, which carries the app inside it.")

// app serves the built phone app: its files as they are, and its one page for every other address, since the app
// routes within itself.
func (s *server) app() echo.HandlerFunc {
	return func(c echo.Context) error {
		if s.App == nil {
			return errNoApp
		}
		name := strings.TrimPrefix(path.Clean("/"+c.Request().URL.Path), "/")
		if name == "" || !isFile(s.App, name) {
			if path.Ext(name) != "" && strings.HasPrefix(name, hashed) {
				// A page of an older build asks for its own files; it must not get HTML in their place.
				return echo.ErrNotFound
			}
			return s.file(c, "index.html", "no-store")
		}
		switch {
		case strings.HasPrefix(name, hashed):
			return s.file(c, name, "public, max-age=31536000, immutable")
		case name == "index.html":
			return s.file(c, name, "no-store")
		}
		// The service worker and the manifest keep their names and must be fetched again each time.
		return s.file(c, name, "no-cache")
	}
}

func (s *server) file(c echo.Context, name, cache string) error {
	raw, err := fs.ReadFile(s.App, name)
	if err != nil {
		return errNoApp
	}
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, cache)
	if kind, ok := kinds[path.Ext(name)]; ok {
		h.Set(echo.HeaderContentType, kind)
	}
	if shrinks[path.Ext(name)] {
		h.Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
		// A range counts the bytes of the file as it is.
		if takesGzip(c.Request()) && c.Request().Header.Get("Range") == "" {
			if raw, err = s.zip(name, raw); err != nil {
				return err
			}
			h.Set(echo.HeaderContentEncoding, "gzip")
			h.Set(echo.HeaderContentLength, strconv.Itoa(len(raw)))
		}
	}
	http.ServeContent(c.Response(), c.Request(), name, time.Time{}, bytes.NewReader(raw))
	return nil
}

// zip packs a file as small as gzip can, once: the app is part of the program and stays as it is while that runs.
func (s *server) zip(name string, raw []byte) ([]byte, error) {
	if done, ok := s.zipped.Load(name); ok {
		return done.([]byte), nil
	}
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(raw); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	s.zipped.Store(name, out.Bytes())
	return out.Bytes(), nil
}

// shrinks names the files that gzip makes smaller; pictures are packed already.
var shrinks = map[string]bool{
	".html": true, ".js": true, ".css": true, ".json": true, ".webmanifest": true, ".svg": true, ".wasm": true,
}

// kinds are the media types that a machine's own tables may lack or have wrong.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".json": "application/json", ".webmanifest": "application/manifest+json", ".svg": "image/svg+xml",
	".wasm": "application/wasm", ".png": "image/png", ".ico": "image/x-icon",
}

func isFile(files fs.FS, name string) bool {
	info, err := fs.Stat(files, name)
	return err == nil && !info.IsDir()
}
