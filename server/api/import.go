package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

// maxUnsent bounds an exported file of unsent notes: a season of one phone is about 20 MB.
const maxUnsent = 64 << 20

func (s *server) unsent(c echo.Context) error {
	raw, err := readBody(c, maxUnsent, maxUnsent)
	if err != nil {
		return err
	}
	var file schema.UnsentFile
	if err := decode(raw, &file); err != nil {
		return err
	}
	entries := append(file.Entries, file.Aside...)
	if file.Bedwalk != "unsent notes" || len(entries) == 0 {
		return schema.NewProblem(http.StatusBadRequest, "not_unsent", "This is no file of unsent notes, or it has none.",
			"Choose the file that the phone's settings page saved.")
	}
	standing, err := s.senderLookup(c)
	if err != nil {
		return err
	}
	taken, err := s.Journal.Import(c.Request().Context(), entries, standing)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.UnsentAnswer{Entries: len(entries), Merged: taken.Merged, Known: taken.Known, Quarantined: taken.Quarantined})
}

// handBack takes what a phone still has of others' notes after the server was set back. Any phone may give back, since
// the writer's own may be gone; each note stays its writer's.
func (s *server) handBack(c echo.Context) error {
	var h schema.HandBack
	if err := readJSON(c, &h); err != nil {
		return err
	}
	answer, err := s.Journal.HandBack(c.Request().Context(), deviceOf(c).ID, h)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, answer)
}

// senderLookup answers how any device stands, as of now.
func (s *server) senderLookup(c echo.Context) (journal.SenderLookup, error) {
	devices, err := s.Gate.Devices(c.Request().Context())
	if err != nil {
		return nil, err
	}
	known := map[string]journal.Sender{}
	for _, d := range devices {
		known[d.ID] = senderOf(d)
	}
	own, err := s.Journal.OwnDevice(c.Request().Context())
	if err != nil {
		return nil, err
	}
	return func(device string) journal.Sender {
		from, paired := known[device]
		if !paired && device != own {
			// Nobody was ever paired under this name, so it writes in nobody's.
			from.People = []string{}
		}
		return from
	}, nil
}

func senderOf(d access.Device) journal.Sender {
	return journal.Sender{Device: d.ID, PairedAt: d.PairedAt, Role: d.Role, Revoked: d.RevokedAt > 0, People: d.People}
}

func (s *server) quarantineStates(c echo.Context) error {
	var ask schema.QuarantineAsk
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	notes, err := s.Journal.QuarantineStates(c.Request().Context(), ask.IDs)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.QuarantineAnswer{Notes: notes})
}
