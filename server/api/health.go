package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
)

// healthz says that the program runs, whatever it can do; readyz, that it takes notes, or why not. Neither says anything about the
// nursery, since whatever watches a server seldom is a paired phone.
func (s *server) healthz(c echo.Context) error {
	return c.JSON(http.StatusOK, schema.Health{Build: s.Build, Since: s.began.UnixMilli()})
}

func (s *server) readyz(c echo.Context) error {
	if err := s.Journal.Ready(c.Request().Context()); err != nil {
		return err
	}
	return s.healthz(c)
}
