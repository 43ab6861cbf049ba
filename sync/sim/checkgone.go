package sim

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
)

// away is a lot whose notes a phone has let go, as it counts them.
type away struct {
	lotSum
	Last int64 `json:"last"`
}

func sortedOf(rows map[string]row) []string { return slices.Sorted(maps.Keys(rows)) }

// Keys0 is the first record that the entry has a part in, "" for none.
func (r row) Keys0() string {
	if len(r.Keys) == 0 {
		return ""
	}
	return r.Keys[0]
}

// isGone is true for a note that a phone may no longer have, since it counts its lot among those that it let go.
func (p *phone) isGone(id string) bool {
	k := p.world.notes[id]
	if k == nil {
		return false
	}
	_, ok := p.now.Gone[k.Lot]
	return ok && (k.acked || k.placed)
}

// awayCount is how many notes the phone has let go.
func (p *phone) awayCount() (all int64) {
	for _, lot := range p.now.Gone {
		all += int64(lot.Count)
	}
	return all
}

// isPartial is true for a record whose first note a phone has let go: it makes no record there.
func (p *phone) isPartial(s storage, key string) bool {
	_, id, _ := strings.Cut(key, ":")
	_, held := s.rows[id]
	prefix := strings.HasPrefix(key, "pot:") || strings.HasPrefix(key, "fact:")
	return prefix && !held && len(p.now.Gone) > 0
}

// checkGone: what a phone no longer has is in a backup, and thirty days old; and no record was made of late notes alone.
func (w *world) checkGone(p *phone, was Reply) {
	if len(p.now.Gone) == 0 && (!p.emptied || w.nursery.shipped == "") && w.nursery.south == "" || w.over || maps.EqualFunc(was.Gone, p.now.Gone, func(a, b away) bool { return a == b }) &&
		was.Cursor == p.now.Cursor && was.First == p.now.First {
		return
	}
	w.checked(LetGo)
	s := p.reads()
	for _, id := range slices.Sorted(maps.Keys(w.notes)) {
		k := w.notes[id]
		_, isHeld := s.rows[id]
		if isHeld && w.nursery.south != "" {
			p.had[id] = true
		}
		if _, gone := p.now.Gone[k.Lot]; !gone || isHeld || !k.placed || k.Kind != "observation" {
			continue
		}
		// Lots of other houses are alive: what has not come yet, or was left out of a first pull, was not let go.
		if w.nursery.south != "" && !p.had[id] {
			continue
		}
		backedUp := slices.ContainsFunc(w.backups, func(b backup) bool { return b.ids[id] })
		if isOld := w.now-k.at >= 30*day; isOld && (backedUp || p.isLeftOut(k.Lot)) {
			continue
		}
		w.violated(LetGo, "%s has let note %s go, which is %d days old and in a backup: %v", p.name, id, (w.now-k.at)/day, backedUp)
		return
	}
	for _, key := range slices.Sorted(maps.Keys(s.byKey)) {
		isUnsent := slices.ContainsFunc(s.byKey[key], func(r row) bool { return r.Position == 0 || r.Position > p.now.Cursor.Position })
		if p.isPartial(s, key) && !isUnsent && s.records[key].Hash != "" {
			w.violated(LetGo, "%s has made a record %s of late notes alone", p.name, key)
			return
		}
	}
	w.checkPlaces(p, s)
}

// checkHouses: once all is quiet, every note of a lot that stands in one of the phone's houses is there, by the phone's own stretches and beds.
func (w *world) checkHouses(p *phone, s storage) {
	if len(p.now.Houses) == 0 || len(p.now.Gone) == 0 || p.now.First {
		return
	}
	w.checked(LetGo)
	for _, key := range slices.Sorted(maps.Keys(s.records)) {
		if !strings.HasPrefix(key, "span:") {
			continue
		}
		var stands struct {
			Lot, Bed string
			Ended    bool
		}
		shown(s, key, &stands)
		var bed struct{ House string }
		shown(s, "bed:"+stands.Bed, &bed)
		if _, gone := p.now.Gone[stands.Lot]; gone && !stands.Ended && slices.Contains(p.now.Houses, bed.House) {
			w.violated(LetGo, "%s is without notes of lot %s, which stands in its house %s", p.name, stands.Lot, bed.House)
			return
		}
	}
}

// shown reads the values of a register that a phone shows.
func shown(s storage, key string, into any) {
	made, ok := s.shown(key)
	if !ok || made.Register == nil {
		return
	}
	values := map[string]json.RawMessage{}
	for name, field := range made.Register.Fields {
		values[name] = field.Value
	}
	if text, err := json.Marshal(values); err == nil {
		_ = json.Unmarshal(text, into)
	}
}

// isLeftOut is true where a phone that was emptied never had the lot's old notes: a first pull needs no backup to leave them out.
func (p *phone) isLeftOut(lot string) bool { return p.emptied && p.now.Gone[lot].Count > 0 }
