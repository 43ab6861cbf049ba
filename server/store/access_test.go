package store_test

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"bedwalk/server/access"
)

func TestAccess(t *testing.T) {
	for name, test := range map[string]func(*testing.T, access.Store){
		"a device is found by its id and by its token":                deviceFound,
		"devices are listed with the newest first":                    devicesListed,
		"a device writes in the names of those before it":             namesInherited,
		"access that was taken back stays as it was taken back first": revokedOnce,
		"an invitation is spent, named and forgotten":                 invitationSpent,
		"invitations are counted by person":                           invitationsCounted,
		"a reading key is found by its hash, and ends with its maker": keysKept,
		"nothing of a write that fails is kept":                       accessRolledBack,
		"a read sees one moment":                                      accessOneMoment,
	} {
		for kind, open := range stores {
			t.Run(kind+": "+name, func(t *testing.T) { test(t, open.access(t)) })
		}
	}
}

func token(b byte) (hash [32]byte) {
	for i := range hash {
		hash[i] = b
	}
	return hash
}

// heron and rail are phones of two people. Names are whatever a phone spelt.
var (
	heron = access.Device{ID: "0a", Name: "Heron’s phone 🌱", Person: "heron", Role: access.Scout, PairedAt: 1000, SeenAt: 1500}
	rail  = access.Device{ID: "0B", Name: "", Person: "rail", Role: access.Owner, PairedAt: 2000, SeenAt: 2000}
)

func paired(d access.Device) access.Device {
	d.People = []string{d.Person}
	return d
}

func pairBoth(tx access.Tx) error {
	return errors.Join(tx.Pair(heron, token(1)), tx.Pair(rail, token(2)))
}

func deviceFound(t *testing.T, s access.Store) {
	write(t, s, pairBoth)
	read(t, s, func(snap access.Snap) error {
		for _, want := range []struct {
			device access.Device
			token  [32]byte
		}{{heron, token(1)}, {rail, token(2)}} {
			if got, found, err := snap.Device(want.device.ID); err != nil || !found || !reflect.DeepEqual(got, paired(want.device)) {
				t.Errorf("by its id: %+v, %v, %v", got, found, err)
			}
			if got, found, err := snap.Holder(want.token); err != nil || !found || !reflect.DeepEqual(got, paired(want.device)) {
				t.Errorf("by its token: %+v, %v, %v", got, found, err)
			}
		}
		// Ids are told apart by their capitals.
		for _, id := range []string{"", "0A", "0b", "0a "} {
			if _, found, err := snap.Device(id); found || err != nil {
				t.Errorf("a device %q: %v, %v", id, found, err)
			}
		}
		_, found, err := snap.Holder(token(3))
		if found {
			t.Error("a token that nobody has found a device")
		}
		return err
	})
	if err := s.Write(t.Context(), func(tx access.Tx) error {
		twin := rail
		twin.ID = "0c"
		return tx.Pair(twin, token(2))
	}); err == nil {
		t.Error("two devices have one token")
	}
	write(t, s, func(tx access.Tx) error { return tx.Seen(heron.ID, 7000) })
	read(t, s, func(snap access.Snap) error {
		got, _, err := snap.Device(heron.ID)
		if got.SeenAt != 7000 {
			t.Errorf("last seen at %d", got.SeenAt)
		}
		return err
	})
}

func devicesListed(t *testing.T, s access.Store) {
	write(t, s, func(tx access.Tx) error {
		twin := heron
		twin.ID = "09"
		return errors.Join(pairBoth(tx), tx.Pair(twin, token(3)))
	})
	read(t, s, func(snap access.Snap) error {
		all, err := snap.Devices()
		var ids []string
		for _, d := range all {
			ids = append(ids, d.ID)
		}
		if !slices.Equal(ids, []string{"0B", "09", "0a"}) {
			t.Errorf("listed as %v", ids)
		}
		return err
	})
}

func namesInherited(t *testing.T, s access.Store) {
	write(t, s, pairBoth)
	next := access.Device{ID: "0d", Person: "teal", Role: access.Scout, PairedAt: 3000}
	people := func() (all []string) {
		read(t, s, func(snap access.Snap) error {
			d, _, err := snap.Device(next.ID)
			all = slices.Sorted(slices.Values(d.People))
			return err
		})
		return all
	}
	write(t, s, func(tx access.Tx) error {
		// Twice is as good as once, and a token that nobody has gives nothing.
		return errors.Join(tx.Pair(next, token(4)), tx.Inherit(next.ID, token(1)), tx.Inherit(next.ID, token(1)), tx.Inherit(next.ID, token(9)))
	})
	if got := people(); !slices.Equal(got, []string{"heron", "teal"}) {
		t.Errorf("writes as %v", got)
	}
	write(t, s, func(tx access.Tx) error { return tx.Revoke(heron.ID, 4000, "rail") })
	if got := people(); !slices.Equal(got, []string{"teal"}) {
		t.Errorf("writes as %v once the earlier pairing is revoked", got)
	}
	write(t, s, func(tx access.Tx) error { return tx.Revoke(next.ID, 5000, "rail") })
	if got := people(); !slices.Equal(got, []string{"teal"}) {
		t.Errorf("a revoked device is of %v: its own notes are to be known by its person", got)
	}
}

func revokedOnce(t *testing.T, s access.Store) {
	write(t, s, pairBoth)
	write(t, s, func(tx access.Tx) error {
		return errors.Join(tx.Revoke(heron.ID, 4000, "rail"), tx.Revoke(heron.ID, 5000, "teal"), tx.Revoke("no such device", 5000, "teal"))
	})
	read(t, s, func(snap access.Snap) error {
		d, _, err := snap.Holder(token(1))
		if d.RevokedAt != 4000 || d.RevokedBy != "rail" {
			t.Errorf("revoked at %d by %q", d.RevokedAt, d.RevokedBy)
		}
		other, _, bad := snap.Device(rail.ID)
		if other.RevokedAt != 0 {
			t.Error("the other phone is revoked, too")
		}
		return errors.Join(err, bad)
	})
}

func invitationSpent(t *testing.T, s access.Store) {
	whole := access.Invitation{Pairing: access.Pairing{Person: "", Name: "Teal", Role: access.Scout, MadeBy: "rail"}, Until: 9000}
	find := func(code [32]byte) (i access.Invitation, found bool) {
		read(t, s, func(snap access.Snap) (err error) {
			i, found, err = snap.Invitation(code)
			return err
		})
		return i, found
	}
	write(t, s, func(tx access.Tx) error { return tx.Invite(token(1), whole) })
	if got, found := find(token(1)); !found || !reflect.DeepEqual(got, whole) {
		t.Errorf("%+v, %v", got, found)
	}
	write(t, s, func(tx access.Tx) error { return errors.Join(tx.Name(token(1), "teal"), tx.Name(token(1), "rail")) })
	whole.Person = "teal"
	whole.Use = access.Use{At: 8000, Device: "0d", Claim: []byte{0, 1, 0xff}, Chance: []byte{2, 0}}
	write(t, s, func(tx access.Tx) error { return tx.Spend(token(1), whole.Use) })
	if got, found := find(token(1)); !found || !reflect.DeepEqual(got, whole) {
		t.Errorf("%+v, %v", got, found)
	}
	write(t, s, func(tx access.Tx) error { return tx.Forget(9000) })
	if _, found := find(token(1)); !found {
		t.Error("one that is valid until then was forgotten")
	}
	write(t, s, func(tx access.Tx) error { return tx.Forget(9001) })
	if _, found := find(token(1)); found {
		t.Error("one that is over was not forgotten")
	}
}

func invitationsCounted(t *testing.T, s access.Store) {
	invited := func(person string, until int64) access.Invitation {
		return access.Invitation{Pairing: access.Pairing{Person: person, Role: access.Scout}, Until: until}
	}
	write(t, s, func(tx access.Tx) error {
		return errors.Join(tx.Invite(token(1), invited("teal", 9000)), tx.Invite(token(2), invited("teal", 9001)), tx.Invite(token(3), invited("teal", 9002)),
			tx.Invite(token(4), invited("rail", 9000)), tx.Invite(token(5), invited("heron", 9005)), tx.Spend(token(5), access.Use{At: 1, Device: "0a"}))
	})
	read(t, s, func(snap access.Snap) error {
		got, err := snap.Invited(9000)
		if !reflect.DeepEqual(got, map[string]int{"teal": 2}) {
			t.Errorf("counted %v", got)
		}
		return err
	})
}

func accessRolledBack(t *testing.T, s access.Store) {
	failed := errors.New("failed")
	write(t, s, func(tx access.Tx) error { return tx.Pair(rail, token(2)) })
	err := s.Write(t.Context(), func(tx access.Tx) error {
		if err := errors.Join(tx.Pair(heron, token(1)), tx.Revoke(rail.ID, 1, "x"), tx.Invite(token(3), access.Invitation{Until: 1, Pairing: access.Pairing{Role: access.Scout}})); err != nil {
			return err
		}
		// What it has put it reads, although nobody else does yet.
		if _, found, err := tx.Device(heron.ID); !found || err != nil {
			t.Errorf("its own device: %v, %v", found, err)
		}
		return failed
	})
	if !errors.Is(err, failed) {
		t.Errorf("the error is %v", err)
	}
	read(t, s, func(snap access.Snap) error {
		_, found, err := snap.Device(heron.ID)
		_, invited, bad := snap.Invitation(token(3))
		other, _, worse := snap.Device(rail.ID)
		if found || invited || other.RevokedAt != 0 {
			t.Errorf("kept: device %v, invitation %v, revoked %v", found, invited, other.RevokedAt)
		}
		return errors.Join(err, bad, worse)
	})
}

func accessOneMoment(t *testing.T, s access.Store) {
	write(t, s, func(tx access.Tx) error { return tx.Pair(rail, token(2)) })
	read(t, s, func(snap access.Snap) error {
		before, err := snap.Devices()
		if err != nil {
			return err
		}
		write(t, s, func(tx access.Tx) error { return tx.Pair(heron, token(1)) })
		after, err := snap.Devices()
		if !reflect.DeepEqual(before, after) {
			t.Errorf("%d devices became %d", len(before), len(after))
		}
		return err
	})
}

func keysKept(t *testing.T, s access.Store) {
	one := access.Reader{ID: "0e", Name: "board’s", Table: "lots", People: true, MadeBy: "rail", MadeAt: 100}
	other := access.Reader{ID: "0f", Name: "office", MadeBy: "heron", MadeAt: 200}
	write(t, s, func(tx access.Tx) error {
		return errors.Join(pairBoth(tx), tx.PutReader(one, token(1)), tx.PutReader(other, token(2)))
	})
	// A scout's phone is no supervisor's.
	other.Orphaned = true
	keys := func() (all []access.Reader) {
		read(t, s, func(snap access.Snap) (err error) {
			all, err = snap.Readers()
			return err
		})
		return all
	}
	same(t, "keys", keys(), nil, []access.Reader{other, one})
	read(t, s, func(snap access.Snap) error {
		got, found, err := snap.KeyHolder(token(1))
		same(t, "by its hash", got, err, one)
		same(t, "found", found, nil, true)
		_, found, err = snap.KeyHolder(token(3))
		same(t, "found by another", found, err, false)
		return nil
	})
	if err := s.Write(t.Context(), func(tx access.Tx) error { return tx.PutReader(access.Reader{ID: "10"}, token(2)) }); err == nil {
		t.Error("two programs have one key")
	}
	write(t, s, func(tx access.Tx) error {
		return errors.Join(tx.UseKey("0e", 300), tx.RevokeKey("0f", 400, "rail"), tx.RevokeKey("0f", 500, "teal"), tx.RevokeKey("no such key", 500, "teal"), tx.Revoke(rail.ID, 600, "x"))
	})
	one.UsedAt, one.Orphaned = 300, true
	other.RevokedAt, other.RevokedBy = 400, "rail"
	same(t, "keys later", keys(), nil, []access.Reader{other, one})
}
