package pg_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/access"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

// numbers of sites by their names.
func numbers(t *testing.T, names ...string) (all []int32) {
	t.Helper()
	conn := plain(t)
	for _, name := range names {
		var n int32
		if err := conn.QueryRow(t.Context(), "select site from sites where name = $1", name).Scan(&n); err != nil {
			t.Fatal(err)
		}
		all = append(all, n)
	}
	return all
}

func hash(site, of byte) [32]byte { return [32]byte{0xd0, site, of} }

// opens lets a device, a code and a key into a site.
func opens(t *testing.T, d *pg.DB, site byte) {
	t.Helper()
	if err := pg.Access(d).Write(t.Context(), func(tx access.Tx) error {
		for _, err := range []error{
			tx.Pair(access.Device{ID: "0a", Role: access.Scout}, hash(site, 1)),
			tx.Invite(hash(site, 2), access.Invitation{Pairing: access.Pairing{Role: access.Scout}, Until: 5}),
			tx.PutReader(access.Reader{ID: "0b"}, hash(site, 3)),
		} {
			if err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

func TestADoorIsFoundByItsHashAndByNothingElse(t *testing.T) {
	names := []string{testpg.Site(), testpg.Site()}
	dbs := []*pg.DB{open(t, names[0]), open(t, names[1])}
	site := numbers(t, names...)
	for i, d := range dbs {
		opens(t, d, byte(site[i]))
	}
	doors, err := pg.OpenDoors(t.Context(), pg.Options{URL: testpg.URL(t), Beside: true})
	if err != nil {
		t.Fatal(err)
	}
	defer doors.Close()
	for i := range dbs {
		if !slices.ContainsFunc(doors.Sites, func(k pg.Known) bool { return k == (pg.Known{Site: site[i], Name: names[i]}) }) {
			t.Errorf("%+v lack %s", doors.Sites, names[i])
		}
		for of := byte(1); of <= 3; of++ {
			if found, err := doors.Open(t.Context(), hash(byte(site[i]), of)); err != nil || !slices.Equal(found, []int32{site[i]}) {
				t.Errorf("%d of site %d opens %v, %v", of, site[i], found, err)
			}
		}
	}
	if found, err := doors.Open(t.Context(), [32]byte{}); err != nil || len(found) != 0 {
		t.Errorf("nothing opens %v, %v", found, err)
	}
	// An old code is forgotten, and its door with it.
	if err := pg.Access(dbs[0]).Write(t.Context(), func(tx access.Tx) error { return tx.Forget(6) }); err != nil {
		t.Fatal(err)
	}
	if found, err := doors.Open(t.Context(), hash(byte(site[0]), 2)); err != nil || len(found) != 0 {
		t.Errorf("a code that was forgotten opens %v, %v", found, err)
	}
	// The same token in a copy of the nursery opens both.
	if err := pg.Access(dbs[1]).Write(t.Context(), func(tx access.Tx) error {
		return tx.Pair(access.Device{ID: "0c", Role: access.Scout}, hash(byte(site[0]), 1))
	}); err != nil {
		t.Fatal(err)
	}
	if found, err := doors.Open(t.Context(), hash(byte(site[0]), 1)); err != nil || !slices.Equal(found, site) {
		t.Errorf("a token of two nurseries opens %v, %v; want %v", found, err, site)
	}
}

// The server's own role, which owns the table, names a hash and then asks for all there is.
func TestAHashShowsItsOwnDoorAlone(t *testing.T) {
	name := testpg.Site()
	d := open(t, name)
	n := numbers(t, name)[0]
	opens(t, d, byte(n))
	conn := plain(t)
	ctx := t.Context()
	as := func(site int32, door [32]byte, f func(pgx.Tx)) {
		t.Helper()
		tx, err := conn.Begin(ctx)
		if err != nil {
			t.Fatal(err)
		}
		defer tx.Rollback(context.WithoutCancel(ctx))
		if _, err := tx.Exec(ctx, fmt.Sprintf("set local bedwalk.site = '%d'; set local bedwalk.door = '%x'", site, door)); err != nil {
			t.Fatal(err)
		}
		f(tx)
	}
	for what, one := range map[string]struct {
		door [32]byte
		want int
	}{"a token": {hash(byte(n), 1), 1}, "no hash of any": {[32]byte{9}, 0}} {
		as(0, one.door, func(tx pgx.Tx) {
			var all, others int
			if err := tx.QueryRow(ctx, "select count(*), count(*) filter (where hash <> $1) from doors where site = site or true", one.door[:]).Scan(&all, &others); err != nil || all != one.want || others != 0 {
				t.Errorf("%s shows %d doors, %d of them others', %v", what, all, others, err)
			}
			var devices int
			if err := tx.QueryRow(ctx, "select count(*) from devices").Scan(&devices); err != nil || devices != 0 {
				t.Errorf("%s shows %d devices, %v", what, devices, err)
			}
			// It shows, and lets nothing be changed.
			done, err := tx.Exec(ctx, "delete from doors")
			if err != nil || done.RowsAffected() != 0 {
				t.Errorf("%s lets %d doors be taken out, %v", what, done.RowsAffected(), err)
			}
			if _, err := tx.Exec(ctx, "insert into doors (site, hash) values ($1, '\\x00')", n); err == nil {
				t.Errorf("%s lets a door be made", what)
			}
		})
	}
	// A door that was named in a transaction is gone with it, and so is the right to ask without a site.
	if _, err := conn.Exec(ctx, "select 1 from doors"); err == nil {
		t.Error("doors can be read by a transaction that names no site")
	}
}

func TestADatabaseOfAnOlderBuildHasItsDoorsAfterTheStep(t *testing.T) {
	url := testpg.Own(t)
	d, err := pg.Open(t.Context(), pg.Options{URL: url, Site: "north", New: true})
	if err != nil {
		t.Fatal(err)
	}
	opens(t, d, 1)
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	if _, err := conn.Exec(t.Context(), "set search_path = bedwalk; drop table group_links; drop function keep_door cascade; drop table doors; drop index notes_by_time; drop index loose_notes_by_time; delete from goose_db_version where version_id >= 2"); err != nil {
		t.Fatal(err)
	}
	doors, err := pg.OpenDoors(t.Context(), pg.Options{URL: url})
	if err != nil {
		t.Fatal(err)
	}
	defer doors.Close()
	for of := byte(1); of <= 3; of++ {
		if found, err := doors.Open(t.Context(), hash(1, of)); err != nil || !slices.Equal(found, []int32{doors.Sites[0].Site}) {
			t.Errorf("%d opens %v, %v", of, found, err)
		}
	}
}
