package api

import (
	"encoding/base64"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/photos"
)

// The part of tus 1.0.0 (https://tus.io/protocols/resumable-upload) that photos need: core, creation, and the whole
// picture's hash in place of checksums of parts. It is written here and not taken from tusd, because an upload is
// named by its picture's hash, which makes "have it already" come by itself.
const (
	tusVersion   = "1.0.0"
	tusExtension = "creation"
	offsetStream = "application/offset+octet-stream"
	headerOffset = "Upload-Offset"
	headerLength = "Upload-Length"
)

func tus(c echo.Context) error {
	h := c.Response().Header()
	h.Set("Tus-Resumable", tusVersion)
	h.Set("Tus-Version", tusVersion)
	h.Set("Tus-Extension", tusExtension)
	h.Set("Tus-Max-Size", strconv.Itoa(photos.MaxBytes))
	if given := c.Request().Header.Get("Tus-Resumable"); given != tusVersion {
		return schema.NewProblem(http.StatusPreconditionFailed, "tus_version", fmt.Sprintf("The upload speaks tus %q.", shorten(given)), "Send Tus-Resumable: 1.0.0.")
	}
	return nil
}

// photoBegin is tus's creation. The picture's hash stands in Upload-Metadata, as "hash" and in base64.
func (s *server) photoBegin(c echo.Context) error {
	if err := tus(c); err != nil {
		return err
	}
	length, err := strconv.ParseInt(c.Request().Header.Get(headerLength), 10, 64)
	if err != nil {
		return schema.NewProblem(http.StatusBadRequest, "photo_length", "Upload-Length is missing or no number.", "Send the picture's size in bytes.")
	}
	hash := metadata(c.Request().Header.Get("Upload-Metadata"), "hash")
	offset, err := s.Photos.Begin(deviceOf(c).ID, hash, length)
	if err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderLocation, "/api/photos/"+hash)
	c.Response().Header().Set(headerOffset, strconv.FormatInt(offset, 10))
	return c.NoContent(http.StatusCreated)
}

func (s *server) photoState(c echo.Context) error {
	if err := tus(c); err != nil {
		return err
	}
	offset, length, err := s.Photos.State(deviceOf(c).ID, c.Param("hash"))
	if err != nil {
		return err
	}
	c.Response().Header().Set(headerOffset, strconv.FormatInt(offset, 10))
	c.Response().Header().Set(headerLength, strconv.FormatInt(length, 10))
	return c.NoContent(http.StatusOK)
}

func (s *server) photoPart(c echo.Context) error {
	if err := tus(c); err != nil {
		return err
	}
	r := c.Request()
	if r.Header.Get(echo.HeaderContentType) != offsetStream {
		return schema.NewProblem(http.StatusUnsupportedMediaType, "content_type", "The part is not declared as tus asks.", "Send Content-Type: "+offsetStream+".")
	}
	offset, err := strconv.ParseInt(r.Header.Get(headerOffset), 10, 64)
	if err != nil {
		return schema.NewProblem(http.StatusBadRequest, "photo_offset", "Upload-Offset is missing or no number.", "Send the offset that HEAD gave.")
	}
	next, err := s.Photos.Append(deviceOf(c).ID, c.Param("hash"), offset, r.Body)
	c.Response().Header().Set(headerOffset, strconv.FormatInt(next, 10))
	if err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) photo(c echo.Context) error {
	f, kind, err := s.Photos.Get(c.Param("hash"))
	if err != nil {
		return err
	}
	defer f.Close()
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, kind)
	// A picture by its hash never changes; and whatever hides in its bytes may do nothing.
	h.Set(echo.HeaderCacheControl, "private, max-age=31536000, immutable")
	h.Set(echo.HeaderContentSecurityPolicy, "default-src 'none'; sandbox")
	http.ServeContent(c.Response(), c.Request(), "", time.Time{}, f)
	return nil
}

// metadata reads one value of tus's "key base64,key base64".
func metadata(header, key string) string {
	for pair := range strings.SplitSeq(header, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(pair), " ")
		if name != key {
			continue
		}
		if raw, err := base64.StdEncoding.DecodeString(strings.TrimSpace(value)); err == nil {
			return string(raw)
		}
	}
	return ""
}
