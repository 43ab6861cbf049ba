package pg

import (
	"context"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/group"
)

// Links keeps a site's rows of links of a group.
func Links(d *DB) group.Links { return links{d} }

type links struct{ *DB }

// Link is group.Links'.
func (l links) Link(ctx context.Context, hash [32]byte) (one group.Link, found bool, err error) {
	err = l.read(ctx, func(s snap) error {
		one, found, err = first(linksOf(s, "where hash = $1", hash[:]))
		return err
	})
	return one, found, err
}

// All is group.Links'.
func (l links) All(ctx context.Context) (all []group.Link, err error) {
	err = l.read(ctx, func(s snap) error {
		all, err = linksOf(s, "order by made_at desc, id")
		return err
	})
	return all, err
}

func linksOf(s snap, which string, args ...any) ([]group.Link, error) {
	return all(s, func(rows pgx.Rows) (one group.Link, err error) {
		err = rows.Scan(&one.ID, &one.For, &one.MadeAt, &one.UsedAt, &one.RevokedAt)
		return one, err
	}, "select id, name, made_at, used_at, revoked_at from group_links "+which, args...)
}

// Put is group.Links'.
func (l links) Put(ctx context.Context, one group.Link, hash [32]byte) error {
	return l.change(ctx, "insert into group_links (id, name, hash, made_at) values ($1, $2, $3, $4)", one.ID, one.For, hash[:], one.MadeAt)
}

// Use is group.Links'.
func (l links) Use(ctx context.Context, id string, at int64) error {
	return l.change(ctx, "update group_links set used_at = $1 where id = $2", at, id)
}

// Revoke is group.Links'.
func (l links) Revoke(ctx context.Context, id string, at int64) error {
	return l.change(ctx, "update group_links set revoked_at = $1 where id = $2 and revoked_at = 0", at, id)
}

func (l links) change(ctx context.Context, query string, args ...any) error {
	return l.write(ctx, func(t *tx) error {
		_, err := t.changed(query, args...)
		return err
	})
}
