package journal

import (
	"context"
	"net/http"
	"strings"

	"bedwalk/schema"
)

// ErrNoSuchIncident says that an incident cannot be put away.
var ErrNoSuchIncident = schema.NewProblem(http.StatusNotFound, "no_such_incident", "This trouble is put away already, or it has come back since.",
	"Load the page again.")

// maxDetail bounds an incident's detail, in characters: what a device sends must not fill the page of the phones.
const maxDetail = 500

// File keeps an incident for the supervisor to see. There is one for each device and code, with a count: the newest
// detail stands for all, and one that was over or put away is open again.
func (s *Store) File(ctx context.Context, device, code, detail string) error {
	return s.site.Write(ctx, func(tx Tx) error { return fileIncident(tx, s.NowMS(), device, code, detail) })
}

// Over closes an incident that has ended by itself; one that is not open is left as it is.
func (s *Store) Over(ctx context.Context, device, code string) error {
	return s.site.Write(ctx, func(tx Tx) error { return tx.EndIncident(device, code, s.NowMS()) })
}

func (b *batch) file(device, code, detail string) error {
	return fileIncident(b.tx, b.now, device, code, detail)
}

func fileIncident(tx Tx, now int64, device, code, detail string) error {
	return tx.PutIncident(device, code, shorten(detail, maxDetail), now)
}

// Seen puts an incident away as it stood at a time, on a person's word. ErrNoSuchIncident is the answer where it has
// come back since, so that nobody puts away what they have not read.
func (s *Store) Seen(ctx context.Context, seen schema.IncidentSeen, person string) error {
	return s.site.Write(ctx, func(tx Tx) error {
		open, err := tx.SeeIncident(seen.Device, seen.Code, seen.At, s.NowMS(), person)
		if err == nil && !open {
			err = ErrNoSuchIncident
		}
		return err
	})
}

// Incidents are those that nobody has put away, open ones first and then by their last time, newest first, at most limit;
// all is how many there are.
func (s *Store) Incidents(ctx context.Context, limit int) (some []schema.Incident, all int, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		some, all, err = snap.Incidents(limit)
		return err
	})
	return append([]schema.Incident{}, some...), all, err
}

// shorten is a text of at most so many characters, whatever bytes it is made of.
func shorten(text string, most int) string {
	text = strings.ToValidUTF8(text, "�")
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most-1]) + "…"
	}
	return text
}
