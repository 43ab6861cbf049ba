package access

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// PairingLife is how long a code is good.
const PairingLife = 10 * time.Minute

// Errors of redeeming a code.
var (
	ErrMistyped = errors.New("the code has a character that is wrong; compare it with the supervisor's screen and enter it again")
	ErrNoCode   = errors.New("nobody has given out this code; ask the supervisor for a new one")
	ErrUsed     = errors.New("this code was used already, and each is good for one device; ask the supervisor for a new one")
	ErrOld      = errors.New("this code is older than 10 minutes; ask the supervisor for a new one")
	ErrGuessing = errors.New("too many wrong codes were entered; wait some minutes, then enter the code with care")
)

// Pairing is an invitation for one device of one person.
type Pairing struct {
	Person, Name, Role, MadeBy string
}

// Invite makes a one-time code, good until until (milliseconds since 1970).
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
	return code, until, g.db.Write(ctx, func(tx *sql.Tx) error {
		// What is long over is told apart from "never given out" for a day, then forgotten.
		if _, err := tx.Exec("delete from pairings where until < ?", now.Add(-24*time.Hour).UnixMilli()); err != nil {
			return err
		}
		_, err := tx.Exec("insert into pairings (code, person, name, role, made_by, until) values (?, ?, ?, ?, ?, ?)",
			hash[:], p.Person, p.Name, p.Role, p.MadeBy, until)
		return err
	})
}

// Redeem trades a code for a device and its token, once. From is where the request comes from; wrong codes are
// counted by it.
func (g *Gate) Redeem(ctx context.Context, typed, deviceName, from string) (d Device, token string, err error) {
	now := g.now()
	if !g.guess.allowed(from, now) {
		return d, "", ErrGuessing
	}
	code, ok := readCode(typed)
	if !ok {
		g.guess.wrong(from, now)
		return d, "", ErrMistyped
	}
	if d.ID, err = g.hexID(8); err != nil {
		return d, "", err
	}
	token, secret, err := g.drawToken()
	if err != nil {
		return d, "", err
	}
	d.PairedAt, d.SeenAt = now.UnixMilli(), now.UnixMilli()
	hash := sha256.Sum256([]byte(code))
	err = g.db.Write(ctx, func(tx *sql.Tx) error {
		var until, used int64
		row := tx.QueryRow("select person, name, role, until, used_at from pairings where code = ?", hash[:])
		if err := row.Scan(&d.Person, &d.Name, &d.Role, &until, &used); errors.Is(err, sql.ErrNoRows) {
			return ErrNoCode
		} else if err != nil {
			return err
		}
		if used > 0 {
			return ErrUsed
		}
		if now.UnixMilli() > until {
			return ErrOld
		}
		if deviceName != "" {
			d.Name = deviceName
		}
		if _, err := tx.Exec("update pairings set used_at = ? where code = ?", now.UnixMilli(), hash[:]); err != nil {
			return err
		}
		return insert(tx, d, secret)
	})
	if err != nil {
		g.guess.wrong(from, now)
		return Device{}, "", err
	}
	return d, token, nil
}

// guesses counts wrong codes: by where they come from, and all together for those who come from everywhere. Ten wrong
// codes from one place, then one each minute; a hundred in all, then one each second. At that pace a code of 31^8
// lives out its ten minutes unguessed.
type guesses struct {
	mu    *sync.Mutex
	all   *rate.Limiter
	place map[string]*rate.Limiter
}

const (
	guessesAtOnce = 10
	guessesInAll  = 100
	placesKept    = 10000
)

func newGuesses() guesses {
	return guesses{mu: new(sync.Mutex), all: rate.NewLimiter(rate.Every(time.Second), guessesInAll), place: map[string]*rate.Limiter{}}
}

func (g guesses) allowed(from string, now time.Time) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.all.TokensAt(now) >= 1 && g.of(from).TokensAt(now) >= 1
}

func (g guesses) wrong(from string, now time.Time) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.all.AllowN(now, 1)
	g.of(from).AllowN(now, 1)
}

func (g guesses) of(from string) *rate.Limiter {
	l, ok := g.place[from]
	if !ok {
		if len(g.place) >= placesKept {
			clear(g.place)
		}
		l = rate.NewLimiter(rate.Every(time.Minute), guessesAtOnce)
		g.place[from] = l
	}
	return l
}
