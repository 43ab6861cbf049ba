package api

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"mime"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/export"
	"bedwalk/server/view"
)

var idForm = regexp.MustCompile(`^[0-9a-f]{32}$`)

// observations is the CSV (RFC 4180) of every pot that was looked at; what was not looked at is empty, never 0.
func (s *server) observations(c echo.Context) error {
	only := view.Filter{Bed: c.QueryParam("bed"), Lot: c.QueryParam("lot"), From: c.QueryParam("from"), To: c.QueryParam("to")}
	for name, id := range map[string]string{"bed": only.Bed, "lot": only.Lot} {
		if id != "" && !idForm.MatchString(id) {
			return schema.NewProblem(http.StatusBadRequest, "parameter", "Parameter "+name+" is "+strconv.Quote(shorten(id))+".", "Give the id of a "+name+", or leave it out for all.")
		}
	}
	for name, day := range map[string]string{"from": only.From, "to": only.To} {
		if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
			return schema.NewProblem(http.StatusBadRequest, "parameter", "Parameter "+name+" is "+strconv.Quote(shorten(day))+".", "Give a day such as 2026-03-14, or leave it out.")
		}
	}
	return s.potsAsCSV(c, only)
}

func (s *server) potsAsCSV(c echo.Context, only view.Filter) error {
	if err := s.attach(c, export.PotsTable, "csv", "text/csv; charset=utf-8; header=present"); err != nil {
		return err
	}
	out := csv.NewWriter(c.Response())
	out.UseCRLF = true
	if err := out.Write(export.PotColumns); err != nil {
		return err
	}
	err := s.Views.Observations(c.Request().Context(), only, func() error {
		out.Flush()
		return errors.Join(prolong(c), out.Error())
	}, func(r view.PotRow) error { return out.Write(export.PotCells(r)) })
	out.Flush()
	return s.cutShort(c, errors.Join(err, out.Error()))
}

// tableCSV is one table as it stands now.
func (s *server) tableCSV(c echo.Context) error {
	name, err := tableName(c)
	if err != nil {
		return err
	}
	if s.hasAlready(c, name+".csv") {
		return c.NoContent(http.StatusNotModified)
	}
	if name == export.PotsTable {
		return s.potsAsCSV(c, view.Filter{})
	}
	return s.whole(c, name, "csv", "text/csv; charset=utf-8; header=present", export.TableCSV)
}

// tableJSON is the same table with its values as they were written.
func (s *server) tableJSON(c echo.Context) error {
	name, err := tableName(c)
	if err != nil {
		return err
	}
	if s.hasAlready(c, name+".json") {
		return c.NoContent(http.StatusNotModified)
	}
	if name != export.PotsTable {
		return s.whole(c, name, "json", echo.MIMEApplicationJSON, export.TableJSON)
	}
	if err := s.attach(c, name, "json", echo.MIMEApplicationJSON); err != nil {
		return err
	}
	out, before := bufio.NewWriter(c.Response()), "["
	err = s.Views.Observations(c.Request().Context(), view.Filter{}, func() error { return prolong(c) }, func(r view.PotRow) error {
		row, err := export.PotJSON(r)
		if err != nil {
			return err
		}
		_, err = out.WriteString(before + string(row))
		before = ",\n"
		return err
	})
	if before == "[" && err == nil {
		_, err = out.WriteString(before)
	}
	if err == nil {
		_, err = out.WriteString("]\n")
	}
	return s.cutShort(c, errors.Join(err, out.Flush()))
}

// notes are all notes, exactly as they were written, as JSON lines.
func (s *server) notes(c echo.Context) error {
	if err := s.attach(c, "notes", "jsonl", "application/jsonl"); err != nil {
		return err
	}
	out := bufio.NewWriter(c.Response())
	err := export.Notes(c.Request().Context(), s.Journal, out, func() error { return prolong(c) })
	return s.cutShort(c, errors.Join(err, out.Flush()))
}

func tableName(c echo.Context) (string, error) {
	name := c.Param("id")
	if !slices.Contains(export.TableNames(), name) {
		return "", noSuchTable(name)
	}
	if r := readerOf(c); r.ID != "" && name == peopleTable && !r.People {
		return "", errKeyPeople
	}
	return name, nil
}

func noSuchTable(name string) error {
	return schema.NewProblem(http.StatusNotFound, "no_such_table", "There is no table "+strconv.Quote(shorten(name))+".", "The tables are "+strings.Join(export.TableNames(), ", ")+".")
}

// whole answers with a table that is small enough to be made before any of it is sent.
func (s *server) whole(c echo.Context, name, ending, media string, write func(context.Context, export.Journal, string, io.Writer) error) error {
	var all bytes.Buffer
	if err := write(c.Request().Context(), s.Journal, name, &all); err != nil {
		return err
	}
	if err := s.attach(c, name, ending, media); err != nil {
		return err
	}
	return c.Blob(http.StatusOK, media, all.Bytes())
}

// attach names the file for whose it is, what it holds and when it was made: "Quillfen lots 2026-11-29.csv" (RFC 6266).
func (s *server) attach(c echo.Context, table, ending, media string) error {
	site, _, err := s.Views.Site(c.Request().Context())
	if err != nil {
		return err
	}
	plural := map[string]string{"person": "people", "site": "nursery", export.PotsTable: export.PotsTable, "notes": "notes"}
	what := cmp.Or(plural[table], table+"s")
	clean := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) || unicode.IsControl(r) {
			return '-'
		}
		return r
	}, site)
	day := time.UnixMilli(s.Journal.NowMS()).UTC().Format(time.DateOnly)
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, media)
	h.Set(echo.HeaderContentDisposition, mime.FormatMediaType("attachment", map[string]string{"filename": strings.TrimSpace(clean+" "+what+" "+day) + "." + ending}))
	return nil
}

// prolong gives the next part of a table its own time on the way.
func prolong(c echo.Context) error {
	if err := http.NewResponseController(c.Response()).SetWriteDeadline(time.Now().Add(partWithin)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	return nil
}

// cutShort ends a download that failed after it was begun: it cannot become an error any more, and must not look whole.
func (s *server) cutShort(c echo.Context, err error) error {
	if err != nil && c.Response().Committed {
		s.Log.Warn("an export was cut short", "error", err)
		panic(http.ErrAbortHandler)
	}
	return err
}

// partWithin is how long a part of a table may be on its way. The whole may take as long as it does.
const partWithin = 2 * time.Minute
