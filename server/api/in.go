package api

import (
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"
)

// maxUnsent bounds an exported file of unsent notes: a season of one phone is about 20 MB.
const maxUnsent = 64 << 20

// unsentFile is what a phone exports when nothing else is left.
type unsentFile struct {
	Bedwalk string            `json:"bedwalk"`
	Device  string            `json:"device"`
	Entries []json.RawMessage `json:"entries"`
	// Aside are notes that the phone could not even write into its own journal.
	Aside []json.RawMessage `json:"aside"`
}

// unsentAnswer counts what became of a file's notes.
type unsentAnswer struct {
	Entries int `json:"entries"`
	Merged  int `json:"merged"`
	// Known were here already; Held wait for a decision on the phones' page.
	Known int `json:"known"`
	Held  int `json:"held"`
}

func (s *server) unsent(c echo.Context) error {
	raw, err := readBody(c, maxUnsent, maxUnsent)
	if err != nil {
		return err
	}
	var file unsentFile
	if err := decode(raw, &file); err != nil {
		return err
	}
	entries := append(file.Entries, file.Aside...)
	if file.Bedwalk != "unsent notes" || len(entries) == 0 {
		return refuse(http.StatusBadRequest, "not_unsent", "This is no file of unsent notes, or it has none.",
			"Choose the file that the phone's settings page saved.")
	}
	taken, err := s.Journal.TakeIn(c.Request().Context(), entries)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, unsentAnswer{Entries: len(entries), Merged: taken.Merged, Known: taken.Known, Held: taken.Held})
}
