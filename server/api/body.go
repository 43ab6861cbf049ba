package api

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// Limits of a request's JSON body, as sent and after gzip. A phone sends at most 500 entries or 256 KiB a batch; the
// rest is room for one very long entry among them, which must get in to be held.
const (
	MaxBody     = 1 << 20
	MaxInflated = 2 << 20
)

// A digest has a line of some 100 bytes for each lot, half of it random digits that gzip brings down to 40. These are the limits
// for as many lots as schema.Digest may have (100,000).
const (
	MaxDigest         = 6 << 20
	MaxDigestInflated = 14 << 20
)

// readJSON reads a body into a message and checks it by its tags.
func readJSON(c echo.Context, into any) error { return readLong(c, into, MaxBody, MaxInflated) }

// readLong is readJSON with other limits.
func readLong(c echo.Context, into any, maxBody, maxInflated int64) error {
	kind, _, err := mime.ParseMediaType(c.Request().Header.Get(echo.HeaderContentType))
	if err != nil || kind != echo.MIMEApplicationJSON {
		return schema.NewProblem(http.StatusUnsupportedMediaType, "content_type",
			fmt.Sprintf("The body is declared as %q.", shorten(c.Request().Header.Get(echo.HeaderContentType))),
			"Send JSON with Content-Type: application/json.")
	}
	raw, err := readBody(c, maxBody, maxInflated)
	if err != nil {
		return err
	}
	if err := decode(raw, into); err != nil {
		return err
	}
	if faults := schema.CheckMessage(into); len(faults) > 0 {
		return schema.NewProblem(http.StatusBadRequest, "message", faults[0].Field+": "+faults[0].Sentence(), "Put the field right and send it again.")
	}
	return nil
}

// readBody reads a whole body, inflated when it is gzipped, within both limits.
func readBody(c echo.Context, maxBody, maxInflated int64) ([]byte, error) {
	r := c.Request()
	if r.ContentLength > maxBody {
		// Closing spares both sides the rest of a body that nobody will read.
		c.Response().Header().Set(echo.HeaderConnection, "close")
		return nil, tooLarge(maxBody)
	}
	limited := http.MaxBytesReader(c.Response(), r.Body, maxBody)
	var source io.Reader = limited
	switch encoding := r.Header.Get(echo.HeaderContentEncoding); encoding {
	case "", "identity":
	case "gzip":
		unzip, err := gzip.NewReader(limited)
		if err != nil {
			return nil, bodyProblem(err, maxBody)
		}
		source = unzip
	default:
		return nil, schema.NewProblem(http.StatusUnsupportedMediaType, "content_encoding",
			fmt.Sprintf("The body is encoded as %q.", shorten(encoding)), "Send it plain or with Content-Encoding: gzip.")
	}
	raw, err := io.ReadAll(io.LimitReader(source, maxInflated+1))
	if err != nil {
		return nil, bodyProblem(err, maxBody)
	}
	if int64(len(raw)) > maxInflated {
		return nil, schema.NewProblem(http.StatusRequestEntityTooLarge, "inflated_too_large",
			fmt.Sprintf("Unpacked, the body is larger than %d bytes.", maxInflated), "Send fewer entries in one batch.")
	}
	return raw, nil
}

func bodyProblem(err error, limit int64) error {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return tooLarge(limit)
	case errors.Is(err, gzip.ErrHeader), errors.Is(err, gzip.ErrChecksum):
		return schema.NewProblem(http.StatusBadRequest, "bad_gzip", "The body is no sound gzip.", "Pack it again and send it again; nothing of it was kept.")
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return schema.NewProblem(http.StatusBadRequest, "cut_off", "The body ends in the middle.", "Send it again; nothing of it was kept.")
	}
	// flate names damaged data by its own type.
	return schema.NewProblem(http.StatusBadRequest, "bad_body", "The body could not be read: "+shorten(err.Error())+".", "Send it again; nothing of it was kept.")
}

func tooLarge(limit int64) error {
	return schema.NewProblem(http.StatusRequestEntityTooLarge, "body_too_large",
		fmt.Sprintf("The body is larger than %d bytes.", limit), "Send fewer entries in one batch.")
}

// decode reads one JSON value and nothing after it.
func decode(raw []byte, into any) error {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	err := decoder.Decode(into)
	if err == nil {
		if _, err = decoder.Token(); errors.Is(err, io.EOF) {
			return nil
		}
		err = errors.New("something follows the JSON value")
	}
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return schema.NewProblem(http.StatusBadRequest, "wrong_type",
			fmt.Sprintf("Field %q is a %s where %s is needed.", kind.Field, kind.Value, kind.Type), "Compare the message with the API's description at /api/openapi.json.")
	}
	return schema.NewProblem(http.StatusBadRequest, "malformed_json",
		fmt.Sprintf("The body is not JSON: %s (near byte %d).", shorten(err.Error()), decoder.InputOffset()),
		"Send one JSON object. A batch with one entry that cannot be written as JSON is sent without it, and that entry as a JSON string.")
}

// shorten keeps what strangers send from filling answers and logs.
func shorten(text string) string {
	const longest = 120
	if runes := []rune(text); len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return text
}
