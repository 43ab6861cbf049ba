package sim

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// liar is somebody with a paired scout's device and a program of their own: it keeps to the wire format, so that it is
// answered, and lies. Nothing of it may reach anybody's records or turn the server against the others.
type liar struct {
	world         *world
	token, device string
	person        string
	inc           int
	seq           int64
	chain         [32]byte
	wrong         int
}

// inviteLiar pairs the dishonest device, on most days.
func (w *world) inviteLiar() {
	if !w.chance(70) {
		return
	}
	person := w.id()
	code, err := w.host.Invite(person, "Somebody", "scout")
	if err != nil {
		w.broken(err)
		return
	}
	l := &liar{world: w, person: person, inc: 1}
	l.asks("/api/pair", object{"code": code, "name": "Phone"}, func(got answer, token string) {
		var me schema.Me
		if json.Unmarshal(got.Body, &me) == nil {
			l.token, l.device = token, me.Device
		}
	})
	if l.token != "" {
		l.lives()
	}
}

func (l *liar) lives() {
	l.world.after(l.world.below(2*pause), func() {
		if l.world.quiet || l.world.over {
			return
		}
		if l.world.stands() {
			l.lies()
		}
		l.lives()
	})
}

func (l *liar) lies() {
	w := l.world
	switch w.IntN(8) {
	case 0:
		l.tellsWrongSums()
	case 1:
		l.claimsMore()
	case 2:
		l.writes(l.person, note{Kind: "note", Body: object{"words": "A note like any other."}})
	case 3:
		w.count(Lied)
		deep := any("bottom")
		for range 13 {
			deep = object{"d": deep}
		}
		l.writes(l.person, note{Kind: "note", Body: object{"words": "deep", "x": deep}})
	case 4:
		w.count(Lied)
		l.writes(l.person, note{Kind: "bed", Bed: w.nursery.beds[0], Body: object{"of": w.nursery.beds[0], "name": "Mine"}, unfit: "it is not for a scout"})
	case 5:
		w.count(Lied)
		l.writes(w.phones[0].person, note{Kind: "note", Body: object{"words": "I said so."}, unfit: "it is in another's name"})
	case 6, 7:
		l.handsBack()
	}
}

// tellsWrongSums sends sums that are nearly the server's own, and must never be found equal.
func (l *liar) tellsWrongSums() {
	w := l.world
	s, ok := w.dump()
	if !ok || len(s.Merged) == 0 {
		return
	}
	w.count(Lied)
	own := naiveSums{}
	for i, k := range s.Merged {
		own.add(s.stamped[i].Entry.Lot, k.Raw, k.Stamp)
	}
	d := schema.Digest{Device: l.device, Epoch: s.Epoch, Position: s.Head, Lots: []schema.LotDigest{}}
	for _, lot := range slices.Sorted(maps.Keys(own)) {
		d.Lots = append(d.Lots, schema.LotDigest{Lot: lot, Count: own[lot].count, Sum: own[lot].text()})
	}
	one := w.IntN(len(d.Lots))
	switch l.wrong++; l.wrong % 4 {
	case 0:
		d.Lots = slices.Delete(d.Lots, one, one+1)
	case 1:
		d.Lots[one].Count++
	case 2:
		d.Lots[one].Sum = strings.Repeat("0", 31) + "1"
	case 3:
		d.Lots = append(d.Lots, schema.LotDigest{Lot: w.id(), Count: 1, Sum: d.Lots[one].Sum})
	}
	l.asks("/api/digest", d, func(got answer, _ string) {
		w.checked(VerdictTrue)
		var verdict schema.DigestAnswer
		if got.Status == 200 && json.Unmarshal(got.Body, &verdict) == nil && verdict.Equal {
			w.violated(VerdictTrue, "sums that are wrong in one lot are answered as equal: %v", d.Lots[min(one, len(d.Lots)-1)])
		}
	})
}

// claimsMore claims to have read what is not there; the server must not conclude that it lost something.
func (l *liar) claimsMore() {
	w := l.world
	epoch, _ := w.host.Where()
	w.count(Lied)
	path := fmt.Sprintf("/api/pull?epoch=%s&after=%d", epoch, int64(1)<<40)
	if w.chance(50) {
		path += "&proof=" + w.id() + guess(w)
	}
	l.asks(path, nil, func(answer, string) {
		w.checked(Shut)
		if now, _ := w.host.Where(); now != epoch {
			w.violated(Shut, "a device that claimed to have read past the end of the journal made the server begin another epoch")
		}
	})
}

// writes sends one note as its next, in somebody's name.
func (l *liar) writes(person string, n note) {
	w := l.world
	epoch, _ := w.host.Where()
	n.ID = w.id()
	body, err := journal.Of(n.Body)
	if err != nil {
		w.broken(err)
		return
	}
	raw, err := journal.Encode(schema.Entry{ID: n.ID, Device: l.device, Incarnation: l.inc, Seq: l.seq + 1, V: schema.Version, Kind: n.Kind,
		Person: person, Lot: n.Lot, Bed: n.Bed, Wall: w.now, Session: "liar", Mono: w.now - dawn, Floor: dawn, Body: body})
	if err != nil {
		w.broken(err)
		return
	}
	w.notes[n.ID] = &noted{note: n, person: person, at: w.now, bytes: map[string]bool{string(raw): true}}
	push := schema.Push{V: 1, Device: l.device, Incarnation: l.inc, Epoch: epoch, From: l.seq + 1, Chain: journal.ChainHex(l.chain), Session: "liar",
		SentWall: w.now, SentMono: w.now - dawn, Entries: []json.RawMessage{raw}}
	if l.seq == 0 {
		push.Chain = ""
	}
	l.asks("/api/push", push, func(got answer, _ string) {
		w.trace("the dishonest device's %s %s: %d", n.Kind, n.ID[:6], got.Status)
		if got.Status == 200 {
			l.seq, l.chain = l.seq+1, journal.Chain(l.chain, raw)
			return
		}
		// It continues with other numbers, like a phone that was set back.
		l.asks("/api/incarnation", object{}, func(got answer, _ string) {
			var given struct{ Inc int }
			if got.Status == 200 && json.Unmarshal(got.Body, &given) == nil {
				l.inc, l.seq, l.chain = given.Inc, 0, [32]byte{}
			}
		})
	})
}

// asks sends a request that the network does not disturb.
func (l *liar) asks(path string, body any, on func(got answer, token string)) {
	w := l.world
	r := Request{Method: "GET", Path: path, Token: l.token, Headers: map[string]string{}}
	if body != nil {
		raw, err := json.Marshal(body)
		if err != nil {
			w.broken(err)
			return
		}
		r.Method, r.Body, r.Headers["content-type"] = "POST", raw, jsonType
	}
	w.serve(r, func(got Response) { on(answer{Status: got.Status, Body: got.Body}, got.Token) })
}
