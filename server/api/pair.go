package api

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

func (s *server) pair(c echo.Context) error {
	var ask schema.PairAsk
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	if err := s.newcomer(c.Request().Context(), ask.Code); err != nil {
		return err
	}
	claim := access.Claim{Code: ask.Code, Name: ask.Name, From: c.RealIP(), Secret: ask.Secret}
	if cookie, err := c.Cookie(cookieName); err == nil {
		claim.Earlier = cookie.Value
	}
	device, token, err := s.Gate.Redeem(c.Request().Context(), claim)
	if err != nil {
		return err
	}
	s.setCookie(c, token)
	c.Set(deviceKey, device)
	return s.tellMe(c, device)
}

// newcomer writes the person into the journal whom a code from the terminal invites, and the nursery itself when nothing
// is there yet: the terminal's program leaves both to whoever holds the journal.
func (s *server) newcomer(ctx context.Context, code string) error {
	s.newcomers.Lock()
	defer s.newcomers.Unlock()
	invited, ok, err := s.Gate.Newcomer(ctx, code)
	if err != nil || !ok {
		return err
	}
	people, err := s.Views.People(ctx)
	if err != nil {
		return err
	}
	for _, one := range people {
		// Two codes for one new name, or one whose first use was cut off.
		if *one.Name == invited.Name {
			return s.Gate.Name(ctx, code, one.Of)
		}
	}
	person, err := s.Journal.NewID()
	if err != nil {
		return err
	}
	drafts := []journal.Draft{{Kind: "person", Person: person, Body: schema.Person{
		Writes: schema.Writes{Of: person}, Name: &invited.Name, Role: &invited.Role,
	}}}
	if s.Journal.Head() == 0 {
		site, err := s.Journal.NewID()
		if err != nil {
			return err
		}
		nursery := "Nursery"
		drafts = append(drafts, journal.Draft{Kind: "site", Person: person, Body: schema.Site{Writes: schema.Writes{Of: site}, Name: &nursery}})
	}
	if err := s.Journal.Write(ctx, drafts...); err != nil {
		return err
	}
	return s.Gate.Name(ctx, code, person)
}

func (s *server) me(c echo.Context) error {
	if cookie, err := c.Cookie(cookieName); err == nil {
		s.setCookie(c, cookie.Value)
	}
	return s.tellMe(c, deviceOf(c))
}

func (s *server) setCookie(c echo.Context, token string) {
	c.SetCookie(&http.Cookie{
		Name: cookieName, Value: token, Path: "/", MaxAge: int(cookieLife.Seconds()), HttpOnly: true, Secure: s.Secure,
		SameSite: http.SameSiteStrictMode,
	})
}

func (s *server) tellMe(c echo.Context, device access.Device) error {
	ctx := c.Request().Context()
	inc, high, _, err := s.Journal.Writer(ctx, device.ID)
	if err != nil {
		return err
	}
	site, zone, err := s.Views.Site(ctx)
	if err != nil {
		return err
	}
	person, err := s.Views.PersonName(ctx, device.Person)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.Me{
		Device: device.ID, DeviceName: device.Name, Incarnation: inc, Person: device.Person, PersonName: person,
		Role: device.Role, SiteName: site, TimeZone: zone, Epoch: s.Journal.Epoch(), Head: s.Journal.Head(), High: high,
		ServerNow: s.Journal.NowMS(), Build: s.Build,
	})
}

func (s *server) invite(c echo.Context) error {
	var ask schema.PairingAsk
	if err := readJSON(c, &ask); err != nil {
		return err
	}
	ctx, by := c.Request().Context(), deviceOf(c)
	if ask.Role == access.Owner && by.Role != access.Owner {
		return schema.NewProblem(http.StatusForbidden, "not_allowed", "Only an owner may pair an owner.", "Ask an owner, or choose another role.")
	}
	name := ask.Name
	switch {
	case ask.Person != "":
		var err error
		if name, err = s.Views.PersonName(ctx, ask.Person); err != nil {
			return err
		}
		if name == "" {
			return schema.NewProblem(http.StatusNotFound, "no_such_person", "Nobody has this id.", "Choose a person from the list, or give a name to add one.")
		}
		// Whoever opens the link writes in that person's name.
		if owner, err := s.Gate.OfOwner(ctx, ask.Person); err != nil {
			return err
		} else if owner && by.Role != access.Owner {
			return schema.NewProblem(http.StatusForbidden, "not_allowed", "Only an owner may pair another device of an owner.", "Ask an owner, or choose another person.")
		}
	case ask.Name != "":
		var err error
		if ask.Person, err = s.Journal.NewID(); err != nil {
			return err
		}
		// The person is in the journal before the code can be used, so that their first note names somebody known.
		if err := s.Journal.Write(ctx, journal.Draft{Kind: "person", Person: by.Person, Body: schema.Person{
			Writes: schema.Writes{Of: ask.Person}, Name: &ask.Name, Role: &ask.Role,
		}}); err != nil {
			return err
		}
	default:
		return schema.NewProblem(http.StatusBadRequest, "message", "The pairing names nobody.", "Give a person's id, or a name to add a new person.")
	}
	code, until, err := s.Gate.Invite(ctx, access.Pairing{Person: ask.Person, Name: name, Role: ask.Role, MadeBy: by.ID})
	if err != nil {
		return err
	}
	address := s.Address
	if address == "" {
		address = c.Scheme() + "://" + c.Request().Host
	}
	return c.JSON(http.StatusOK, schema.Pairing{Code: code, Link: address + "/pair/" + code, Role: ask.Role, Until: until})
}

func (s *server) revoke(c echo.Context) error {
	id := c.Param("id")
	if id == deviceOf(c).ID {
		return schema.NewProblem(http.StatusConflict, "own_device", "This is the device that you are using.", "Take its access back from another device.")
	}
	if err := s.Gate.Revoke(c.Request().Context(), id, deviceOf(c)); err != nil {
		return err
	}
	s.Hub.Drop(id)
	return c.JSON(http.StatusOK, struct{}{})
}

func (s *server) incarnation(c echo.Context) error {
	inc, err := s.Journal.Incarnation(c.Request().Context(), deviceOf(c).ID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, schema.Incarnation{Incarnation: inc})
}
