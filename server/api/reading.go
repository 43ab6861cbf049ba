package api

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/export"
)

const (
	readerOfRequest = "reader"
	// peopleTable says more of people than their names.
	peopleTable = "person"
	tableRoute  = "/api/out/csv/:id"
	headerETag  = "ETag"
)

// Errors of programs that come with a reading key.
var (
	errKeyOnlyReads = schema.NewProblem(http.StatusForbidden, "not_allowed", "A reading key reads views and tables, and nothing else.",
		"Compare the address with the API's description at /api/openapi.json.")
	errKeyPeople = schema.NewProblem(http.StatusForbidden, "not_allowed", "This reading key reads nothing about people but their names.",
		"Make a key that reads about people too, if the program needs it.")
	errKeyTable = schema.NewProblem(http.StatusForbidden, "not_allowed", "This reading key reads one table as CSV, and nothing else.",
		"Take the address as the page For other programs showed it, or make a key for all that keys may read.")
	errKeyInAddress = schema.NewProblem(http.StatusBadRequest, "key_in_address", "This reading key does not belong in an address, where others may see it.",
		"Send it in the header Authorization, as \"Bearer\" and the key. If others may have seen the address, revoke the key.")
)

// readable lets in devices by their cookie, and programs by a reading key; about is true of routes that say more of people than their
// names. A key in the address is what was meant, also in a browser that is paired; one in a header counts only without our cookie, because
// a proxy before the server may ask for a password of its own in that header.
func (s *server) readable(about bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		byCookie := s.paired(next)
		return func(c echo.Context) error {
			key := c.QueryParam("key")
			inAddress := key != ""
			if _, err := c.Cookie(cookieName); !inAddress && err == nil {
				return byCookie(c)
			}
			if !inAddress {
				key = keyInHeader(c.Request())
			}
			if key == "" {
				if c.Path() == tableRoute {
					challenge(c)
				}
				return access.ErrNotPaired
			}
			r, err := s.reader(c, key)
			switch {
			case err != nil:
				return err
			case inAddress && r.Table == "":
				return errKeyInAddress
			case r.Table != "" && (c.Path() != tableRoute || c.Param("id") != r.Table):
				return errKeyTable
			case about && !r.People:
				return errKeyPeople
			}
			c.Set(readerOfRequest, r)
			return next(c)
		}
	}
}

// reader finds who shows a key. A wrong one is answered with what a spreadsheet needs to ask for another (RFC 7617).
func (s *server) reader(c echo.Context, key string) (access.Reader, error) {
	if !s.paces.allow("keys " + c.RealIP()) {
		return access.Reader{}, errTooFast
	}
	r, err := s.Gate.Reader(c.Request().Context(), key, c.RealIP())
	if err != nil && problemOf(err).Status == http.StatusUnauthorized {
		challenge(c)
	}
	return r, err
}

func challenge(c echo.Context) {
	c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Basic realm="Bedwalk: any name, the reading key as password", charset="UTF-8"`)
}

// keyElsewhere is the answer to whoever has no cookie where only devices are let in: with a reading key, that it does not fit here.
func (s *server) keyElsewhere(c echo.Context) error {
	key := keyInHeader(c.Request())
	if !access.IsKey(key) {
		return access.ErrNotPaired
	}
	if _, err := s.reader(c, key); err != nil {
		return err
	}
	return errKeyOnlyReads
}

// keyInHeader is a bearer token (RFC 6750) or the password of any name (RFC 7617), "" where there is none.
func keyInHeader(r *http.Request) string {
	if _, password, ok := r.BasicAuth(); ok {
		return password
	}
	scheme, key, _ := strings.Cut(r.Header.Get(echo.HeaderAuthorization), " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	return strings.TrimSpace(key)
}

func readerOf(c echo.Context) access.Reader {
	r, _ := c.Get(readerOfRequest).(access.Reader)
	return r
}

// hasAlready gives the answer its ETag and is true where whoever asks has it (RFC 9110, section 13.1.2). A table follows from the journal
// alone: it is the same as long as no note was merged, and the program that writes it is the same.
func (s *server) hasAlready(c echo.Context, file string) bool {
	hash := sha256.Sum256(fmt.Appendf(nil, "%s\n%s\n%d\n%s", file, s.Journal.Epoch(), s.Journal.Head(), s.Build))
	tag := `"` + hex.EncodeToString(hash[:16]) + `"`
	c.Response().Header().Set(headerETag, tag)
	for named := range strings.SplitSeq(c.Request().Header.Get("If-None-Match"), ",") {
		if named = strings.TrimPrefix(strings.TrimSpace(named), "W/"); named == tag || named == "*" {
			return true
		}
	}
	return false
}

// keys lists the reading keys.
func (s *server) keys(c echo.Context) error {
	ctx := c.Request().Context()
	all, err := s.Gate.Readers(ctx)
	if err != nil {
		return err
	}
	list := schema.ReadingKeys{Keys: []schema.ReadingKey{}, Tables: export.TableNames()}
	names := map[string]string{}
	for _, r := range all {
		if _, known := names[r.MadeBy]; !known {
			if names[r.MadeBy], err = s.Views.PersonName(ctx, r.MadeBy); err != nil {
				return err
			}
		}
		list.Keys = append(list.Keys, schema.ReadingKey{
			ID: r.ID, Name: r.Name, Table: r.Table, People: r.People, MadeByName: names[r.MadeBy], MadeAt: r.MadeAt, UsedAt: r.UsedAt,
			Revoked: r.RevokedAt, Orphaned: r.Orphaned,
		})
	}
	return c.JSON(http.StatusOK, list)
}

func (s *server) makeKey(c echo.Context) error {
	var ask schema.ReadingKeyAsk
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	name := strings.TrimSpace(ask.Name)
	switch {
	case name == "":
		return schema.NewProblem(http.StatusBadRequest, "message", "The reading key has no name.", "Name it for the program that will use it.")
	case ask.Table != "" && !slices.Contains(export.TableNames(), ask.Table):
		return noSuchTable(ask.Table)
	case ask.Table == peopleTable && !ask.People:
		return errKeyPeople
	}
	id, key, err := s.Gate.MakeKey(c.Request().Context(), access.Reader{Name: name, Table: ask.Table, People: ask.People, MadeBy: deviceOf(c).Person})
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.ReadingKeyMade{ID: id, Key: key})
}

func (s *server) revokeKey(c echo.Context) error {
	if err := s.Gate.RevokeKey(c.Request().Context(), c.Param("id"), deviceOf(c).Person); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, struct{}{})
}
