package pg

import (
	"context"
	"errors"
	"testing"

	"bedwalk/server/testpg"
)

// A connection that is cut at this end alone stands at the other until the database looks: after a stall of the network, or of the database itself.
func TestAServerIsNotShutOutByItsOwnLockWhenTheDatabaseHasNotSeenThatItWasCut(t *testing.T) {
	name := testpg.Site()
	d, other := openBoth(t, name)
	cut, err := d.hold(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer cut.Close(context.WithoutCancel(t.Context()))
	if _, err := other.hold(t.Context()); !errors.Is(err, ErrHeld) {
		t.Errorf("another server: %v", err)
	}
	again, err := d.hold(t.Context())
	if !errors.Is(err, errStillOurs) || errors.Is(err, ErrHeld) {
		t.Fatalf("the same server: %v", err)
	}
	for again == nil && errors.Is(err, errStillOurs) {
		again, err = d.hold(t.Context())
	}
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close(context.WithoutCancel(t.Context()))
	if _, err := other.hold(t.Context()); !errors.Is(err, ErrHeld) {
		t.Errorf("another server afterwards: %v", err)
	}
	if _, err := d.hold(t.Context()); !errors.Is(err, errStillOurs) {
		t.Errorf("once more: %v", err)
	}
}

func openBoth(t *testing.T, name string) (one, other *DB) {
	t.Helper()
	for _, into := range []**DB{&one, &other} {
		d, err := Open(t.Context(), Options{URL: testpg.URL(t), Site: name, New: true})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { d.Close() })
		*into = d
	}
	return one, other
}
