package sim

import (
	"bytes"
	"encoding/json"
	"errors"

	"bedwalk/schema"
)

// request is what a phone asks: push and digest have a body, pull its cursor.
type request struct {
	kind  string
	body  []byte
	epoch string
	after int64
	limit int
	proof string
}

// answer is what comes back: nothing at all (lost), or a status with a body that may have been cut.
type answer struct {
	lost   bool
	status int
	body   []byte
}

// refusal is why a phone has no answer that it can believe. Why has the words of pwa/src/journal/wire.ts.
type refusal struct {
	why     string
	status  int
	problem *schema.Problem
}

func (r refusal) Error() string { return r.why }

// refused reads an answer into what was asked for, or hands its refusal on and is true.
func (p *phone) refused(a answer, into any, on func(refusal)) bool {
	hear := on
	on = func(r refusal) {
		p.world.trace("%s has no answer: %s %d %+v", p.name, r.why, r.status, r.problem)
		hear(r)
	}
	switch {
	case a.lost:
		on(refusal{why: "offline"})
	case a.status == 200:
		if json.Unmarshal(a.body, into) == nil {
			return false
		}
		on(refusal{why: "portal"})
	default:
		r := refusal{why: "refused", status: a.status}
		var problem schema.Problem
		if json.Unmarshal(a.body, &problem) == nil && problem.Code != "" {
			r.problem = &problem
		}
		switch {
		case a.status == 429 || a.status >= 500:
			r.why = "busy"
		case r.problem == nil:
			r.why = "portal"
		case a.status == 401:
			r.why = "unpaired"
		case a.status == 403:
			r.why = "revoked"
			p.followRevoked(*r.problem)
		}
		on(r)
	}
	return true
}

// ask sends a request and calls then once: with an answer, or with none when patience is over. An answer that comes
// later, or after the app was started anew, is nobody's.
func (p *phone) ask(r request, then func(answer)) {
	p.asking++
	nth := p.asking
	once := func(a answer) {
		if p.asking == nth {
			p.asking++
			then(a)
		}
	}
	p.world.after(patience, func() { once(answer{lost: true}) })
	p.world.carryOver(p, r, once)
}

// carryOver is the network: it takes a request to the server and an answer back, or does something else with them.
func (w *world) carryOver(p *phone, r request, back func(answer)) {
	late := 20 + w.below(400)
	if !p.online {
		w.after(late, func() { back(answer{lost: true}) })
		return
	}
	if w.quiet {
		w.after(late, func() { w.deliver(p, r, func(a answer) { w.after(late, func() { back(a) }) }) })
		return
	}
	switch roll := w.below(1000); {
	case roll < 25:
		w.count(Dropped)
		return
	case roll < 50:
		w.count(Cut)
		r.body = r.body[:w.below(int64(len(r.body)))]
		// A body shorter than it was announced never reaches the handler as a whole one.
		w.after(late, func() { w.refuseCut(r); back(answer{lost: true}) })
		return
	case roll < 65:
		w.count(Portal)
		w.after(late, func() { back(answer{status: 200, body: []byte("<html>Welcome, please log in</html>")}) })
		return
	case roll < 75:
		w.fail(late, back, 401, "not_paired", Unauthorised)
		return
	case roll < 85:
		w.fail(late, back, 429, "too_many", TooMany)
		return
	case roll < 95:
		w.fail(late, back, 500, "internal", ServerError)
		return
	case roll < 130:
		w.count(Repeated)
		w.after(late+w.below(2*minute), func() { w.deliver(p, r, func(answer) {}) })
	case roll < 160:
		w.count(Delayed)
		late += patience + w.below(5*minute)
	}
	w.after(late, func() { w.deliver(p, r, func(a answer) { w.wayBack(late, a, back) }) })
}

func (w *world) wayBack(late int64, a answer, back func(answer)) {
	switch roll := w.below(1000); {
	case roll < 25:
		w.count(AnswerDropped)
		return
	case roll < 45:
		w.count(AnswerCut)
		a.body = a.body[:w.below(int64(len(a.body)))]
	}
	w.after(late, func() { back(a) })
}

// refuseCut feeds a cut body to the server's decoder, which must find that it is none.
func (w *world) refuseCut(r request) {
	var p schema.Push
	if r.kind == "push" && json.Unmarshal(r.body, &p) == nil && len(p.Entries) > 0 {
		w.violated("acknowledged is never lost", "a batch cut at byte %d still reads as a batch", len(r.body))
	}
}

func (w *world) fail(late int64, back func(answer), status int, code string, kind FaultKind) {
	w.count(kind)
	body, err := json.Marshal(schema.Problem{Status: status, Code: code, Detail: "A fault that was put in the way."})
	if err != nil {
		w.broken(err)
	}
	w.after(late, func() { back(answer{status: status, body: body}) })
}

// deliver gives a request to the server, as its HTTP side does, and answers as that would.
func (w *world) deliver(p *phone, r request, back func(answer)) {
	if !w.up {
		back(answer{lost: true})
		return
	}
	if p.revoked && r.kind != "push" {
		epoch, _ := w.host.Where()
		inc, high, err := w.host.Writer(p.disk.writer.device)
		if err == nil {
			err = &Problem{schema.Problem{Status: 403, Code: "revoked", Detail: "This phone's access was taken back.", Epoch: epoch, Incarnation: &inc, High: &high}}
		}
		back(w.written(nil, err))
		return
	}
	device := p.disk.writer.device
	var value any
	var err error
	switch r.kind {
	case "me":
		me := schema.Me{Device: device, Epoch: "", ServerNow: w.host.clock()}
		me.Incarnation, me.High, err = w.host.Writer(device)
		me.Epoch, _ = w.host.Where()
		value = me
	case "incarnation":
		var inc int
		inc, err = w.host.Incarnation(device)
		value = object{"inc": inc}
	case "push":
		var push schema.Push
		if json.Unmarshal(r.body, &push) != nil {
			err = &Problem{schema.Problem{Status: 400, Code: "bad_json", Detail: "The batch cannot be read."}}
			break
		}
		var given schema.PushAnswer
		given, err = w.host.Push(push, Sender{PairedAt: p.pairedAt, Revoked: p.revoked})
		for _, g := range given.Given {
			delete(w.gone, g.ID)
		}
		value = given
	case "pull":
		value, err = w.host.Pull(device, r.epoch, r.after, r.limit, r.proof)
	case "handback":
		var raws []json.RawMessage
		if err = json.Unmarshal(r.body, &raws); err == nil {
			err = w.host.HandBack(raws)
		}
		value = object{}
	case "digest":
		var digest schema.Digest
		if err = json.Unmarshal(r.body, &digest); err == nil {
			value, err = w.host.Compare(digest)
		}
	}
	if errors.Is(err, ErrDied) {
		w.serverDied()
		back(answer{lost: true})
		return
	}
	back(w.written(value, err))
}

// written is an answer as bytes. Entries stand in it as their writers made them, so nothing may be escaped anew.
func (w *world) written(value any, err error) answer {
	status := 200
	if err != nil {
		problem, ok := err.(*Problem)
		if !ok {
			w.trace("server fault: %v", err)
			problem = &Problem{schema.Problem{Status: 500, Code: "internal", Detail: err.Error()}}
		}
		status, value = problem.Status, problem.Problem
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		w.broken(err)
	}
	return answer{status: status, body: out.Bytes()}
}
