package api

import (
	"encoding/csv"
	"errors"
	"net/http"
	"regexp"
	"strconv"
	"time"

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
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "text/csv; charset=utf-8; header=present")
	h.Set(echo.HeaderContentDisposition, `attachment; filename="observations.csv"`)
	out := csv.NewWriter(c.Response())
	out.UseCRLF = true
	if err := out.Write(export.PotColumns); err != nil {
		return err
	}
	control := http.NewResponseController(c.Response())
	err := s.Views.Observations(c.Request().Context(), only, func() error {
		out.Flush()
		if err := control.SetWriteDeadline(time.Now().Add(partWithin)); err != nil && !errors.Is(err, http.ErrNotSupported) {
			return err
		}
		return out.Error()
	}, func(r view.PotRow) error { return out.Write(export.PotCells(r)) })
	out.Flush()
	if err = errors.Join(err, out.Error()); err != nil && c.Response().Committed {
		// A table that was begun cannot become an error; a connection that is cut is a download that failed.
		s.Log.Warn("an export was cut short", "error", err)
		panic(http.ErrAbortHandler)
	}
	return err
}

// partWithin is how long a part of a table may be on its way. The whole may take as long as it does.
const partWithin = 2 * time.Minute
