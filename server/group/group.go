// Package group shows several nurseries of one database side by side to whoever has a link of them. A link is 256 random bits in the address, of which
// each nursery keeps the SHA-256 in a row of its own; so each says by itself whether the link is still good there, and what it shows is read in each by itself and put
// together here. The central type is Group.
package group

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"bedwalk/schema"
)

// Link is a nursery's row of a link. Times are milliseconds since 1970, 0 for never; UsedAt is precise to an hour.
type Link struct {
	ID, For                   string
	MadeAt, UsedAt, RevokedAt int64
}

// Links are a nursery's rows.
type Links interface {
	// Link is the row of a hash, All are all rows, the newest first.
	Link(ctx context.Context, hash [32]byte) (one Link, found bool, err error)
	All(ctx context.Context) ([]Link, error)
	Put(ctx context.Context, one Link, hash [32]byte) error
	// Use is when somebody last came by a link, and Revoke ends one.
	Use(ctx context.Context, id string, at int64) error
	Revoke(ctx context.Context, id string, at int64) error
}

// Errors of a link.
var (
	ErrUnknown = schema.NewProblem(http.StatusUnauthorized, "link_unknown", "This link opens nothing here.",
		"Compare it with the one that you were given, to its last character, or ask for a new one.")
	ErrRevoked = schema.NewProblem(http.StatusForbidden, "link_revoked", "This link was revoked.", "Ask for a new one.")
	ErrAway    = schema.NewProblem(http.StatusServiceUnavailable, "group_away", "None of the nurseries of this link answers at the moment.", "Try again in a few minutes.")
	ErrAlone   = schema.NewProblem(http.StatusUnauthorized, "link_unknown", "This server shows one nursery, and no nurseries side by side.",
		"Use the address of the server that the link was made for.")
)

// begins is what the secret part of a link begins with, so that nobody takes it for something else.
const begins = "bedwalk_group_"

// Draw makes the secret part of a link, and its hash.
func Draw() (secret string, hash [32]byte, id string) {
	raw := make([]byte, 32+8)
	// It never fails.
	_, _ = rand.Read(raw)
	secret = begins + base64.RawURLEncoding.EncodeToString(raw[:32])
	hash, _ = hashOf(secret)
	return secret, hash, hex.EncodeToString(raw[32:])
}

func hashOf(secret string) ([32]byte, bool) {
	rest, ok := strings.CutPrefix(secret, begins)
	raw, err := base64.RawURLEncoding.Strict().DecodeString(rest)
	return sha256.Sum256([]byte(secret)), ok && err == nil && len(raw) == 32
}

// Nursery is one that may be shown.
type Nursery struct {
	// Site is what it is called in the database.
	Site string
	// Links and Brief are nil of one that could not be opened.
	Links Links
	Brief func(ctx context.Context) (schema.NurseryBrief, error)

	// reading has a place for the one who reads it: whoever opens many pages keeps no supervisor waiting.
	reading chan struct{}
}

// Group are all nurseries that a server knows. Open gives the numbers of those that a hash opens, and Within is how long one is waited for.
type Group struct {
	Open   func(ctx context.Context, hash [32]byte) ([]int32, error)
	Now    func() time.Time
	Within time.Duration
	Log    *slog.Logger

	mu        sync.Mutex
	nurseries map[int32]*Nursery
}

// Add adds a nursery by its number, or puts it in place of the one that had it.
func (g *Group) Add(n int32, one Nursery) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.nurseries == nil {
		g.nurseries = map[int32]*Nursery{}
	}
	one.reading = make(chan struct{}, 1)
	g.nurseries[n] = &one
}

func (g *Group) known(n int32) *Nursery {
	g.mu.Lock()
	defer g.mu.Unlock()
	if one := g.nurseries[n]; one != nil {
		return one
	}
	// It was begun after the server was started, which knows no name of it.
	return &Nursery{Site: fmt.Sprintf("#%d", n)}
}

// View is what a link shows. A nursery that does not answer is named, and the others are shown. The errors are ErrUnknown, ErrRevoked and ErrAway.
func (g *Group) View(ctx context.Context, secret string) (view schema.GroupView, err error) {
	hash, ok := hashOf(secret)
	if !ok {
		return view, ErrUnknown
	}
	found, err := g.Open(ctx, hash)
	if err != nil {
		return view, err
	}
	answers := make([]answer, len(found))
	var all sync.WaitGroup
	for i, n := range found {
		one := g.known(n)
		all.Go(func() { answers[i] = g.ask(ctx, one, hash) })
	}
	all.Wait()
	if err := ctx.Err(); err != nil {
		return view, err
	}
	view.MadeAt, view.Nurseries = g.Now().UnixMilli(), []schema.GroupNursery{}
	isGood, isRevoked := false, false
	for _, one := range answers {
		if one.link.ID != "" {
			view.For, isGood = one.link.For, true
		}
		isRevoked = isRevoked || errors.Is(one.why, ErrRevoked)
		if one.why == nil {
			view.Nurseries = append(view.Nurseries, one.shown)
		}
	}
	slices.SortFunc(view.Nurseries, func(a, b schema.GroupNursery) int { return strings.Compare(a.Site, b.Site) })
	// Where no nursery says that the link is good, none is named.
	switch {
	case isGood:
		return view, nil
	case isRevoked:
		return schema.GroupView{}, ErrRevoked
	case len(view.Nurseries) > 0:
		return schema.GroupView{}, ErrAway
	}
	return schema.GroupView{}, ErrUnknown
}

// answer is what came of a nursery: the link's row there, and what is shown, or why nothing is.
type answer struct {
	link  Link
	shown schema.GroupNursery
	why   error
}

func (g *Group) ask(ctx context.Context, n *Nursery, hash [32]byte) (a answer) {
	a.shown.Site = n.Site
	if n.Links == nil {
		a.shown.Away = "not_served"
		return a
	}
	waited, end := context.WithTimeout(ctx, g.Within)
	defer end()
	err := g.fill(waited, n, hash, &a)
	switch {
	case err == nil:
	case errors.Is(err, ErrUnknown), errors.Is(err, ErrRevoked):
		a.why = err
	case errors.Is(err, context.DeadlineExceeded):
		a.shown.Brief, a.shown.Away = nil, "slow"
	default:
		a.shown.Brief, a.shown.Away = nil, "failed"
	}
	if a.shown.Away != "" && ctx.Err() == nil {
		g.Log.Warn("a nursery could not be shown beside others", "nursery", n.Site, "error", err)
	}
	return a
}

// usedEvery is how precisely it is kept when somebody last came by a link.
const usedEvery = time.Hour

func (g *Group) fill(ctx context.Context, n *Nursery, hash [32]byte, a *answer) error {
	select {
	case n.reading <- struct{}{}:
		defer func() { <-n.reading }()
	case <-ctx.Done():
		return ctx.Err()
	}
	link, found, err := n.Links.Link(ctx, hash)
	switch {
	case err != nil:
		return err
	case !found:
		return ErrUnknown
	case link.RevokedAt > 0:
		return ErrRevoked
	}
	a.link = link
	if now := g.Now(); now.Sub(time.UnixMilli(link.UsedAt)) >= usedEvery {
		if err := n.Links.Use(ctx, link.ID, now.UnixMilli()); err != nil {
			g.Log.Warn("when a link was last used could not be kept", "nursery", n.Site, "error", err)
		}
	}
	brief, err := n.Brief(ctx)
	if err != nil {
		return fmt.Errorf("read the nursery: %w", err)
	}
	a.shown.Brief = &brief
	return nil
}
