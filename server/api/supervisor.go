package api

import (
	"compress/gzip"
	"context"
	"encoding/json"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/view"
)

func (s *server) viewBeds(c echo.Context) error {
	v, err := s.Views.Beds(c.Request().Context(), c.QueryParam("since"))
	return show(c, v, err)
}

func (s *server) viewBed(c echo.Context) error {
	v, err := s.Views.Bed(c.Request().Context(), c.Param("id"), c.QueryParam("walk"))
	return show(c, v, err)
}

func (s *server) viewLots(c echo.Context) error {
	down, err := flag(c, "down")
	if err != nil {
		return err
	}
	disagree, err := flag(c, "disagree")
	if err != nil {
		return err
	}
	here, err := flag(c, "here")
	if err != nil {
		return err
	}
	v, err := s.Views.Lots(c.Request().Context(), view.LotsAsk{
		Search: c.QueryParam("search"), Crop: c.QueryParam("crop"), Disagree: disagree, Here: here, Sort: c.QueryParam("sort"), Down: down, After: c.QueryParam("after"),
	})
	return show(c, v, err)
}

// flag is a parameter that is 1, or left out.
func flag(c echo.Context, name string) (bool, error) {
	switch c.QueryParam(name) {
	case "":
		return false, nil
	case "1":
		return true, nil
	}
	return false, schema.NewProblem(http.StatusBadRequest, "flag", "The parameter \""+name+"\" is neither 1 nor left out.", "Write "+name+"=1, or leave it out.")
}

// viewAttention says too whether the server itself can make the backup that is missing.
func (s *server) viewAttention(c echo.Context) error {
	v, err := s.Views.Attention(c.Request().Context())
	v.Backup.CanMake = s.BackUp != nil
	for _, list := range [][]schema.AttentionItem{v.Items, v.Away} {
		for i := range list {
			list[i].CanBackUp = v.Backup.CanMake && list[i].Code == schema.AttentionBackup
		}
	}
	return show(c, v, err)
}

// backUp makes a backup while whoever asked for it waits. Leaving before it is made ends it.
func (s *server) backUp(c echo.Context) error {
	if s.BackUp == nil {
		return schema.NewProblem(http.StatusConflict, "no_backup_place", "The server does not know where to keep backups.",
			"Start it with bedwalk serve --backup-to FOLDER, best on another disk.")
	}
	made, err := s.BackUp(c.Request().Context())
	if err != nil {
		s.Log.Error("the backup failed", "error", err)
		return schema.NewProblem(http.StatusServiceUnavailable, "backup_failed", "The backup could not be made.",
			"The server's log says why. See that the place of its backups is there and has room, and try again.")
	}
	return c.JSON(http.StatusOK, made)
}

func (s *server) viewHistory(c echo.Context) error {
	v, err := s.Views.History(c.Request().Context(), c.Param("id"), c.QueryParam("walk"), c.QueryParam("before"))
	return show(c, v, err)
}

func (s *server) viewDay(c echo.Context) error {
	v, err := s.Views.Day(c.Request().Context(), view.DayAsk{
		Day: c.QueryParam("day"), By: c.QueryParam("by"), Person: c.QueryParam("person"), After: c.QueryParam("after"),
	})
	return show(c, v, err)
}

func (s *server) viewLot(c echo.Context) error {
	v, err := s.Views.Lot(c.Request().Context(), c.Param("id"))
	return show(c, v, err)
}

// try computes and writes nothing.
func (s *server) try(c echo.Context) error {
	var ask schema.TryAsk
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	v, err := s.Views.Try(c.Request().Context(), ask)
	return show(c, v, err)
}

func (s *server) viewFieldBriefing(c echo.Context) error {
	v, err := s.Views.FieldBriefing(c.Request().Context(), deviceOf(c).Person)
	return show(c, v, err)
}

// confirmClock takes an owner's word that the server's clock is right, as it was shown to them.
func (s *server) confirmClock(c echo.Context) error {
	by := deviceOf(c)
	if by.Role != access.Owner {
		return schema.NewProblem(http.StatusForbidden, "not_allowed", "Only an owner may say that the clock is right.", "Ask an owner, or set the clock of the server's machine.")
	}
	var ask schema.ClockConfirm
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	if err := s.Journal.ConfirmClock(c.Request().Context(), ask.Now, by.Name); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, struct{}{})
}

func (s *server) viewQuarantine(c echo.Context) error {
	before := int64(0)
	if raw := c.QueryParam("before"); raw != "" {
		var err error
		if before, err = strconv.ParseInt(raw, 10, 64); err != nil || before < 1 {
			return schema.NewProblem(http.StatusBadRequest, "before", "The number before which the page ends is not a whole number above 0.",
				"Ask without it for the newest notes, then with the \"older\" of each page for the next one.")
		}
	}
	v, err := s.Views.Quarantine(c.Request().Context(), c.Param("id"), before)
	return show(c, v, err)
}

// shows answers with a view that is asked for by nothing but its address.
func shows[T any](of func(Views, context.Context) (T, error)) func(*server, echo.Context) error {
	return func(s *server, c echo.Context) error {
		v, err := of(s.Views, c.Request().Context())
		return show(c, v, err)
	}
}

func show(c echo.Context, v any, err error) error {
	if err != nil {
		return err
	}
	raw, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return writeJSON(c, raw, gzip.BestSpeed)
}

func (s *server) decide(c echo.Context) error {
	var d schema.Decision
	if err := readJSON(c, &d); err != nil {
		return err
	}
	if err := s.Journal.DecideShown(c.Request().Context(), c.Param("id"), d.Decision == "merge", deviceOf(c).Person); err != nil {
		return err
	}
	// A merged note makes the journal grow, which nudges the phones anyway; the writer of one that is left out must learn of it too.
	s.Hub.Nudge(schema.Nudge{Epoch: s.Journal.Epoch(), Head: s.Journal.Head(), Build: s.Build})
	return c.JSON(http.StatusOK, struct{}{})
}

func (s *server) incidentSeen(c echo.Context) error {
	var seen schema.IncidentSeen
	if err := readJSON(c, &seen); err != nil {
		return err
	}
	if err := s.Journal.Seen(c.Request().Context(), seen, deviceOf(c).Person); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, struct{}{})
}

func (s *server) decideAll(c echo.Context) error {
	var all schema.DecideAll
	if err := readJSON(c, &all); err != nil {
		return err
	}
	decided, err := s.Journal.DecideAll(c.Request().Context(), all, deviceOf(c).Person)
	if err != nil {
		return err
	}
	s.Hub.Nudge(schema.Nudge{Epoch: s.Journal.Epoch(), Head: s.Journal.Head(), Build: s.Build})
	return c.JSON(http.StatusOK, decided)
}
