package api

import (
	"compress/gzip"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// writePage writes a page of the journal with each entry's bytes as they are: package json would look through every
// entry again and escape what its writer did not. It is gzipped for whoever takes that.
// P is the rest of the page, a Pull or a Page without items.
func writePage(c echo.Context, p any, items []schema.Pulled) error {
	frame, err := json.Marshal(p)
	if err != nil {
		return err
	}
	const empty = `"items":[]`
	before, after, _ := strings.Cut(string(frame), empty)
	out := make([]byte, 0, len(frame)+len(items)*800)
	out = append(append(out, before...), `"items":[`...)
	for i, item := range items {
		if i > 0 {
			out = append(out, ',')
		}
		stamp, err := json.Marshal(item.Stamp)
		if err != nil {
			return err
		}
		out = strconv.AppendInt(append(out, `{"position":`...), item.Position, 10)
		out = append(append(out, `,"stamp":`...), stamp...)
		out = append(append(append(out, `,"entry":`...), item.Entry...), '}')
	}
	out = append(append(out, ']'), after...)
	return writeJSON(c, out)
}

// zipFrom is the size from which gzip is worth its time.
const zipFrom = 1400

func writeJSON(c echo.Context, raw []byte) error {
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, echo.MIMEApplicationJSON)
	h.Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
	if len(raw) < zipFrom || !takesGzip(c.Request()) {
		return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, raw)
	}
	h.Set(echo.HeaderContentEncoding, "gzip")
	c.Response().WriteHeader(http.StatusOK)
	zip, err := gzip.NewWriterLevel(c.Response(), gzip.BestSpeed)
	if err != nil {
		return err
	}
	if _, err := zip.Write(raw); err != nil {
		return err
	}
	return zip.Close()
}

func takesGzip(r *http.Request) bool {
	for _, accepted := range strings.Split(r.Header.Get(echo.HeaderAcceptEncoding), ",") {
		name, quality, _ := strings.Cut(strings.TrimSpace(accepted), ";")
		if name == "gzip" && strings.ReplaceAll(quality, " ", "") != "q=0" {
			return true
		}
	}
	return false
}
