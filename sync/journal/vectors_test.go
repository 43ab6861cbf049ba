package journal

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
)

const vectorDir = "../../fixtures/vectors"

// readers lists who reads each prefix of fixtures/vectors; a file of another prefix would be read by nobody.
var readers = map[string]string{
	"journal": "sync/journal", "tables": "sync/tables", "mix": "sync/mix", "fold": "sync/fold", "stamp": "sync/stamp", "stats": "sync/stats", "bed": "sync/bed", "unit": "sync/unit", "houses": "sync/fold",
}

// readVectors reads a file into cases, and fails on a member that the cases' type does not have.
func readVectors[T any](t testing.TB, file string) []T {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(vectorDir, file))
	if err != nil {
		t.Fatal(err)
	}
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.DisallowUnknownFields()
	var cases []T
	if err := decoder.Decode(&cases); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	if len(cases) == 0 {
		t.Fatalf("%s holds no case", file)
	}
	return cases
}

func TestEveryVectorFileHasAReader(t *testing.T) {
	files, err := os.ReadDir(vectorDir)
	if err != nil {
		t.Fatal(err)
	}
	ours := []string{"journal-canonical.json", "journal-chain.json", "journal-digest.json"}
	name := regexp.MustCompile(`^([a-z]+)-[a-z0-9-]+\.json$`)
	var seen []string
	for _, file := range files {
		parts := name.FindStringSubmatch(file.Name())
		if parts == nil || readers[parts[1]] == "" {
			t.Errorf("%s: no package reads files of this name; readers are %v", file.Name(), readers)
			continue
		}
		if parts[1] == "journal" {
			seen = append(seen, file.Name())
		}
	}
	if !slices.Equal(seen, ours) {
		t.Errorf("fixtures/vectors holds %v for this package, which reads %v", seen, ours)
	}
}

type canonicalVector struct {
	Name  string
	Input struct{ Text, Hex string }
	Want  struct {
		Canonical *string
		Error     Code
	}
}

func TestCanonicalBytesOfEveryVector(t *testing.T) {
	for _, v := range readVectors[canonicalVector](t, "journal-canonical.json") {
		t.Run(v.Name, func(t *testing.T) {
			raw := []byte(v.Input.Text)
			if v.Input.Hex != "" {
				var err error
				if raw, err = hex.DecodeString(v.Input.Hex); err != nil {
					t.Fatal(err)
				}
			}
			got, err := Canonical(raw)
			if CodeOf(err) != v.Want.Error {
				t.Fatalf("error %v, want %q", err, v.Want.Error)
			}
			if v.Want.Canonical == nil {
				return
			}
			if err != nil || string(got) != *v.Want.Canonical {
				t.Fatalf("got %s (%v)\nwant %s", got, err, *v.Want.Canonical)
			}
			if itself := &got[0] == &raw[0]; itself != (v.Input.Text == *v.Want.Canonical) {
				t.Errorf("the text was given back itself: %v", itself)
			}
			if again, err := Canonical(got); err != nil || !bytes.Equal(again, got) {
				t.Errorf("the canonical form %s is not its own canonical form: %s (%v)", got, again, err)
			}
		})
	}
}

// The expected hashes were made with Python's hashlib, which shares no code with either twin.
func TestChainOfEveryVector(t *testing.T) {
	type vector struct {
		Name  string
		Input struct {
			Chain   string
			Entries []string
		}
		Want struct{ Chains []string }
	}
	for _, v := range readVectors[vector](t, "journal-chain.json") {
		t.Run(v.Name, func(t *testing.T) {
			chain, err := ParseChain(v.Input.Chain)
			if err != nil {
				t.Fatal(err)
			}
			got := []string{}
			for _, entry := range v.Input.Entries {
				chain = Chain(chain, []byte(entry))
				got = append(got, ChainHex(chain))
			}
			if !slices.Equal(got, v.Want.Chains) {
				t.Errorf("got %v, want %v", got, v.Want.Chains)
			}
		})
	}
}

// The expected hashes were made with Python's hashlib, which shares no code with either twin.
func TestDigestOfEveryVector(t *testing.T) {
	type vector struct {
		Name  string
		Input struct {
			Items []struct {
				Entry string
				Stamp schema.Stamp
			}
		}
		Want struct {
			Hashes []string
			Sum    string
		}
	}
	for _, v := range readVectors[vector](t, "journal-digest.json") {
		t.Run(v.Name, func(t *testing.T) {
			var sum Sum
			got := []string{}
			for _, item := range v.Input.Items {
				hash := Hash([]byte(item.Entry), item.Stamp)
				got = append(got, hash.String())
				sum = sum.Add(hash)
			}
			if !slices.Equal(got, v.Want.Hashes) || sum.String() != v.Want.Sum {
				t.Errorf("got %s = %s\nwant %s = %s", strings.Join(got, " + "), sum, strings.Join(v.Want.Hashes, " + "), v.Want.Sum)
			}
		})
	}
}
