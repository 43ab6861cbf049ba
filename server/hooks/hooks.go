// Package hooks tells other programs what has happened, by signed requests to addresses that an owner gave (webhooks), as Standard
// Webhooks 1.0.0 (standardwebhooks.com) describes them. What is to be sent waits in the database, so it survives a restart; each message
// arrives at least once, under one id, and in no promised order. The central type is Hooks: Look notices what has happened and queues it,
// Deliver sends what is due, Run does both until its context ends.
package hooks

import (
	"context"
	"crypto/rand"
	"crypto/x509"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	mathrand "math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
)

// States of a hook.
const (
	On     = "on"
	Off    = "off"
	Failed = "failed"
)

// Limits.
const (
	mostHooks = 20
	// mostWaiting is how many messages may wait for one hook. One that takes nothing for so long is switched off.
	mostWaiting = 1000
	// triesKept is how many tries of a hook the log has, messagesKept how long a message that was sent is known, so that its id is not
	// queued again.
	triesKept    = 50
	messagesKept = 30 * 24 * time.Hour
	// oldSecretFor is how long the secret before the newest still signs.
	oldSecretFor = 24 * time.Hour
	secretBytes  = 32
	// lookEvery is how often it is looked when no note comes: a backup grows old and a phone silent by time alone.
	lookEvery = 10 * time.Minute
)

// Errors that a caller can test for.
var (
	ErrNoHook = schema.NewProblem(http.StatusNotFound, "no_such_hook", "No webhook has this id.", "Reload the list.")
	ErrMany   = schema.NewProblem(http.StatusConflict, "too_many_hooks", fmt.Sprintf("There are %d webhooks.", mostHooks), "Remove one first.")
	ErrEvent  = schema.NewProblem(http.StatusBadRequest, "no_such_event", "There is no such event.", "The events are "+strings.Join(Events, ", ")+".")
)

// Journal is what is read of the notes.
type Journal interface {
	Read(ctx context.Context, f func(*journal.Snapshot) error) error
}

// Options are what Hooks depends on. Beds is the whole nursery as its last walks show it, Incidents what is wrong with phones and server, nil where nobody
// looks. Local allows addresses of this machine and of
// private networks. Within is how long one try may take, from the look-up of the name to the end of the answer, 0 for 15 seconds. Roots
// are the authorities that certificates are checked by, nil for the system's. A nil Now is the system's clock, a nil Random its random
// source, and a nil Jitter lengthens waits by up to a tenth.
type Options struct {
	DB        DB
	Journal   Journal
	Beds      func(ctx context.Context) (schema.BedsView, error)
	Incidents func(ctx context.Context) ([]Incident, error)
	Local     bool
	Within    time.Duration
	Roots     *x509.CertPool
	Now       func() time.Time
	Random    io.Reader
	Jitter    func(time.Duration) time.Duration
	Log       *slog.Logger
}

// Hooks keeps the list of hooks, notices what happens and sends it. Its methods are safe for many goroutines.
type Hooks struct {
	Options
	client *http.Client
	// looking and sending are each held while one goroutine does that.
	looking, sending sync.Mutex
	// changed wakes the looking of Run, queued its sending.
	changed, queued chan struct{}
}

// New makes Hooks on an open database.
func New(o Options) *Hooks {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	if o.Jitter == nil {
		o.Jitter = func(d time.Duration) time.Duration { return d + time.Duration(mathrand.Int64N(int64(d/10)+1)) }
	}
	if o.Within == 0 {
		o.Within = within
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &Hooks{Options: o, client: client(o), changed: make(chan struct{}, 1), queued: make(chan struct{}, 1)}
}

// Hook is an address that gets a message when something happens. Times are milliseconds since 1970, 0 for never.
type Hook struct {
	ID, Name, URL, MadeBy, State, Why         string
	Events                                    []string
	MadeAt, ChangedAt, FailingSince, OldUntil int64
	Waiting                                   int
	secret, oldSecret                         string
}

// Try is one attempt to send a message. Status is that of the answer, 0 where none came, and Error why; Answer is how the answer began.
type Try struct {
	Message, Type, Error, Answer string
	Try, Status                  int
	At, MS                       int64
}

// OK is true where the message was taken.
func (t Try) OK() bool { return t.Status >= 200 && t.Status < 300 && t.Error == "" }

// Make adds a hook, and gives the secret that it signs by, the only time that it is seen. Of hook, Name, URL, Events and MadeBy count. The
// errors are ErrMany, ErrEvent and those of CheckURL.
func (h *Hooks) Make(ctx context.Context, hook Hook) (id, secret string, err error) {
	if err := CheckURL(hook.URL, h.Local); err != nil {
		return "", "", err
	}
	if len(hook.Events) == 0 || slices.ContainsFunc(hook.Events, func(e string) bool { return !slices.Contains(Events, e) }) {
		return "", "", ErrEvent
	}
	if secret, err = h.drawSecret(); err != nil {
		return "", "", err
	}
	if id, err = h.hexID(); err != nil {
		return "", "", err
	}
	err = h.listen(ctx, func(tx Tx) error {
		var count int
		if err := tx.QueryRow("select count(*) from hooks").Scan(&count); err != nil {
			return err
		}
		if count >= mostHooks {
			return ErrMany
		}
		now := h.Now().UnixMilli()
		_, err := tx.Exec("insert into hooks (id, name, url, events, secret, made_by, made_at, changed_at) values (?, ?, ?, ?, ?, ?, ?, ?)",
			id, hook.Name, hook.URL, strings.Join(hook.Events, " "), secret, hook.MadeBy, now, now)
		return err
	})
	if err != nil {
		return "", "", err
	}
	return id, secret, nil
}

// listen changes which hooks are on. What has happened until now is for those that are on now, what comes is for those that are on then.
func (h *Hooks) listen(ctx context.Context, f func(Tx) error) error {
	h.lookNow(ctx)
	if err := h.DB.Write(ctx, f); err != nil {
		return err
	}
	h.lookNow(ctx)
	return nil
}

// lookNow looks where nothing else fails if looking does; the next change has it tried again.
func (h *Hooks) lookNow(ctx context.Context) {
	if err := h.Look(ctx); err != nil && ctx.Err() == nil && !errors.Is(err, db.ErrFull) {
		h.Log.Warn("what has happened could not be looked at for webhooks; it is tried at the next change", "error", err)
	}
}

// List is every hook, in the order in which they were made.
func (h *Hooks) List(ctx context.Context) (all []Hook, err error) {
	err = h.DB.Read(ctx, func(tx Tx) error {
		all, err = hooks(tx, "order by made_at, id")
		return err
	})
	return all, err
}

// Failing are the hooks that were switched off because their messages were not taken, without what is secret of them.
func (h *Hooks) Failing(ctx context.Context) (failed []schema.Hook, err error) {
	all, err := h.List(ctx)
	for _, hook := range all {
		if hook.State == Failed {
			failed = append(failed, schema.Hook{ID: hook.ID, Name: hook.Name, State: hook.State, Why: hook.Why, ChangedAt: hook.ChangedAt})
		}
	}
	return failed, err
}

// Tries are the last tries of a hook, newest first.
func (h *Hooks) Tries(ctx context.Context, id string) (all []Try, err error) {
	err = h.DB.Read(ctx, func(tx Tx) error {
		rows, err := tx.Query("select message, type, try, at, ms, status, error, answer from hook_tries where hook = ? order by n desc", id)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var t Try
			if err := rows.Scan(&t.Message, &t.Type, &t.Try, &t.At, &t.MS, &t.Status, &t.Error, &t.Answer); err != nil {
				return err
			}
			all = append(all, t)
		}
		return rows.Err()
	})
	return all, err
}

// Switch turns a hook on or off. What happens while it is off is not sent later, and what was waiting is given up.
func (h *Hooks) Switch(ctx context.Context, id string, on bool) error {
	state := Off
	if on {
		state = On
	}
	return h.listen(ctx, func(tx Tx) error {
		if hook, err := oneHook(tx, id); err != nil || hook.State == state {
			return err
		}
		return h.setState(tx, id, state, "")
	})
}

// Remove forgets a hook, what waits for it, and its log.
func (h *Hooks) Remove(ctx context.Context, id string) error {
	return h.listen(ctx, func(tx Tx) error {
		if _, err := oneHook(tx, id); err != nil {
			return err
		}
		for _, query := range []string{"delete from hook_tries where hook = ?", "delete from hook_messages where hook = ?", "delete from hooks where id = ?"} {
			if _, err := tx.Exec(query, id); err != nil {
				return err
			}
		}
		return nil
	})
}

// Rotate gives a hook a new secret, the only time that it is seen. The one before it signs too for another day.
func (h *Hooks) Rotate(ctx context.Context, id string) (secret string, err error) {
	if secret, err = h.drawSecret(); err != nil {
		return "", err
	}
	return secret, h.DB.Write(ctx, func(tx Tx) error {
		hook, err := oneHook(tx, id)
		if err != nil {
			return err
		}
		_, err = tx.Exec("update hooks set secret = ?, old_secret = ?, old_until = ? where id = ?",
			secret, hook.secret, h.Now().Add(oldSecretFor).UnixMilli(), id)
		return err
	})
}

// oneHook is a hook that is there; ErrNoHook where it is not.
func oneHook(tx Tx, id string) (Hook, error) {
	found, err := hooks(tx, "where id = ?", id)
	if err != nil {
		return Hook{}, err
	}
	if len(found) == 0 {
		return Hook{}, ErrNoHook
	}
	return found[0], nil
}

func (h *Hooks) setState(tx Tx, id, state, why string) error {
	if _, err := tx.Exec("update hooks set state = ?, why = ?, changed_at = ?, failing_since = 0 where id = ?", state, why, h.Now().UnixMilli(), id); err != nil {
		return err
	}
	_, err := tx.Exec("update hook_messages set state = 'given_up' where hook = ? and state = 'waiting'", id)
	return err
}

func hooks(tx Tx, rest string, args ...any) (all []Hook, err error) {
	rows, err := tx.Query(`select id, name, url, events, secret, old_secret, old_until, made_by, made_at, state, why, changed_at, failing_since,
		(select count(*) from hook_messages m where m.hook = hooks.id and m.state = 'waiting') from hooks `+rest, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var h Hook
		var events string
		if err := rows.Scan(&h.ID, &h.Name, &h.URL, &events, &h.secret, &h.oldSecret, &h.OldUntil, &h.MadeBy, &h.MadeAt, &h.State, &h.Why,
			&h.ChangedAt, &h.FailingSince, &h.Waiting); err != nil {
			return nil, err
		}
		h.Events = strings.Fields(events)
		all = append(all, h)
	}
	return all, rows.Err()
}

func (h *Hooks) drawSecret() (string, error) {
	raw := make([]byte, secretBytes)
	if _, err := io.ReadFull(h.Random, raw); err != nil {
		return "", fmt.Errorf("draw a secret: %w", err)
	}
	return secretPrefix + base64.StdEncoding.EncodeToString(raw), nil
}

func (h *Hooks) hexID() (string, error) {
	raw := make([]byte, 8)
	if _, err := io.ReadFull(h.Random, raw); err != nil {
		return "", fmt.Errorf("draw an id: %w", err)
	}
	return hex.EncodeToString(raw), nil
}

// Changed says that the journal has changed; Run looks what that was.
func (h *Hooks) Changed() { nudge(h.changed) }

// nudge wakes whoever waits, or whoever waits next.
func nudge(waiting chan struct{}) {
	select {
	case waiting <- struct{}{}:
	default:
	}
}

// settle is how long changes are gathered before they are looked at: a phone that returns pushes batch after batch.
const settle = 2 * time.Second

// Run looks and sends until its context ends. What fails is logged and tried again. Looking does not wait for receivers that answer late.
func (h *Hooks) Run(ctx context.Context) {
	h.Changed()
	var looking sync.WaitGroup
	looking.Go(func() { h.keepLooking(ctx) })
	h.keepSending(ctx)
	looking.Wait()
}

func (h *Hooks) keepLooking(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-h.changed:
		case <-time.After(lookEvery):
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(settle):
		}
		h.lookNow(ctx)
	}
}

func (h *Hooks) keepSending(ctx context.Context) {
	due := time.NewTimer(time.Hour)
	defer due.Stop()
	for {
		next, err := h.Deliver(ctx)
		if err != nil && ctx.Err() == nil {
			h.Log.Warn("webhooks could not be sent; they are tried again", "error", err)
			next = h.Now().Add(time.Minute)
		}
		wait := time.Hour
		if !next.IsZero() {
			wait = max(next.Sub(h.Now()), 0)
		}
		due.Reset(wait)
		select {
		case <-ctx.Done():
			return
		case <-due.C:
		case <-h.queued:
		}
	}
}
