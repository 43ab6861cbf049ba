package fold

import (
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// A body is read whole or not at all: what one device leaves out another may not count.
func TestAMemberOfAnotherTypeMakesTheWholeBodyUnreadable(t *testing.T) {
	for body, readable := range map[string]bool{
		``:                                false,
		`null`:                            false,
		`[]`:                              false,
		`{"basis":{"a":1},"counted":5}`:   true,
		`{"basis":{"a":"1"},"counted":5}`: false,
		`{"basis":[1],"counted":5}`:       false,
		`{"basis":null,"counted":null}`:   true,
		`{"counted":"5"}`:                 false,
		`{"counted":5.5}`:                 false,
		`{"Counted":"5"}`:                 true,
	} {
		if _, ok := read[schema.Recount]([]byte(body)); ok != readable {
			t.Errorf("a recount %s is readable: %v", body, ok)
		}
	}
	for body, readable := range map[string]bool{
		`{"records":["a","b"]}`: true,
		`{"records":["a",2]}`:   false,
		`{"records":{}}`:        false,
	} {
		if _, ok := read[schema.Unvoid]([]byte(body)); ok != readable {
			t.Errorf("bringing back %s is readable: %v", body, ok)
		}
	}
	if unvoid, _ := read[schema.Unvoid]([]byte(`{"records":["a","b"]}`)); len(unvoid.Records) != 2 || unvoid.Records[1] != "b" {
		t.Errorf("have %+v", unvoid)
	}
}

func TestARecordThatHasNoCanonicalBytesHasNoHash(t *testing.T) {
	_, err := Hash(schema.Record{Register: &schema.Register{Fields: map[string]schema.Field{"a": {Value: []byte(`{"b":1.50}`)}}}})
	if _, ok := err.(*journal.Error); !ok {
		t.Errorf("have %v", err)
	}
}
