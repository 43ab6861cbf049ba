package sim

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"regexp"
	"strconv"
	"strings"

	"bedwalk/schema"
)

const (
	jsonType = "application/json"
	// aWhile is longer than a phone's first wait for an answer.
	aWhile = 30 * second
)

var pageSize = regexp.MustCompile(`limit=\d+`)

// carryOver is the network: it takes a request to the server and an answer back, or does something else with them. Back
// with nil is a connection that failed.
func (w *world) carryOver(p *phone, a ask, back func(*answer)) {
	late := 20 + w.below(400)
	if !p.online {
		w.after(late, func() { back(nil) })
		return
	}
	r := w.request(p, a)
	w.sent(p, a)
	if w.quiet {
		w.after(late, func() { w.deliver(p, a, r, func(got *answer) { w.after(late, func() { back(got) }) }) })
		return
	}
	switch roll := w.below(1000); {
	case roll < 25:
		w.count(Dropped)
		return
	case roll < 50:
		w.count(Cut)
		w.after(late, func() { w.deliverCut(p, a, r); back(nil) })
		return
	case roll < 65:
		w.count(Portal)
		w.after(late, func() {
			back(&answer{Status: 200, Type: "text/html", Body: []byte("<html>Welcome, please log in</html>")})
		})
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
		w.after(late+w.below(repeatWithin(a)), func() { w.deliver(p, a, r, func(*answer) {}) })
	case roll < 160:
		w.count(Delayed)
		late += aWhile + w.below(5*minute)
	}
	w.after(late, func() { w.deliver(p, a, r, func(got *answer) { w.wayBack(late, got, back) }) })
}

// repeatWithin is how long after a request its repeat may still arrive. A digest's is given hours, since a phone sends few
// of them, and it is only after the next one that a repeat shows whether the server takes the late one for the newest.
func repeatWithin(a ask) int64 {
	if a.Path == "/api/digest" {
		return 4 * hour
	}
	return 2 * minute
}

func (w *world) wayBack(late int64, a *answer, back func(*answer)) {
	switch roll := w.below(1000); {
	case roll < 25:
		w.count(AnswerDropped)
		return
	case roll < 45 && a != nil:
		w.count(AnswerCut)
		cut := *a
		cut.Body, cut.Cut = a.Body[:w.below(int64(len(a.Body)))], w.chance(50)
		a = &cut
	}
	w.after(late, func() { back(a) })
}

func (w *world) fail(late int64, back func(*answer), status int, code string, kind FaultKind) {
	w.count(kind)
	body, err := json.Marshal(schema.Problem{Status: status, Code: code, Detail: "A fault that was put in the way."})
	if err != nil {
		w.broken(err)
	}
	w.after(late, func() { back(&answer{Status: status, Type: schema.ContentProblem, Body: body}) })
}

// request is what the browser sends for the app: with its cookie, and taking gzip.
func (w *world) request(p *phone, a ask) Request {
	r := Request{Method: a.Method, Path: a.Path, Token: p.token, Body: a.Body, Headers: map[string]string{"accept-encoding": "gzip"}}
	for name, value := range a.Headers {
		r.Headers[name] = value
	}
	if w.pages > 0 && strings.HasPrefix(a.Path, "/api/pull?") {
		// A server may give less than was asked for; small pages let a short day have many.
		r.Path = pageSize.ReplaceAllString(r.Path, "limit="+strconv.Itoa(w.pages))
	}
	return r
}

// deliverCut cuts a request off on its way: the server gets half a body, and must keep nothing of it.
func (w *world) deliverCut(p *phone, a ask, r Request) {
	if len(r.Body) == 0 || !w.up {
		return
	}
	r.Body = r.Body[:w.below(int64(len(r.Body)))]
	w.serve(r, func(got Response) {
		if got.Status == 200 {
			w.violated(NeverLost, "a request of %s to %s that was cut at byte %d of %d was answered as a whole one", p.name, a.Path, len(r.Body), len(a.Body))
		}
	})
}

// serve sends a request to the server, which may die during it; then on is not called.
func (w *world) serve(r Request, on func(Response)) {
	if !w.up {
		return
	}
	got, err := w.host.Serve(r)
	switch {
	case errors.Is(err, ErrDied):
		w.serverDied()
	case errors.Is(err, ErrNoAnswer):
	case err != nil:
		w.broken(err)
	default:
		on(got)
	}
}

// deliver passes a request to the server, and the answer back as a browser would.
func (w *world) deliver(p *phone, a ask, r Request, back func(*answer)) {
	answered, up := false, w.up
	w.meanwhile(&r)
	w.serve(r, func(got Response) {
		answered = true
		given, err := unpacked(got)
		if err != nil {
			w.broken(err)
			return
		}
		if got.Token != "" {
			p.token = got.Token
			// A phone paired with a new code has access again.
			p.revoked = false
		}
		if given.Status != 200 {
			w.trace("%s is refused %s: %d %s", p.name, strings.SplitN(a.Path, "?", 2)[0], given.Status, given.Body)
		}
		w.heard(p, a, r, given)
		if got.Meanwhile != nil {
			w.checkMeanwhile(a, *got.Meanwhile)
		}
		back(given)
	})
	if !answered {
		if up {
			w.unheard(a)
			if _, several := w.host.(Servers); several {
				w.hanging = append(w.hanging, a)
			}
		}
		back(nil)
	}
}

// meanwhile lets some batches be written while the owner's phone reads the journal's end.
func (w *world) meanwhile(r *Request) {
	if w.quiet || !w.stands() || r.Path != "/api/push" || !w.chance(10) {
		return
	}
	w.count(ReadMeanwhile)
	epoch, head := w.host.Where()
	r.Meanwhile = &Request{Method: "GET", Token: w.phones[0].token,
		Path: "/api/pull?limit=100&epoch=" + epoch + "&after=" + strconv.FormatInt(max(head-5, 0), 10)}
}

func unpacked(got Response) (*answer, error) {
	a := &answer{Status: got.Status, Type: got.Headers["content-type"], Body: got.Body}
	if got.Headers["content-encoding"] != "gzip" {
		return a, nil
	}
	body, err := gunzip(got.Body)
	a.Body = body
	return a, err
}

func gunzip(raw []byte) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// bodyOf is a request's body, unpacked.
func bodyOf(a ask) ([]byte, error) {
	if a.Headers["content-encoding"] == "gzip" {
		return gunzip(a.Body)
	}
	return a.Body, nil
}

// batchOf is the batch of a push.
func (w *world) batchOf(a ask) (schema.Push, bool) {
	var push schema.Push
	if a.Path != "/api/push" {
		return push, false
	}
	raw, err := bodyOf(a)
	if err == nil {
		err = json.Unmarshal(raw, &push)
	}
	if err != nil {
		w.violated(NoError, "a phone sends a batch that cannot be read: %v", err)
		return push, false
	}
	return push, true
}
