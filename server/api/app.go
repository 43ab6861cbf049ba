package api

import (
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// hashed is the folder of files whose names hold their content's hash; Vite fills it.
const hashed = "assets/"

// errNoApp is the answer of a server that was built before the app.
var errNoApp = refuse(http.StatusServiceUnavailable, "no_app", "Client not built: run npm run build.", "Then build the server again, which carries the app inside it.")

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
		// The service worker and the manifest keep their names and must be looked at anew each time.
		return s.file(c, name, "no-cache")
	}
}

func (s *server) file(c echo.Context, name, cache string) error {
	raw, err := fs.ReadFile(s.App, name)
	if err != nil {
		return errNoApp
	}
	c.Response().Header().Set(echo.HeaderCacheControl, cache)
	if kind, ok := kinds[path.Ext(name)]; ok {
		c.Response().Header().Set(echo.HeaderContentType, kind)
	}
	http.ServeContent(c.Response(), c.Request(), name, time.Time{}, strings.NewReader(string(raw)))
	return nil
}

// kinds are the media types that a machine's own tables may lack or have wrong.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".json": "application/json", ".webmanifest": "application/manifest+json", ".svg": "image/svg+xml",
	".wasm": "application/wasm", ".png": "image/png", ".ico": "image/x-icon",
}

// openAPI describes the interface to programs.
func (s *server) openAPI(c echo.Context) error { return writeJSON(c, schema.OpenAPI) }

func isFile(files fs.FS, name string) bool {
	info, err := fs.Stat(files, name)
	return err == nil && !info.IsDir()
}
