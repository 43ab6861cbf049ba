package api

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/gorilla/websocket"
	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

func (s *server) push(c echo.Context) error {
	var p schema.Push
	if err := readJSON(c, &p); err != nil {
		return err
	}
	device := deviceOf(c)
	if p.Device != device.ID {
		return schema.NewProblem(http.StatusForbidden, "other_device", "The batch is of another device than this cookie's.",
			"Send each device's notes with that device's own pairing; unsent notes of a lost pairing go to a supervisor as a file.")
	}
	if device.RevokedAt == 0 {
		s.Journal.Heard(device.Person, p.SentWall)
	}
	answer, err := s.Journal.Push(c.Request().Context(), p, senderOf(device))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, answer)
}

func (s *server) pull(c echo.Context) error {
	after, err := number(c, "after", 0)
	if err != nil {
		return err
	}
	limit, err := number(c, "limit", journal.MaxPage)
	if err != nil {
		return err
	}
	version, err := number(c, "tables", 0)
	if err != nil {
		return err
	}
	limit = min(limit, journal.MaxPage)
	ctx, device, epoch, proof := c.Request().Context(), deviceOf(c).ID, c.QueryParam("epoch"), c.QueryParam("proof")
	var page schema.Pull
	if asked := firstOf(c); asked.Alive != "" {
		page, err = s.Journal.PullAlive(ctx, device, epoch, after, int(limit), proof, asked)
	} else {
		page, err = s.Journal.Pull(ctx, device, epoch, after, int(limit), proof)
	}
	if err != nil {
		return err
	}
	return writePull(c, page, version)
}

func (s *server) digest(c echo.Context) error {
	var d schema.Digest
	if err := readLong(c, &d, MaxDigest, MaxDigestInflated); err != nil {
		return err
	}
	if d.Device != deviceOf(c).ID {
		return schema.NewProblem(http.StatusForbidden, "other_device", "The digest is of another device than this cookie's.", "Send this device's own.")
	}
	s.Journal.Heard(deviceOf(c).Person, d.SentWall)
	answer, err := s.Journal.Compare(c.Request().Context(), d)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, answer)
}

func (s *server) live(c echo.Context) error {
	if !websocket.IsWebSocketUpgrade(c.Request()) {
		return schema.NewProblem(http.StatusUpgradeRequired, "no_websocket", "This address speaks WebSocket only.", "Open it as a WebSocket.")
	}
	if !s.FromUs(c.Request()) {
		return schema.NewProblem(http.StatusForbidden, "other_origin", "The WebSocket comes from a page of another site.",
			"Open Bedwalk by its own address. Behind a proxy, start the server with --origin and that address.")
	}
	err := s.Hub.Serve(c.Response(), c.Request(), deviceOf(c).ID)
	if _, ok := err.(websocket.HandshakeError); ok {
		return schema.NewProblem(http.StatusBadRequest, "no_websocket", "The WebSocket was not opened: "+shorten(err.Error())+".", "Send a whole WebSocket handshake.")
	}
	return err
}

// number reads a whole number of 0 or more from the address.
func number(c echo.Context, name string, otherwise int64) (int64, error) {
	text := c.QueryParam(name)
	if text == "" {
		return otherwise, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, schema.NewProblem(http.StatusBadRequest, "parameter", fmt.Sprintf("Parameter %s is %q.", name, shorten(text)), "Give a whole number of 0 or more.")
	}
	return n, nil
}
