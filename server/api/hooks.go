package api

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/hooks"
)

// ownerOnly lets in owners: a webhook makes the server send by itself, for as long as it stands.
func (s *server) ownerOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if deviceOf(c).Role != access.Owner {
			return schema.NewProblem(http.StatusForbidden, "not_allowed", "Only an owner may see or change webhooks.", "Ask an owner.")
		}
		return next(c)
	}
}

// listHooks lists the webhooks with their last tries.
func (s *server) listHooks(c echo.Context) error {
	ctx := c.Request().Context()
	all, err := s.Hooks.List(ctx)
	if err != nil {
		return err
	}
	list := schema.Hooks{Hooks: []schema.Hook{}, Events: hooks.Events}
	for _, h := range all {
		tries, err := s.Hooks.Tries(ctx, h.ID)
		if err != nil {
			return err
		}
		name, err := s.Views.PersonName(ctx, h.MadeBy)
		if err != nil {
			return err
		}
		one := schema.Hook{
			ID: h.ID, Name: h.Name, URL: h.URL, Events: h.Events, State: h.State, Why: h.Why, MadeByName: name, MadeAt: h.MadeAt,
			ChangedAt: h.ChangedAt, FailingSince: h.FailingSince, OldUntil: h.OldUntil, Waiting: h.Waiting, Tries: []schema.HookTry{},
		}
		for _, t := range tries {
			one.Tries = append(one.Tries, tryOf(t))
		}
		list.Hooks = append(list.Hooks, one)
	}
	return c.JSON(http.StatusOK, list)
}

func tryOf(t hooks.Try) schema.HookTry {
	return schema.HookTry{Message: t.Message, Type: t.Type, Try: t.Try, At: t.At, MS: t.MS, Status: t.Status, OK: t.OK(), Error: t.Error, Answer: t.Answer}
}

func (s *server) makeHook(c echo.Context) error {
	var ask schema.HookAsk
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	name := strings.TrimSpace(ask.Name)
	if name == "" {
		return schema.NewProblem(http.StatusBadRequest, "message", "The webhook has no name.", "Name it for the program that gets its messages.")
	}
	id, secret, err := s.Hooks.Make(c.Request().Context(), hooks.Hook{Name: name, URL: strings.TrimSpace(ask.URL), Events: ask.Events, MadeBy: deviceOf(c).Person})
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.HookSecret{ID: id, Secret: secret})
}

func (s *server) switchHook(c echo.Context) error {
	var ask schema.HookSwitch
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	if err := s.Hooks.Switch(c.Request().Context(), c.Param("id"), ask.On); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, struct{}{})
}

func (s *server) rotateHook(c echo.Context) error {
	secret, err := s.Hooks.Rotate(c.Request().Context(), c.Param("id"))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.HookSecret{ID: c.Param("id"), Secret: secret})
}

func (s *server) testHook(c echo.Context) error {
	t, err := s.Hooks.Test(c.Request().Context(), c.Param("id"))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, tryOf(t))
}

func (s *server) removeHook(c echo.Context) error {
	if err := s.Hooks.Remove(c.Request().Context(), c.Param("id")); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, struct{}{})
}
