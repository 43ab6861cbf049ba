package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// firstOf reads what is said of a first pull.
func firstOf(c echo.Context) journal.First {
	return journal.First{Alive: c.QueryParam("alive"), Houses: c.QueryParam("houses"), Person: deviceOf(c).Person}
}

// gone tells what a first pull left out, with a summary of each lot.
func (s *server) gone(c echo.Context) error {
	gone, err := s.Journal.Gone(c.Request().Context(), firstOf(c), c.QueryParam("after"))
	if err != nil {
		return err
	}
	lots := make([]string, len(gone.Lots))
	for i, lot := range gone.Lots {
		lots[i] = lot.Lot
	}
	summaries, err := s.Views.Summaries(c.Request().Context(), lots)
	if err != nil {
		return err
	}
	for i, lot := range lots {
		gone.Lots[i].Summary = summaries[lot]
	}
	return c.JSON(http.StatusOK, gone)
}

func (s *server) lotEntries(c echo.Context) error {
	r, err := reachOf(c)
	if err != nil {
		return err
	}
	page, err := s.Journal.EntriesOfLot(c.Request().Context(), c.Param("id"), r)
	return writeEntries(c, page, err)
}

func (s *server) entries(c echo.Context) error {
	r, err := reachOf(c)
	if err != nil {
		return err
	}
	page, err := s.Journal.EntriesOfKeys(c.Request().Context(), c.QueryParams()["key"], r)
	return writeEntries(c, page, err)
}

func writeEntries(c echo.Context, page schema.Page, err error) error {
	if err != nil {
		return err
	}
	items := page.Items
	page.Items = []schema.Pulled{}
	return writePage(c, page, items)
}

// reachOf reads how much of the journal is asked for.
func reachOf(c echo.Context) (r journal.Reach, err error) {
	r.Epoch = c.QueryParam("epoch")
	if c.QueryParam("upto") == "" {
		return r, schema.NewProblem(http.StatusBadRequest, journal.CodeParameter, "Parameter upto is missing.", "Give the position of your cursor as upto, with its epoch.")
	}
	if r.UpTo, err = number(c, "upto", 0); err != nil {
		return r, err
	}
	if r.After, err = number(c, "after", 0); err != nil {
		return r, err
	}
	limit, err := number(c, "limit", journal.MaxPage)
	r.Limit = int(min(limit, journal.MaxPage))
	return r, err
}
