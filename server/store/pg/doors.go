package pg

import (
	"context"
	"encoding/hex"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Doors knows the sites of a database, and which of them a token, a pairing code or a reading key opens. It sees nothing else of them: row security shows
// a transaction that names a hash the doors of that hash alone.
type Doors struct {
	pool *pgxpool.Pool
	// Sites are those that were there when it was opened, by their numbers.
	Sites []Known
}

// Known is a site by its number, which stays as it is, and its name. Moved says where it is served now, "" for here.
type Known struct {
	Site        int32
	Name, Moved string
}

// doorWithin is how long a door is waited for.
const doorWithin = 10 * time.Second

// noSite is the number of no site, since they are counted from 1.
const noSite = 0

// OpenDoors opens a database as Open does, but none of its sites. Where o.New is set the site o.Site is made if there is none of that name, and the first one in any
// case.
func OpenDoors(ctx context.Context, o Options) (d *Doors, err error) {
	config, err := pgxpool.ParseConfig(o.URL)
	if err != nil {
		return nil, errAddress
	}
	if o.New && o.Site == "" {
		return nil, ErrNameless
	}
	prepare(config)
	d = &Doors{}
	if d.pool, err = ready(ctx, config, o.Beside); err != nil {
		d.Close()
		return nil, err
	}
	if d.Sites, err = d.sites(ctx, o); err != nil {
		d.Close()
		return nil, Explain(err)
	}
	return d, nil
}

func (d *Doors) sites(ctx context.Context, o Options) ([]Known, error) {
	known, err := d.known(ctx)
	if err != nil || !o.New && (len(known) > 0 || o.Beside) {
		return known, err
	}
	name := o.Site
	if name == "" {
		name = firstSite
	}
	if _, err := d.pool.Exec(ctx, newSite, spell(name)); err != nil {
		return nil, err
	}
	return d.known(ctx)
}

func (d *Doors) known(ctx context.Context) ([]Known, error) {
	rows, err := d.pool.Query(ctx, "select site, name, moved from sites order by site")
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (k Known, err error) {
		err = row.Scan(&k.Site, &k.Name, &k.Moved)
		k.Name = unspell(k.Name)
		return k, err
	})
}

// Open gives the numbers of the sites that a hash opens: none, one, or two where one is a copy of the other.
func (d *Doors) Open(ctx context.Context, hash [32]byte) (sites []int32, err error) {
	ctx, end := context.WithTimeout(ctx, doorWithin)
	defer end()
	begin := fmt.Sprintf("begin isolation level repeatable read read only; set local bedwalk.site = '%d'; set local bedwalk.door = '%s'", noSite, hex.EncodeToString(hash[:]))
	t, err := d.pool.BeginTx(ctx, pgx.TxOptions{BeginQuery: begin})
	if err != nil {
		return nil, Explain(err)
	}
	defer t.Rollback(context.WithoutCancel(ctx))
	rows, err := t.Query(ctx, "select site from doors where hash = $1 order by site", hash[:])
	if err != nil {
		return nil, Explain(err)
	}
	sites, err = pgx.CollectRows(rows, pgx.RowTo[int32])
	return sites, Explain(err)
}

// Close closes the connections.
func (d *Doors) Close() {
	if d.pool != nil {
		d.pool.Close()
	}
}
