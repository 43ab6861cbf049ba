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
	all, err := c.open(ctx, c.Of)
	if err != nil {
		return fmt.Errorf("no link was made: %w", err)
	}
	defer func() { err = errors.Join(err, shut(all)) }()
	secret, hash, id := group.Draw()
	now := time.Now().UnixMilli()
	for i, one := range all {
		if err := pg.Links(one).Put(ctx, group.Link{ID: id, For: c.For, MadeAt: now}, hash); err != nil {
			for _, before := range all[:i] {
				err = errors.Join(err, pg.Links(before).Revoke(context.WithoutCancel(ctx), id, now))
			}
			return fmt.Errorf("no link was made: %w", err)
		}
	}
	fmt.Printf("%s/group#%s\nshows %s to whoever has it: send it to %s alone. bedwalk group revoke --id %s ends it.\n",
		strings.TrimSuffix(c.URL, "/"), secret, strings.Join(c.Of, ", "), c.For, id)
	return nil
}

// open opens nurseries by their names, all of them where none is named: those too that are served elsewhere now, since they may come back.
func (f groupFlag) open(ctx context.Context, names []string) (all []*pg.DB, err error) {
	wanted := names
	if len(names) == 0 {
		doors, err := pg.OpenDoors(ctx, pg.Options{URL: f.Store, Beside: true})
		if err != nil {
			return nil, fmt.Errorf("--store: %w", err)
		}
		for _, site := range doors.Sites {
			wanted = append(wanted, site.Name)
		}
		doors.Close()
	}
	for _, name := range wanted {
		one, err := pg.Open(ctx, pg.Options{URL: f.Store, Site: name, Beside: true, Moved: len(names) == 0})
		if err != nil {
			return nil, errors.Join(fmt.Errorf("--store: %w", err), shut(all))
		}
		all = append(all, one)
	}
	return all, nil
}

func shut(all []*pg.DB) (err error) {
	for _, one := range all {
		err = errors.Join(err, one.Close())
	}
	return err
}

// known is a link with the nurseries that have it, and those in which it is still good.
type known struct {
	group.Link
	of, good []string
}

// links are those of all nurseries, the newest first.
func links(ctx context.Context, all []*pg.DB) ([]*known, error) {
	byID := map[string]*known{}
	var found []*known
	for _, one := range all {
		rows, err := pg.Links(one).All(ctx)
		if err != nil {
			return nil, err
		}
		for _, row := range rows {
			if byID[row.ID] == nil {
				byID[row.ID] = &known{Link: row}
				found = append(found, byID[row.ID])
			}
			k := byID[row.ID]
			k.of, k.UsedAt = append(k.of, one.Name()), max(k.UsedAt, row.UsedAt)
			if row.RevokedAt == 0 {
				k.good = append(k.good, one.Name())
			}
		}
	}
	slices.SortStableFunc(found, func(a, b *known) int { return cmp.Compare(b.MadeAt, a.MadeAt) })
	return found, nil
}

// withLinks calls do with all nurseries and all links, and closes the nurseries.
func (f groupFlag) withLinks(ctx context.Context, do func(all []*pg.DB, found []*known) error) (err error) {
	all, err := f.open(ctx, nil)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, shut(all)) }()
	found, err := links(ctx, all)
	if err != nil {
		return err
	}
	return do(all, found)
}

type groupListCommand struct{ groupFlag }

// Run prints a line a link.
func (c *groupListCommand) Run(ctx context.Context) error {
	return c.withLinks(ctx, func(_ []*pg.DB, found []*known) error {
		if len(found) == 0 {
			fmt.Println("No link was made yet: bedwalk group link makes one.")
		}
		for _, k := range found {
			state := "revoked"
			if len(k.good) > 0 {
				state = "shows " + strings.Join(k.good, ", ")
			}
			fmt.Printf("%s  for %s, made %s, last used %s, %s\n", k.ID, k.For, dayOf(k.MadeAt), dayOf(k.UsedAt), state)
		}
		return nil
	})
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
	return c.withLinks(ctx, func(all []*pg.DB, found []*known) (err error) {
		at := slices.IndexFunc(found, func(k *known) bool { return k.ID == c.ID })
		if at < 0 {
			return fmt.Errorf("there is no link %q; bedwalk group list names all", c.ID)
		}
		for _, one := range all {
			err = errors.Join(err, pg.Links(one).Revoke(ctx, c.ID, time.Now().UnixMilli()))
		}
		if err != nil {
			return fmt.Errorf("the link may not be revoked everywhere: %w; run this again", err)
		}
		fmt.Printf("The link for %s shows nothing any more.\n", found[at].For)
		return nil
	})
}
