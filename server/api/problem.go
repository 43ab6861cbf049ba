package api

import (
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/photos"
)

// problemOf is the answer to an error: the *schema.Problem that it is or wraps. Of any other error the caller learns only that it
// happened; the text goes to the log.
func problemOf(err error) schema.Problem {
	var own *schema.Problem
	var web *echo.HTTPError
	switch {
	case errors.As(err, &own):
		return *own
	case errors.As(err, &web):
		return fromEcho(web)
	}
	return schema.Problem{
		Status: http.StatusInternalServerError, Code: "internal",
		Detail: "The server could not do this, and has written down why.",
		Remedy: "Nothing was lost; it is tried again. If it goes on, look at the server's log.",
	}
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
		if p.Status == photos.StatusChecksumMismatch {
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
