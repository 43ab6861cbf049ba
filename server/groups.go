package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bedwalk/server/group"
	"bedwalk/server/store/pg"
)

type groupCommand struct {
	Link   groupLinkCommand   `cmd:"" help:"Make a link by which somebody sees nurseries of a database side by side, and changes nothing."`
	List   groupListCommand   `cmd:"" help:"List the links that were made."`
	Revoke groupRevokeCommand `cmd:"" help:"Revoke a link in all of its nurseries."`
}

// groupFlag says which database it is.
type groupFlag struct {
	Store string `help:"The database with the nurseries." required:"" placeholder:"postgres://USER@HOST/DATABASE"`
}

type groupLinkCommand struct {
	groupFlag
	Of  []string `help:"A nursery that the link shows; give it again for each." sep:"none" required:"" placeholder:"NAME"`
	For string   `help:"Whom the link is for." required:"" placeholder:"NAME"`
	URL string   `name:"url" help:"How people reach the server." default:"http://localhost:8080" placeholder:"URL"`
}

// Run makes the link in each nursery, or in none.
func (c *groupLinkCommand) Run(ctx context.Context) (err error) {
	slices.Sort(c.Of)
	c.Of = slices.Compact(c.Of)
	for _, name := range c.Of {
		// One that is not there is found before a link is in any.
		if err := c.in(ctx, name, false, func(*pg.DB) error { return nil }); err != nil {
			return fmt.Errorf("no link was made: %w", err)
		}
	}
	secret, hash, id := group.Draw()
	now := time.Now().UnixMilli()
	for i, name := range c.Of {
		err := c.in(ctx, name, false, func(one *pg.DB) error {
			return pg.Links(one).Put(ctx, group.Link{ID: id, For: c.For, MadeAt: now}, hash)
		})
		if err == nil {
			continue
		}
		// Whether it is in the one that failed nobody knows.
		ctx := context.WithoutCancel(ctx)
		for _, before := range c.Of[:i+1] {
			err = errors.Join(err, c.in(ctx, before, true, func(one *pg.DB) error { return pg.Links(one).Revoke(ctx, id, now) }))
		}
		return fmt.Errorf("no link was made: %w", err)
	}
	fmt.Printf("%s/group#%s\nshows %s to whoever has it: send it to %s alone. bedwalk group revoke --id %s ends it.\n",
		strings.TrimSuffix(c.URL, "/"), secret, strings.Join(c.Of, ", "), c.For, id)
	return nil
}

// in opens a nursery for do, and closes it before another is opened: fifty that are open at once have more connections than a database gives. Moved is for one
// that is served elsewhere now, too.
func (f groupFlag) in(ctx context.Context, name string, moved bool, do func(*pg.DB) error) (err error) {
	one, err := pg.Open(ctx, pg.Options{URL: f.Store, Site: name, Beside: true, Moved: moved})
	if err != nil {
		return fmt.Errorf("--store: %w", err)
	}
	defer func() { err = errors.Join(err, one.Close()) }()
	return do(one)
}

// each calls do with every nursery, those too that are served elsewhere now, since they may come back. One that fails does not keep the others.
func (f groupFlag) each(ctx context.Context, do func(*pg.DB) error) (err error) {
	doors, err := pg.OpenDoors(ctx, pg.Options{URL: f.Store, Beside: true})
	if err != nil {
		return fmt.Errorf("--store: %w", err)
	}
	doors.Close()
	for _, site := range doors.Sites {
		if bad := f.in(ctx, site.Name, true, do); bad != nil {
			err = errors.Join(err, fmt.Errorf("nursery %s: %w", site.Name, bad))
		}
	}
	return err
}

// known is a link with the nurseries in which it is still good.
type known struct {
	group.Link
	good []string
}

// links are those of all nurseries, the newest first. The error is that of a nursery whose links could not be read; those of the others are there.
func (f groupFlag) links(ctx context.Context) ([]*known, error) {
	byID := map[string]*known{}
	var found []*known
	err := f.each(ctx, func(one *pg.DB) error {
		rows, err := pg.Links(one).All(ctx)
		if err != nil {
			return err
		}
		for _, row := range rows {
			if byID[row.ID] == nil {
				byID[row.ID] = &known{Link: row}
				found = append(found, byID[row.ID])
			}
			k := byID[row.ID]
			k.UsedAt = max(k.UsedAt, row.UsedAt)
			if row.RevokedAt == 0 {
				k.good = append(k.good, one.Name())
			}
		}
		return nil
	})
	slices.SortStableFunc(found, func(a, b *known) int { return cmp.Compare(b.MadeAt, a.MadeAt) })
	return found, err
}

type groupListCommand struct{ groupFlag }

// Run prints a line a link.
func (c *groupListCommand) Run(ctx context.Context) error {
	found, err := c.links(ctx)
	if len(found) == 0 && err == nil {
		fmt.Println("No link was made yet: bedwalk group link makes one.")
	}
	for _, k := range found {
		state := "revoked"
		if len(k.good) > 0 {
			state = "shows " + strings.Join(k.good, ", ")
		}
		fmt.Printf("%s  for %s, made %s, last used %s, %s\n", k.ID, k.For, dayOf(k.MadeAt), dayOf(k.UsedAt), state)
	}
	if err != nil {
		return fmt.Errorf("the list is not whole: %w", err)
	}
	return nil
}

func dayOf(ms int64) string {
	if ms == 0 {
		return "never"
	}
	return time.UnixMilli(ms).Format(time.DateOnly)
}

type groupRevokeCommand struct {
	groupFlag
	ID string `name:"id" help:"The link, as bedwalk group list has it." required:"" placeholder:"ID"`
}

// Run revokes the link in every nursery that can be reached, whatever happens in another.
func (c *groupRevokeCommand) Run(ctx context.Context) error {
	var found *group.Link
	err := c.each(ctx, func(one *pg.DB) error {
		rows, err := pg.Links(one).All(ctx)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(rows, func(l group.Link) bool { return l.ID == c.ID })
		if at < 0 {
			return nil
		}
		found = &rows[at]
		return pg.Links(one).Revoke(ctx, c.ID, time.Now().UnixMilli())
	})
	switch {
	case err != nil:
		return fmt.Errorf("the link may not be revoked everywhere: %w; run this again", err)
	case found == nil:
		return fmt.Errorf("there is no link %q; bedwalk group list names all", c.ID)
	}
	fmt.Printf("The link for %s shows nothing any more.\n", found.For)
	return nil
}
