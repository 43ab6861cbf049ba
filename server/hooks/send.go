package hooks

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"
)

const secretPrefix = "whsec_"

// waits are how long after a try that failed the next one comes (Standard Webhooks 1.0.0, "Deliverability and reliability"); after
// the last the message is given up and the hook is switched off, three days after the first try.
var waits = []time.Duration{
	5 * time.Second, 5 * time.Minute, 30 * time.Minute, 2 * time.Hour, 5 * time.Hour, 10 * time.Hour, 14 * time.Hour, 20 * time.Hour, 24 * time.Hour,
}

const (
	// longestWait bounds what a receiver may ask for by Retry-After.
	longestWait = 24 * time.Hour
	// answerKept is how much of an answer the log has, answerRead how much of it is read at all.
	answerKept = 1 << 10
	answerRead = 16 << 10
)

// Why a hook has failed.
const (
	whyGone  = "gone"
	whyTries = "tries"
	whyQueue = "queue"
)

// message is one that waits for a hook.
type message struct {
	id, kind, body string
	tries          int
	hook           Hook
}

// body is what a message says.
type body struct {
	Type      string `json:"type"`
	Timestamp string `json:"timestamp"`
	Data      any    `json:"data"`
}

func bodyOf(kind string, at time.Time, data any) (string, error) {
	raw, err := json.Marshal(body{kind, at.UTC().Format(time.RFC3339), data})
	return string(raw), err
}

// sign makes the three headers of a message, signed by the secret and, while it still counts, the one before.
func (h *Hooks) sign(m message, at time.Time) (http.Header, error) {
	secrets := []string{m.hook.secret}
	if m.hook.oldSecret != "" && at.UnixMilli() < m.hook.OldUntil {
		secrets = append(secrets, m.hook.oldSecret)
	}
	var signatures []string
	for _, secret := range secrets {
		by, err := standardwebhooks.NewWebhook(secret)
		if err != nil {
			return nil, err
		}
		signature, err := by.Sign(m.id, at, []byte(m.body))
		if err != nil {
			return nil, err
		}
		signatures = append(signatures, signature)
	}
	header := http.Header{}
	header.Set(standardwebhooks.HeaderWebhookID, m.id)
	header.Set(standardwebhooks.HeaderWebhookTimestamp, strconv.FormatInt(at.Unix(), 10))
	header.Set(standardwebhooks.HeaderWebhookSignature, strings.Join(signatures, " "))
	return header, nil
}

// send tries once. After is how long the receiver asks to wait, 0 where it does not.
func (h *Hooks) send(ctx context.Context, m message) (t Try, after time.Duration) {
	at := h.Now()
	t = Try{Message: m.id, Type: m.kind, Try: m.tries + 1, At: at.UnixMilli()}
	began := time.Now()
	defer func() { t.MS = time.Since(began).Milliseconds() }()
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, m.hook.URL, strings.NewReader(m.body))
	if err == nil {
		request.Header, err = h.sign(m, at)
	}
	if err != nil {
		t.Error = err.Error()
		return t, 0
	}
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("User-Agent", "Bedwalk")
	response, err := h.client.Do(request)
	if err != nil {
		t.Error = plainError(err, h.Within)
		return t, 0
	}
	defer response.Body.Close()
	t.Status = response.StatusCode
	raw, err := io.ReadAll(io.LimitReader(response.Body, answerRead))
	t.Answer = beginning(raw)
	if err != nil {
		// The head said that it was taken, but the answer did not end in time.
		t.Error = plainError(err, h.Within)
	}
	return t, retryAfter(response, at)
}

// plainError leaves out the address, which the list has and which may hold a secret of the receiver's.
func plainError(err error, limit time.Duration) string {
	var address errAddress
	if errors.As(err, &address) {
		return address.Error()
	}
	var timeout interface{ Timeout() bool }
	if errors.As(err, &timeout) && timeout.Timeout() {
		return fmt.Sprintf("no answer within %s", limit)
	}
	for inner := errors.Unwrap(err); inner != nil; inner = errors.Unwrap(err) {
		err = inner
	}
	return beginning([]byte(err.Error()))
}

func beginning(raw []byte) string {
	raw = bytes.ToValidUTF8(raw[:min(len(raw), answerKept)], nil)
	for !utf8.Valid(raw) {
		raw = raw[:len(raw)-1]
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, string(raw))
}

// retryAfter reads the header of that name (RFC 9110, section 10.2.3) of an answer that means "later".
func retryAfter(r *http.Response, now time.Time) time.Duration {
	if r.StatusCode != http.StatusTooManyRequests && r.StatusCode != http.StatusServiceUnavailable {
		return 0
	}
	text := r.Header.Get("Retry-After")
	if seconds, err := strconv.Atoi(text); err == nil && seconds > 0 {
		return min(time.Duration(min(seconds, 1<<20))*time.Second, longestWait)
	}
	if day, err := http.ParseTime(text); err == nil && day.After(now) {
		return min(day.Sub(now), longestWait)
	}
	return 0
}

// Deliver sends to each hook what is due, side by side and one message a hook, until nothing is due any more; next is when something will
// be, zero where nothing waits.
func (h *Hooks) Deliver(ctx context.Context) (next time.Time, err error) {
	h.sending.Lock()
	defer h.sending.Unlock()
	for {
		due, next, err := h.due(ctx)
		if err != nil || len(due) == 0 || ctx.Err() != nil {
			return next, err
		}
		var all sync.WaitGroup
		failures := make([]error, len(due))
		for i, m := range due {
			all.Go(func() {
				t, after := h.send(ctx, m)
				if ctx.Err() != nil {
					// The server is being stopped; it is no failure of the receiver's.
					return
				}
				failures[i] = h.record(context.WithoutCancel(ctx), m, t, after)
			})
		}
		all.Wait()
		if err := errors.Join(failures...); err != nil {
			return next, err
		}
	}
}

// due is the oldest message that is due of each hook.
func (h *Hooks) due(ctx context.Context) (due []message, next time.Time, err error) {
	now := h.Now().UnixMilli()
	err = h.DB.Read(ctx, func(tx Tx) error {
		all, err := hooks(tx, "where state = 'on' order by id")
		if err != nil {
			return err
		}
		for _, hook := range all {
			m, at := message{hook: hook}, int64(0)
			err := tx.QueryRow(`select id, type, body, tries, next_at from hook_messages where hook = ? and state = 'waiting'
				order by next_at, made_at, id limit 1`, hook.ID).Scan(&m.id, &m.kind, &m.body, &m.tries, &at)
			switch {
			case errors.Is(err, sql.ErrNoRows):
			case err != nil:
				return err
			case at <= now:
				due = append(due, m)
			case next.IsZero() || at < next.UnixMilli():
				next = time.UnixMilli(at)
			}
		}
		return nil
	})
	return due, next, err
}

// record writes down how a try went, and what follows from it.
func (h *Hooks) record(ctx context.Context, m message, t Try, after time.Duration) error {
	h.Log.Info("webhook", "hook", m.hook.ID, "message", m.id, "type", m.kind, "try", t.Try, "status", t.Status, "ms", t.MS)
	return h.DB.Write(ctx, func(tx Tx) error {
		if err := logTry(tx, m.hook.ID, t); err != nil {
			return err
		}
		if t.OK() {
			if _, err := tx.Exec("update hooks set failing_since = 0 where id = ? and failing_since <> 0", m.hook.ID); err != nil {
				return err
			}
			_, err := tx.Exec("update hook_messages set state = 'sent', tries = ? where hook = ? and id = ? and state = 'waiting'", t.Try, m.hook.ID, m.id)
			return err
		}
		if _, err := tx.Exec("update hooks set failing_since = ? where id = ? and failing_since = 0 and state = 'on'", t.At, m.hook.ID); err != nil {
			return err
		}
		if t.Status == http.StatusGone || t.Try > len(waits) {
			why := whyTries
			if t.Status == http.StatusGone {
				why = whyGone
			}
			if _, err := tx.Exec("update hook_messages set tries = ? where hook = ? and id = ?", t.Try, m.hook.ID, m.id); err != nil {
				return err
			}
			return h.setState(tx, m.hook.ID, Failed, why)
		}
		wait := max(h.Jitter(waits[t.Try-1]), after)
		_, err := tx.Exec("update hook_messages set tries = ?, next_at = ? where hook = ? and id = ? and state = 'waiting'",
			t.Try, h.Now().Add(wait).UnixMilli(), m.hook.ID, m.id)
		return err
	})
}

func logTry(tx Tx, hook string, t Try) error {
	if _, err := tx.Exec("insert into hook_tries (hook, message, type, try, at, ms, status, error, answer) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
		hook, t.Message, t.Type, t.Try, t.At, t.MS, t.Status, t.Error, t.Answer); err != nil {
		return err
	}
	_, err := tx.Exec(`delete from hook_tries where hook = ?1 and n <= coalesce(
		(select n from hook_tries where hook = ?1 order by n desc limit 1 offset ?2), 0)`, hook, triesKept)
	return err
}

// Test sends a message of the type test.ping at once, by the same path as every other, and says how it went. It is not tried again. A
// hook that is off is tried too.
func (h *Hooks) Test(ctx context.Context, id string) (t Try, err error) {
	var hook Hook
	if err := h.DB.Read(ctx, func(tx Tx) error {
		hook, err = oneHook(tx, id)
		return err
	}); err != nil {
		return t, err
	}
	own, err := h.hexID()
	if err != nil {
		return t, err
	}
	text, err := bodyOf("test.ping", h.Now(), struct{}{})
	if err != nil {
		return t, err
	}
	t, _ = h.send(ctx, message{id: "msg_" + own, kind: "test.ping", body: text, hook: hook})
	return t, h.DB.Write(context.WithoutCancel(ctx), func(tx Tx) error { return logTry(tx, id, t) })
}
