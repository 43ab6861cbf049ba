package view

import (
	"crypto/sha256"
	"encoding/json"
	"strconv"
	"strings"
	"sync"

	"bedwalk/schema"
)

// given remembers of each part of the Beds page when an answer last had it otherwise than the answer before. So what changed since
// an earlier answer is known whatever the reason was: a note, a midnight, or an entry interval that ended.
type given struct {
	// began tells the versions of this run of the server from those of another.
	began string

	mu sync.Mutex
	// n counts the answers in which something was otherwise.
	n int64
	// beds are the parts by bed, frame is everything of the houses but their beds' own data.
	beds  map[string]givenPart
	frame givenPart
}

// givenPart is a part's hash, and the count of the answer from which on it has it.
type givenPart struct {
	hash [sha256.Size]byte
	n    int64
}

// since gives an answer its version, and leaves out what is as it was in the answer of an earlier version.
func (g *given) since(all schema.BedsView, version string) (schema.BedsView, error) {
	beds := map[string][sha256.Size]byte{}
	frame := all
	frame.Version, frame.MadeAt, frame.Head, frame.Phones, frame.Houses = "", 0, 0, schema.PhonesBrief{}, nil
	for _, h := range all.Houses {
		bare := h
		bare.Beds = nil
		for _, b := range h.Beds {
			hash, err := hashOf(b)
			if err != nil {
				return all, err
			}
			beds[b.ID] = hash
			bare.Beds = append(bare.Beds, schema.BedBrief{ID: b.ID})
		}
		frame.Houses = append(frame.Houses, bare)
	}
	frameHash, err := hashOf(frame)
	if err != nil {
		return all, err
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	known := g.counted(version)
	next := g.n + 1
	for id, hash := range beds {
		if g.beds[id].hash == hash {
			continue
		}
		if g.beds == nil {
			g.beds = map[string]givenPart{}
		}
		g.beds[id], g.n = givenPart{hash, next}, next
	}
	if g.frame.hash != frameHash {
		g.frame, g.n = givenPart{frameHash, next}, next
	}
	all.Version = g.began + "." + strconv.FormatInt(g.n, 10)
	if known < 0 || g.frame.n > known {
		return all, nil
	}
	all.Since = version
	for _, h := range all.Houses {
		for _, b := range h.Beds {
			if g.beds[b.ID].n > known {
				all.Beds = append(all.Beds, b)
			}
		}
	}
	all.Houses = []schema.HouseView{}
	return all, nil
}

// counted is the count of a version, below 0 for one that this run has not given.
func (g *given) counted(version string) int64 {
	began, count, _ := strings.Cut(version, ".")
	n, err := strconv.ParseInt(count, 10, 64)
	if err != nil || began != g.began || n < 1 || n > g.n {
		return -1
	}
	return n
}

func hashOf(part any) (hash [sha256.Size]byte, err error) {
	raw, err := json.Marshal(part)
	return sha256.Sum256(raw), err
}
