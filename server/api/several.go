package api

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"net/http"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/group"
)

// Nursery is one of several at one address, with an api of its own.
type Nursery struct {
	Name string
	// Handler is what New made for it, nil where it could not be opened.
	Handler http.Handler
	Gate    *access.Gate
	// Present is nil while the nursery is where it was opened, Ready while it takes notes. Knows says whether an epoch is one of its own.
	Present func() error
	Ready   func(ctx context.Context) error
	Knows   func(ctx context.Context, epoch string) (bool, error)
}

// Several are nurseries at one address. A request says by its token, its pairing code or its reading key which of them it is for, and gets there as if that one were
// alone: what it may do there is decided there.
type Several struct {
	// Nurseries are by the numbers that Open gives; Front is which of them answers what is of no nursery, in this order.
	Nurseries map[int32]Nursery
	Front     []int32
	// Open gives the numbers of the nurseries that a hash opens.
	Open func(ctx context.Context, hash [32]byte) ([]int32, error)
	// Origins are Options.Origins.
	Origins []string
}

// Errors of a request that is for no nursery, or for more than one.
var (
	ErrNotServed = schema.NewProblem(http.StatusServiceUnavailable, "nursery_away", "This nursery is not served at the moment, though others at this address are.",
		"The phone keeps its notes and sends again by itself. The server's terminal and log name each nursery that could not be opened; it is tried again by itself. One that was begun since needs a start of the server.")
	ErrTwoNurseries = schema.NewProblem(http.StatusServiceUnavailable, "two_nurseries", "This phone is known to two nurseries here, one of which is a copy of the other, so that nobody can say which it means.",
		"At the server, serve the right one alone, with --site and its name. The phone keeps its notes meanwhile.")
	ErrOtherNursery = schema.NewProblem(http.StatusConflict, "other_nursery", "This code is of another nursery than the one that this phone belongs to.",
		"Ask that one for a code, or use another phone for it, or another browser or profile on this one. To change nurseries, see that all notes were sent, then delete this site's data in the browser.")
)

// SeveralHandler answers for several nurseries, to which more may come.
type SeveralHandler struct {
	open func(ctx context.Context, hash [32]byte) ([]int32, error)
	from func(*http.Request) string
	// now are those that there are; a request goes by one of these from its beginning to its end.
	now atomic.Pointer[table]

	mu sync.Mutex
	// opened are tokens and keys with the one nursery that each opens: a token opens no other later.
	opened map[[32]byte]int32
}

// mostOpened bounds what is remembered.
const mostOpened = 20000

// table are nurseries as Several has them.
type table struct {
	nurseries map[int32]Nursery
	front     []int32
}

// Handler answers for all of them.
func (o Several) Handler() *SeveralHandler {
	s := &SeveralHandler{open: o.Open, from: addressOf(o.Origins), opened: map[[32]byte]int32{}}
	s.now.Store(&table{o.Nurseries, o.Front})
	return s
}

// Add adds a nursery that has a handler, or puts it where one of its number had none. It is not for several goroutines.
func (s *SeveralHandler) Add(n int32, one Nursery) {
	now := s.now.Load()
	more := &table{maps.Clone(now.nurseries), append(slices.Clone(now.front), n)}
	more.nurseries[n] = one
	s.now.Store(more)
}

// ServeHTTP is http.Handler's.
func (s *SeveralHandler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	to, err := s.pick(r, s.now.Load())
	if err != nil {
		// The one in front says so, with its headers and in its log.
		r = r.WithContext(context.WithValue(r.Context(), refusal{}, err))
	}
	to.ServeHTTP(w, r)
}

// refusal is the key in a request's context of an error that answers it.
type refusal struct{}

func refused(ctx context.Context) error {
	err, _ := ctx.Value(refusal{}).(error)
	return err
}

// pick gives the nursery that a request is for, the one in front where it is for none. With an error it is the one in front too.
func (s *SeveralHandler) pick(r *http.Request, t *table) (http.Handler, error) {
	front := t.first()
	isReady := r.URL.Path == "/readyz"
	if !isReady && !strings.HasPrefix(r.URL.Path, "/api/") {
		return front.Handler, nil
	}
	var mine []int32
	pairs := r.Method == http.MethodPost && r.URL.Path == "/api/pair"
	hash, shows := credential(r)
	if pairs {
		// What a phone still has to send is of the nursery of its cookie, whatever else the request shows.
		hash, shows = tokenIn(r)
	}
	if shows {
		var err error
		if mine, err = s.behind(r.Context(), hash); err != nil {
			return front.Handler, err
		}
	}
	switch {
	case pairs:
		code, epoch := pairingOf(r)
		theirs, err := s.invited(r, front, code)
		if err != nil || len(theirs) == 0 {
			return front.Handler, err
		}
		if len(mine) > 0 && !slices.ContainsFunc(mine, func(n int32) bool { return slices.Contains(theirs, n) }) {
			return front.Handler, s.guessed(r, front, ErrOtherNursery)
		}
		if len(mine) == 0 && epoch != "" {
			if err := t.holdsOf(r.Context(), epoch, theirs); err != nil {
				return front.Handler, s.guessed(r, front, err)
			}
		}
		mine = theirs
	case isReady && !shows:
		return t.ready(r.Context(), front)
	}
	if len(mine) == 0 {
		return front.Handler, nil
	}
	to, err := t.only(mine)
	if err != nil {
		if pairs {
			// Otherwise a right code would be answered by something that a wrong one is not, and no guess counted.
			err = s.guessed(r, front, err)
		}
		return front.Handler, err
	}
	return to, nil
}

// guessed counts a code that pairs nobody, and gives the error that answers it: why, unless too many came.
func (s *SeveralHandler) guessed(r *http.Request, front Nursery, why error) error {
	if !front.Gate.Guessed(s.from(r)) {
		return access.ErrGuessing
	}
	return why
}

// first is the first nursery that is where it was opened, or the first.
func (t *table) first() Nursery {
	for _, n := range t.front {
		if one := t.nurseries[n]; one.Present() == nil {
			return one
		}
	}
	return t.nurseries[t.front[0]]
}

// invited are the nurseries that the pairing code in a request opens, none where it is for the one in front to say what is wrong with it.
func (s *SeveralHandler) invited(r *http.Request, front Nursery, code string) ([]int32, error) {
	hash, ok := access.CodeDoor(code)
	if !ok || !front.Gate.MayGuess(s.from(r)) {
		return nil, nil
	}
	return s.open(r.Context(), hash)
}

// holdsOf refuses a phone that holds notes of an epoch of another nursery here than those that its code is for: its cookie was lost, and its notes would go
// to the wrong one. An epoch that no nursery here knows says nothing, unless one is away that might. The errors are ErrOtherNursery and ErrNotServed.
func (t *table) holdsOf(ctx context.Context, epoch string, theirs []int32) error {
	ctx, end := context.WithTimeout(ctx, readyWithin)
	defer end()
	for _, n := range theirs {
		if one := t.nurseries[n]; one.Handler == nil {
			continue
		} else if knows, err := one.Knows(ctx, epoch); err != nil || knows {
			return err
		}
	}
	var another, away bool
	for n, one := range t.nurseries {
		if slices.Contains(theirs, n) {
			continue
		}
		if one.Handler == nil {
			away = true
			continue
		}
		knows, err := one.Knows(ctx, epoch)
		another, away = another || knows, away || err != nil
	}
	switch {
	case another:
		return ErrOtherNursery
	case away:
		return ErrNotServed
	}
	return nil
}

// readyWithin is how long all nurseries are waited for together where one question is put to each: seconds, not minutes.
const readyWithin = 5 * time.Second

// ready is a nursery that takes notes: while one does, the server is ready. They are asked side by side, since one may be slow. The error says why none does.
func (t *table) ready(ctx context.Context, front Nursery) (http.Handler, error) {
	ctx, end := context.WithTimeout(ctx, readyWithin)
	defer end()
	type answer struct {
		by  http.Handler
		bad error
	}
	answers := make(chan answer, len(t.front))
	for _, n := range t.front {
		one := t.nurseries[n]
		go func() { answers <- answer{one.Handler, one.Ready(ctx)} }()
	}
	var why error
	for range t.front {
		got := <-answers
		if got.bad == nil {
			return got.by, nil
		}
		why = errors.Join(why, got.bad)
	}
	return front.Handler, why
}

// behind are the nurseries that a token or a key opens.
func (s *SeveralHandler) behind(ctx context.Context, hash [32]byte) ([]int32, error) {
	s.mu.Lock()
	known, ok := s.opened[hash]
	s.mu.Unlock()
	if ok {
		return []int32{known}, nil
	}
	found, err := s.open(ctx, hash)
	if err != nil || len(found) != 1 {
		return found, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.opened) >= mostOpened {
		clear(s.opened)
	}
	s.opened[hash] = found[0]
	return found, nil
}

// only is the one of some nurseries that is served. Where another of them could not be opened it is neither: the notes of a phone would go to a copy of its nursery
// until the next start. One that was begun since the start changes nothing yet. The errors are ErrNotServed and ErrTwoNurseries.
func (t *table) only(some []int32) (one http.Handler, err error) {
	known := 0
	for _, n := range some {
		nursery, ok := t.nurseries[n]
		if !ok {
			continue
		}
		known++
		if nursery.Handler != nil {
			one = nursery.Handler
		}
	}
	switch {
	case one == nil:
		return nil, ErrNotServed
	case known > 1:
		return nil, ErrTwoNurseries
	}
	return one, nil
}

// credential is the hash of what a request shows, in the order in which its nursery will look: a reading key in the address, the cookie, a reading key in a header.
func credential(r *http.Request) ([32]byte, bool) {
	if key := r.URL.Query().Get("key"); access.IsKey(key) {
		return access.KeyDoor(key)
	}
	if _, err := r.Cookie(cookieName); err == nil {
		return tokenIn(r)
	}
	return access.KeyDoor(keyInHeader(r))
}

// tokenIn is the hash of the token in a request's cookie.
func tokenIn(r *http.Request) (hash [32]byte, ok bool) {
	cookie, err := r.Cookie(cookieName)
	if err != nil {
		return hash, false
	}
	return access.TokenDoor(cookie.Value)
}

// group shows the nurseries of the link that the header has the secret part of. Whoever shows it need not be paired anywhere.
func (s *server) group(c echo.Context) error {
	if s.Group == nil {
		return group.ErrAlone
	}
	view, err := s.Group(c.Request().Context(), keyInHeader(c.Request()))
	return show(c, view, err)
}

// mostCode is how many bytes of a request to pair are read for its code; one has some hundred.
const mostCode = 64 << 10

// pairingOf reads the pairing code in a request's body, and the epoch of the notes that the phone holds, each "" where there is none, and leaves the body to be
// read again. Where the body fails, it does so again.
func pairingOf(r *http.Request) (code, epoch string) {
	begins, err := io.ReadAll(io.LimitReader(r.Body, mostCode))
	r.Body = struct {
		io.Reader
		io.Closer
	}{io.MultiReader(bytes.NewReader(begins), r.Body), r.Body}
	if r.Header.Get("Content-Encoding") == "gzip" && err == nil {
		unzip, bad := gzip.NewReader(bytes.NewReader(begins))
		if bad != nil {
			return "", ""
		}
		begins, err = io.ReadAll(io.LimitReader(unzip, mostCode))
	}
	var ask schema.PairAsk
	if err != nil || json.Unmarshal(begins, &ask) != nil {
		return "", ""
	}
	return ask.Code, ask.Epoch
}
