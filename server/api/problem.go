package api

import (
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/live"
	"bedwalk/server/photos"
	"bedwalk/server/view"
)

// problem is an error that already knows its answer.
type problem struct{ schema.Problem }

func (p *problem) Error() string { return p.Code + ": " + p.Detail }

// refuse makes an answer from a status, a stable code, a sentence and a remedy.
func refuse(status int, code, detail, remedy string) *problem {
	return &problem{schema.Problem{Status: status, Code: code, Detail: detail, Remedy: remedy}}
}

// known are the errors of the packages below, with the status and code that the wire knows them by. Their text names
// the remedy already.
var known = []struct {
	err    error
	status int
	code   string
}{
	{db.ErrFull, http.StatusInsufficientStorage, "server_full"},
	{db.ErrGone, http.StatusServiceUnavailable, "data_gone"},
	{access.ErrNotPaired, http.StatusUnauthorized, "not_paired"},
	{access.ErrMistyped, http.StatusBadRequest, "code_mistyped"},
	{access.ErrNoCode, http.StatusNotFound, "code_unknown"},
	{access.ErrUsed, http.StatusGone, "code_used"},
	{access.ErrOld, http.StatusGone, "code_old"},
	{access.ErrGuessing, http.StatusTooManyRequests, "too_many_guesses"},
	{access.ErrNoDevice, http.StatusNotFound, "no_such_device"},
	{access.ErrOwners, http.StatusForbidden, "not_allowed"},
	{access.ErrLastOwner, http.StatusConflict, "last_owner"},
	{access.ErrRole, http.StatusBadRequest, "no_such_role"},
	{journal.ErrNoSuchEntry, http.StatusNotFound, "no_such_entry"},
	{journal.ErrNoSuchIncident, http.StatusNotFound, "no_such_incident"},
	{journal.ErrOtherClock, http.StatusConflict, "other_clock"},
	{journal.ErrNotMergeable, http.StatusConflict, "not_mergeable"},
	{live.ErrFull, http.StatusServiceUnavailable, "too_many_connections"},
	{live.ErrClosing, http.StatusServiceUnavailable, "closing"},
	{photos.ErrName, http.StatusBadRequest, "photo_name"},
	{photos.ErrAbsent, http.StatusNotFound, "no_such_photo"},
	{photos.ErrOffset, http.StatusConflict, "photo_offset"},
	{photos.ErrTooLong, http.StatusRequestEntityTooLarge, "photo_too_large"},
	{photos.ErrHash, statusChecksumMismatch, "photo_hash"},
	{photos.ErrTooMany, http.StatusTooManyRequests, "photo_too_many"},
	{photos.ErrType, http.StatusUnsupportedMediaType, "photo_type"},
	{view.ErrNoSuch, http.StatusNotFound, "no_such_thing"},
}

// problemOf finds the answer to an error. What nobody expected is logged, and told without its text.
func problemOf(err error) schema.Problem {
	var own *problem
	var refusal *journal.Refusal
	var web *echo.HTTPError
	switch {
	case errors.As(err, &own):
		return own.Problem
	case errors.As(err, &refusal):
		return refused(refusal)
	case errors.As(err, &web):
		return fromEcho(web)
	}
	for _, k := range known {
		if errors.Is(err, k.err) {
			// These texts are "what is wrong; what to do".
			wrong, remedy, _ := strings.Cut(k.err.Error(), "; ")
			return schema.Problem{Status: k.status, Code: k.code, Detail: sentence(wrong), Remedy: sentence(remedy)}
		}
	}
	return schema.Problem{
		Status: http.StatusInternalServerError, Code: "internal",
		Detail: "The server could not do this, and has written down why.",
		Remedy: "Nothing was lost; it is tried again. If it goes on, look at the server's log.",
	}
}

func refused(r *journal.Refusal) schema.Problem {
	p := schema.Problem{Status: http.StatusConflict, Code: r.Code, Detail: r.Detail, Remedy: r.Remedy}
	switch r.Code {
	case journal.CodeGap:
		p.High = &r.High
	case journal.CodeFork:
		p.High, p.Incarnation = &r.High, &r.Incarnation
	case journal.CodeClock:
		p.Status = http.StatusServiceUnavailable
	case journal.CodeRewind:
		p.Epoch, p.ForkedAt = r.Epoch, &r.ForkedAt
	case journal.CodeQuarantineFull:
		// To a phone this is "later": its queue keeps what it has, and tries again.
		p.Status = http.StatusTooManyRequests
	default:
		p.Status = http.StatusBadRequest
	}
	return p
}

func fromEcho(e *echo.HTTPError) schema.Problem {
	switch e.Code {
	case http.StatusNotFound:
		return schema.Problem{Status: e.Code, Code: "no_such_address", Detail: "There is nothing at this address.", Remedy: "Compare it with the API's description at /api/openapi.json."}
	case http.StatusMethodNotAllowed:
		return schema.Problem{Status: e.Code, Code: "wrong_method", Detail: "This address does not take that method.", Remedy: "Compare it with the API's description at /api/openapi.json."}
	}
	return schema.Problem{Status: e.Code, Code: "request", Detail: http.StatusText(e.Code) + ".", Remedy: "Compare the request with the API's description at /api/openapi.json."}
}

// handleError answers every error of every handler.
func handleError(log *slog.Logger) echo.HTTPErrorHandler {
	return func(err error, c echo.Context) {
		p := problemOf(err)
		if p.Status >= http.StatusInternalServerError {
			log.Error("request failed", "route", c.Path(), "method", c.Request().Method, "code", p.Code, "error", err)
		}
		if c.Response().Committed {
			return
		}
		p.Type, p.Title = "about:blank", http.StatusText(p.Status)
		if p.Status == statusChecksumMismatch {
			p.Title = "Checksum Mismatch"
		}
		if p.Status == http.StatusTooManyRequests || p.Status == http.StatusServiceUnavailable || p.Status == http.StatusInsufficientStorage {
			c.Response().Header().Set(echo.HeaderRetryAfter, "30")
		}
		raw, err := json.Marshal(p)
		if err == nil {
			err = c.Blob(p.Status, schema.ContentProblem, raw)
		}
		if err != nil {
			log.Warn("the answer to a failed request was not sent", "route", c.Path(), "error", err)
		}
	}
}

// sentence makes a sentence of a part of an error's text: Go's errors begin small and end without a stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:] + "."
}
