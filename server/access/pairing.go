package access

import (
	"cmp"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"bedwalk/schema"
)

// PairingLife is how long a code is valid.
const PairingLife = 10 * time.Minute

// Errors of redeeming a code.
var (
	ErrMistyped = schema.NewProblem(http.StatusBadRequest, "code_mistyped", "One character of the code is wrong.",
		"Compare it with the supervisor's screen and enter it again.")
	ErrNoCode = schema.NewProblem(http.StatusNotFound, "code_unknown", "There is no such code.",
		"Ask the supervisor for a new one.")
	ErrUsed = schema.NewProblem(http.StatusGone, "code_used", "This code was already used; each code pairs one device.",
		"Ask the supervisor for a new one.")
	ErrOld = schema.NewProblem(http.StatusGone, "code_old", "This code is older than 10 minutes.",
		"Ask the supervisor for a new one.")
	ErrGuessing = schema.NewProblem(http.StatusTooManyRequests, "too_many_guesses", "Too many wrong codes were entered.",
		"Wait a few minutes, then enter the code carefully.")
)

// Pairing is an invitation for one device of one person. Person is "" for somebody whom the journal does not know yet:
// the server writes them down when the code is used, and then calls Gate.Name.
type Pairing struct {
	Person, Name, Role, MadeBy string
}

// Invite makes a one-time code, valid until until (milliseconds since 1970).
func (g *Gate) Invite(ctx context.Context, p Pairing) (code string, until int64, err error) {
	if !Known(p.Role) {
		return "", 0, ErrRole
	}
	if code, err = drawCode(g.random); err != nil {
		return "", 0, err
	}
	now := g.now()
	until = now.Add(PairingLife).UnixMilli()
	hash := sha256.Sum256([]byte(code))
	return code, until, g.store.Write(ctx, func(tx Tx) error {
		// An expired code is still known for a day, so that it is answered as expired; then it is forgotten.
		if err := tx.Forget(now.Add(-24 * time.Hour).UnixMilli()); err != nil {
			return err
		}
		return tx.Invite(hash, Invitation{Pairing: p, Until: until})
	})
}

// Newcomer returns the invitation of a code that is still valid and whose person the journal does not know yet; ok is false for all others.
func (g *Gate) Newcomer(ctx context.Context, typed string) (p Pairing, ok bool, err error) {
	code, ok := readCode(typed)
	if !ok {
		return p, false, nil
	}
	var i Invitation
	err = g.store.Read(ctx, func(snap Snap) error {
		i, ok, err = snap.Invitation(sha256.Sum256([]byte(code)))
		return err
	})
	if err != nil || !ok || i.Person != "" || i.At > 0 || i.Until < g.now().UnixMilli() {
		return p, false, err
	}
	return i.Pairing, true, nil
}

// Name sets the person of an invitation that has none.
func (g *Gate) Name(ctx context.Context, typed, person string) error {
	code, _ := readCode(typed)
	return g.store.Write(ctx, func(tx Tx) error { return tx.Name(sha256.Sum256([]byte(code)), person) })
}

// Claim is a device's request to be paired. From is where it comes from; wrong codes are counted by it. Secret is made by
// the device itself (64 hexadecimal digits) and sent with each try under one code, "" where it has none. Earlier is the
// token that the browser still has from an earlier pairing, "" where it has none.
type Claim struct{ Code, Name, From, Secret, Earlier string }

// Redeem trades a code for a device and its token, once. A device whose answer was lost on the way asks again with the
// same secret, within the code's life, and gets the same device and token; nobody else does. The token is made from the
// secret and from random bytes kept here, so that neither the database nor the secret alone reveals it.
func (g *Gate) Redeem(ctx context.Context, ask Claim) (d Device, token string, err error) {
	now := g.now()
	if !g.guess.begin(ask.From, now) {
		return d, "", ErrGuessing
	}
	defer func() { g.guess.end(ask.From, now, err != nil) }()
	code, ok := readCode(ask.Code)
	if !ok {
		return d, "", ErrMistyped
	}
	var fresh Device
	if fresh.ID, err = g.hexID(8); err != nil {
		return d, "", err
	}
	fresh.PairedAt, fresh.SeenAt = now.UnixMilli(), now.UnixMilli()
	drawn := make([]byte, sha256.Size)
	if _, err := io.ReadFull(g.random, drawn); err != nil {
		return d, "", fmt.Errorf("draw a token: %w", err)
	}
	err = g.store.Write(ctx, func(tx Tx) error {
		hash := sha256.Sum256([]byte(code))
		row, found, err := tx.Invitation(hash)
		switch {
		case err != nil:
			return err
		case !found:
			return ErrNoCode
		case now.UnixMilli() > row.Until && row.At > 0:
			return ErrUsed
		case now.UnixMilli() > row.Until:
			return ErrOld
		case row.At > 0:
			d, token, err = row.again(tx, ask.Secret)
			return err
		}
		d = fresh
		d.Person, d.Name, d.Role = row.Person, cmp.Or(ask.Name, row.Name), row.Role
		token = tokenOf(ask.Secret, drawn)
		use := Use{At: now.UnixMilli(), Device: d.ID}
		if ask.Secret != "" {
			use.Claim, use.Chance = claimOf(ask.Secret), drawn
		}
		if err := tx.Spend(hash, use); err != nil {
			return err
		}
		held, _ := tokenHash(token) // always a token: tokenOf has just made it
		if err := pair(tx, d, held); err != nil {
			return err
		}
		return inherit(tx, d.ID, ask.Earlier)
	})
	if err != nil {
		return Device{}, "", err
	}
	return d, token, nil
}

// again returns the device of a used code and its token once more.
func (i Invitation) again(snap Snap, secret string) (d Device, token string, err error) {
	if secret == "" || len(i.Claim) == 0 || subtle.ConstantTimeCompare(i.Claim, claimOf(secret)) != 1 {
		return d, "", ErrUsed
	}
	d, found, err := snap.Device(i.Use.Device)
	if err != nil {
		return Device{}, "", err
	}
	if !found || d.RevokedAt > 0 {
		return Device{}, "", ErrUsed
	}
	return d, tokenOf(secret, i.Chance), nil
}

// tokenOf returns 256 bits computed from the random bytes and, where the device made one, its secret.
func tokenOf(secret string, chance []byte) string {
	if secret == "" {
		return base64.RawURLEncoding.EncodeToString(chance)
	}
	mac := hmac.New(sha256.New, chance)
	mac.Write([]byte("token " + secret))
	return base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

func claimOf(secret string) []byte {
	hash := sha256.Sum256([]byte("claim " + secret))
	return hash[:]
}

// guesses counts wrong codes: by where they come from, and all together against guessing from many places. Ten wrong
// codes from one place, then one each minute; a hundred in all, then one each second. At that pace nobody guesses a code
// of 29^8 in its ten minutes.
type guesses struct {
	mu *sync.Mutex
	// ended is told whenever a code was looked at.
	ended *sync.Cond
	all   *tries
	place map[string]*tries
}

// tries are codes that may be wrong still, less those of which it is being found out: a hundred that come at once are counted before they are looked at.
type tries struct {
	*rate.Limiter
	open int
}

func (t *tries) left(now time.Time) bool { return t.TokensAt(now)-float64(t.open) >= 1 }

// usedUp is true where there were too many wrong ones, however those turn out that are open.
func (t *tries) usedUp(now time.Time) bool { return t.TokensAt(now) < 1 }

const (
	guessesAtOnce = 10
	guessesInAll  = 100
	placesKept    = 10000
)

func newGuesses() guesses {
	mu := new(sync.Mutex)
	return guesses{mu: mu, ended: sync.NewCond(mu), all: &tries{Limiter: rate.NewLimiter(rate.Every(time.Second), guessesInAll)}, place: map[string]*tries{}}
}

func (g guesses) allowed(from string, now time.Time) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.isLeft(from, now)
}

// isLeft says whether a code may be looked at; mu is held. Where that hangs on codes that are being looked at it waits for them: more right ones than may be
// wrong come at once when a crew is paired. Each ends with its transaction.
func (g guesses) isLeft(from string, now time.Time) bool {
	for {
		place := g.of(from)
		switch {
		case g.all.usedUp(now) || place.usedUp(now):
			return false
		case g.all.left(now) && place.left(now):
			return true
		}
		g.ended.Wait()
	}
}

// begin is allowed, and counts the code until end says whether it was wrong.
func (g guesses) begin(from string, now time.Time) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	if !g.isLeft(from, now) {
		return false
	}
	g.all.open++
	g.of(from).open++
	return true
}

// end counts a wrong code before it lets go of the one that begin counted: in between both are.
func (g guesses) end(from string, now time.Time, isWrong bool) {
	if isWrong {
		g.wrong(from, now)
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	for _, one := range []*tries{g.all, g.of(from)} {
		one.open = max(one.open-1, 0)
	}
	g.ended.Broadcast()
}

// wrong counts a guess, and is false where there were too many before it.
func (g guesses) wrong(from string, now time.Time) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	all, place := g.all.AllowN(now, 1), g.of(from).AllowN(now, 1)
	return all && place
}

// of is what a place has; the places are forgotten when there are too many, with what is open of them.
func (g guesses) of(from string) *tries {
	l, ok := g.place[from]
	if !ok {
		if len(g.place) >= placesKept {
			clear(g.place)
		}
		l = &tries{Limiter: rate.NewLimiter(rate.Every(time.Minute), guessesAtOnce)}
		g.place[from] = l
	}
	return l
}
