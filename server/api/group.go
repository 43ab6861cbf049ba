package api

import (
	"github.com/labstack/echo/v4"

	"bedwalk/server/group"
)

// group shows the nurseries of the link that the header has the secret part of. Whoever shows it need not be paired anywhere.
func (s *server) group(c echo.Context) error {
	if s.Group == nil {
		return group.ErrAlone
	}
	view, err := s.Group(c.Request().Context(), keyInHeader(c.Request()))
	return show(c, view, err)
}
