package hooks

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// Events are the types of messages that a hook can ask for.
var Events = []string{WalkEnded, FindingAppeared, FindingLeft, ShipWeekChanged, IncidentAppeared, IncidentLeft}

// Types of messages.
const (
	// WalkEnded: a note that ends a walk was merged.
	WalkEnded = "walk.ended"
	// FindingAppeared: a bed is judged to have something that needs a step, which it was not when it was looked last; FindingLeft: it
	// no longer is, because a later walk did not find it, its lots left, or the crop is judged otherwise now.
	FindingAppeared = "finding.appeared"
	FindingLeft     = "finding.left"
	// ShipWeekChanged: a lot has another ship week than before, or one where it had none.
	ShipWeekChanged = "lot.ship_week_changed"
	// IncidentAppeared: something is wrong with a phone, the server or its backups, which was not when it was looked last; IncidentLeft:
	// it is over, or somebody put it away.
	IncidentAppeared = "incident.appeared"
	IncidentLeft     = "incident.left"
)

// pageOf is how many positions of the journal are read in one go.
const pageOf = 1000

// happened is something that a message is sent about, and what its id is made of. That of a note follows from the note: noticed again, as
// after a restored backup, it is the same message. A finding may leave and come back by itself, so its id has the time in it.
type happened struct {
	kind string
	at   time.Time
	of   []string
	data any
}

func (e happened) id() string {
	hash := sha256.Sum256([]byte(strings.Join(append([]string{e.kind}, e.of...), "\n")))
	return "msg_" + hex.EncodeToString(hash[:16])
}

// What messages say beside their type and time.
type (
	walkEnded struct {
		Walk    string `json:"walk"`
		Bed     string `json:"bed"`
		BedName string `json:"bed_name"`
		Why     string `json:"why"`
	}
	findingChanged struct {
		Bed     string `json:"bed"`
		BedName string `json:"bed_name"`
		finding
		Walk string `json:"walk"`
	}
	shipWeekChanged struct {
		Lot string `json:"lot"`
		Tag string `json:"tag"`
		Was string `json:"was"`
		Now string `json:"now"`
	}
	// Incident is something that is wrong: its code (those of schema.Incident, or backup, quarantined, silent), and the device that it is about
	// with its name, both empty where it is the server's own.
	Incident struct {
		Code       string `json:"code"`
		Device     string `json:"device,omitempty"`
		DeviceName string `json:"device_name,omitempty"`
	}
	// finding is what one is known by from walk to walk.
	finding struct {
		Code  string `json:"code"`
		Trait string `json:"trait,omitempty"`
		Lot   string `json:"lot,omitempty"`
	}
)

// Look notices what has happened since it was looked last, and queues it for the hooks that want it. When it is looked for the first
// time, nothing has happened. It writes all or nothing.
func (h *Hooks) Look(ctx context.Context) error {
	h.looking.Lock()
	defer h.looking.Unlock()
	for {
		if err := h.look(ctx); !errors.Is(err, errLooked) {
			return err
		}
	}
}

// errLooked says that another server has looked meanwhile, and queued what it saw.
var errLooked = errors.New("another server has looked at the same time")

func (h *Hooks) look(ctx context.Context) error {
	was, anyOn, err := h.known(ctx)
	if err != nil {
		return err
	}
	if !anyOn {
		// What happens while nobody listens is nobody's news later.
		if len(was) == 0 {
			return nil
		}
		return h.DB.Write(ctx, func(tx Tx) error {
			_, err := tx.Exec("delete from hook_state")
			return err
		})
	}
	beds, err := h.Beds(ctx)
	if err != nil {
		return err
	}
	now := map[string]string{}
	events := h.findings(beds, was, now)
	more, err := h.journal(ctx, beds, was, now)
	if err != nil {
		return err
	}
	wrong, err := h.incidents(ctx, was, now)
	if err != nil {
		return err
	}
	if len(was) == 0 {
		return h.keep(ctx, was, now, nil)
	}
	return h.keep(ctx, was, now, slices.Concat(more, events, wrong))
}

// known is what was known when it was looked last, and whether a hook listens.
func (h *Hooks) known(ctx context.Context) (was map[string]string, anyOn bool, err error) {
	err = h.DB.Read(ctx, func(tx Tx) error {
		if err := tx.QueryRow("select count(*) > 0 from hooks where state = 'on'").Scan(&anyOn); err != nil {
			return err
		}
		was, err = stateOf(tx)
		return err
	})
	return was, anyOn, err
}

// Names in the state.
const (
	stateCursor   = "cursor"
	stateBed      = "bed:"
	stateLot      = "lot:"
	stateIncident = "incident:"
)

// findings compares what the beds' last walks found, of what needs a step.
func (h *Hooks) findings(view schema.BedsView, was, now map[string]string) (events []happened) {
	for _, house := range view.Houses {
		for _, bed := range house.Beds {
			var found []finding
			if bed.Score != nil {
				for _, f := range bed.Score.Findings {
					if one := (finding{f.Code, f.Trait, f.Lot}); f.Attention && !slices.Contains(found, one) {
						found = append(found, one)
					}
				}
			}
			slices.SortFunc(found, func(a, b finding) int {
				return cmp.Or(cmp.Compare(a.Code, b.Code), cmp.Compare(a.Trait, b.Trait), cmp.Compare(a.Lot, b.Lot))
			})
			var before []finding
			// What was written here is read here; of what cannot be read nothing was known.
			_ = json.Unmarshal([]byte(was[stateBed+bed.ID]), &before)
			if len(found) > 0 {
				raw, _ := json.Marshal(found)
				now[stateBed+bed.ID] = string(raw)
			}
			differ := func(kind string, these, others []finding) {
				for _, f := range these {
					if !slices.Contains(others, f) {
						at := h.Now()
						events = append(events, happened{kind, at, []string{bed.ID, f.Code, f.Trait, f.Lot, bed.LastWalk, at.String()},
							findingChanged{Bed: bed.ID, BedName: bed.Name, finding: f, Walk: bed.LastWalk}})
					}
				}
			}
			differ(FindingAppeared, found, before)
			differ(FindingLeft, before, found)
		}
	}
	return events
}

// incidents compares what is wrong.
func (h *Hooks) incidents(ctx context.Context, was, now map[string]string) (events []happened, err error) {
	if h.Incidents == nil {
		return nil, nil
	}
	all, err := h.Incidents(ctx)
	if err != nil {
		return nil, err
	}
	at := h.Now()
	differ := func(kind string, one Incident) {
		events = append(events, happened{kind, at, []string{one.Code, one.Device, at.String()}, one})
	}
	for _, one := range all {
		name := stateIncident + one.Code + " " + one.Device
		if _, known := was[name]; !known {
			differ(IncidentAppeared, one)
		}
		raw, _ := json.Marshal(one)
		now[name] = string(raw)
	}
	for _, name := range slices.Sorted(maps.Keys(was)) {
		if _, still := now[name]; still || !strings.HasPrefix(name, stateIncident) {
			continue
		}
		var one Incident
		if json.Unmarshal([]byte(was[name]), &one) == nil {
			differ(IncidentLeft, one)
		}
	}
	return events, nil
}

// journal reads what was merged since: walks that ended, and lots if any was written.
func (h *Hooks) journal(ctx context.Context, view schema.BedsView, was, now map[string]string) (events []happened, err error) {
	names := map[string]string{}
	for _, house := range view.Houses {
		for _, bed := range house.Beds {
			names[bed.ID] = bed.Name
		}
	}
	first := was[stateCursor] == ""
	cursor, _ := strconv.ParseInt(was[stateCursor], 10, 64)
	lots := first
	for {
		var head int64
		err = h.Journal.Read(ctx, func(snap *journal.Snapshot) error {
			head = snap.Head
			if first {
				cursor = head
			}
			upTo := min(cursor+pageOf, head)
			placed, entries, err := snap.PlacedAfter(cursor, upTo)
			if err != nil {
				return err
			}
			for i, e := range entries {
				switch e.Kind {
				case "walk_end":
					var end schema.WalkEnd
					if json.Unmarshal(e.Body, &end) == nil {
						events = append(events, happened{WalkEnded, time.UnixMilli(placed[i].Stamp.At), []string{e.ID},
							walkEnded{end.Walk, end.Bed, names[end.Bed], end.Why}})
					}
				case "lot", "void", "unvoid":
					lots = true
				}
			}
			if cursor = max(cursor, upTo); cursor < head || !lots {
				return nil
			}
			changed, err := h.lots(snap, was, now)
			events = append(events, changed...)
			return err
		})
		if err != nil {
			return nil, err
		}
		if cursor >= head {
			break
		}
	}
	now[stateCursor] = strconv.FormatInt(cursor, 10)
	if !lots {
		for name, value := range was {
			if strings.HasPrefix(name, stateLot) {
				now[name] = value
			}
		}
	}
	return events, nil
}

// lots compares the ship weeks of all lots.
func (h *Hooks) lots(snap *journal.Snapshot, was, now map[string]string) (events []happened, err error) {
	err = snap.OfKind("lot", func(r schema.Record) error {
		if r.Register == nil {
			return nil
		}
		text := func(field string) (value string) {
			_ = json.Unmarshal(r.Register.Fields[field].Value, &value)
			return value
		}
		week, name := text("ship_week"), stateLot+r.Register.Of
		if week != "" {
			now[name] = week
		}
		if before := was[name]; before != week {
			events = append(events, happened{ShipWeekChanged, h.Now(),
				append([]string{r.Register.Of, before, week}, r.Register.Fields["ship_week"].Live...),
				shipWeekChanged{r.Register.Of, text("tag"), before, week}})
		}
		return nil
	})
	return events, err
}

// keep writes in one transaction what is known now and what is to be sent.
func (h *Hooks) keep(ctx context.Context, was, now map[string]string, events []happened) error {
	if maps.Equal(was, now) && len(events) == 0 {
		return nil
	}
	at := h.Now()
	err := h.DB.Write(ctx, func(tx Tx) error {
		// What another server queued since would be queued again, under other ids.
		if still, err := stateOf(tx); err != nil || !maps.Equal(still, was) {
			return cmp.Or(err, errLooked)
		}
		for name := range was {
			if _, still := now[name]; !still {
				if _, err := tx.Exec("delete from hook_state where name = ?", name); err != nil {
					return err
				}
			}
		}
		for name, value := range now {
			if was[name] == value {
				continue
			}
			_, gone := tx.Exec("delete from hook_state where name = ?", name)
			_, err := tx.Exec("insert into hook_state values (?, ?)", name, value)
			if err := errors.Join(gone, err); err != nil {
				return err
			}
		}
		if len(events) == 0 {
			return nil
		}
		if _, err := tx.Exec("delete from hook_messages where state <> 'waiting' and made_at < ?", at.Add(-messagesKept).UnixMilli()); err != nil {
			return err
		}
		all, err := hooks(tx, "where state = 'on'")
		if err != nil {
			return err
		}
		for _, hook := range all {
			if err := h.queue(tx, hook, events, at); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil && len(events) > 0 {
		nudge(h.queued)
	}
	return err
}

func (h *Hooks) queue(tx Tx, hook Hook, events []happened, at time.Time) error {
	for _, e := range events {
		if !slices.Contains(hook.Events, e.kind) {
			continue
		}
		text, err := bodyOf(e.kind, e.at, e.data)
		if err != nil {
			return err
		}
		result, err := tx.Exec("insert into hook_messages (hook, id, type, body, made_at, next_at) values (?, ?, ?, ?, ?, ?) on conflict do nothing",
			hook.ID, e.id(), e.kind, text, at.UnixMilli(), at.UnixMilli())
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err == nil {
			hook.Waiting += int(n)
		}
	}
	if hook.Waiting > mostWaiting {
		return h.setState(tx, hook.ID, Failed, whyQueue)
	}
	return nil
}
