package simrun

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/api"
	"bedwalk/server/journal"
	"bedwalk/sync/fold"
	canon "bedwalk/sync/journal"
)

// ghostDevice is under whose name a server without dedupe keeps what it has already.
const ghostDevice = "00000000deadbeef"

// planted is the real store with one fault around it.
type planted struct {
	*journal.Store
	m      *machine
	name   string
	random *rand.Rand
	stored map[string]bool
}

var _ api.Journal = (*planted)(nil)

func (p *planted) chance(percent int) bool { return p.random.IntN(100) < percent }

func (p *planted) Push(ctx context.Context, push schema.Push, from journal.Sender) (schema.PushAnswer, error) {
	switch p.name {
	case "acknowledge before commit":
		if p.chance(6) {
			return p.pushUncommitted(ctx, push, from, func(schema.PushAnswer) bool { return true })
		}
	case "held notes answered before the commit":
		return p.pushUncommitted(ctx, push, from, func(a schema.PushAnswer) bool {
			return slices.ContainsFunc(a.Given, func(g schema.Given) bool { return g.State == "quarantined" })
		})
	case "no dedupe":
		return p.pushTwice(ctx, push, from)
	case "gap accepted":
		return p.pushOverGap(ctx, push, from)
	case "the last of a batch not kept":
		return p.pushShort(ctx, push, from)
	case "epoch ignored":
		push.Epoch = ""
	case "clock error added where it is subtracted":
		push.SentWall = max(2*p.NowMS()-push.SentWall, 0)
	case "phone clock taken at its word":
		push.SentWall, push.Session = p.NowMS(), "another"
	case "notes of a revoked phone merged":
		from.Revoked = false
	case "a person not compared":
		from.People = nil
	case "a role not compared":
		from.Role = schema.RoleOwner
	}
	before := p.records(p.name == "a late striking out dropped" || p.name == "records of the last batch not kept")
	sums := p.recordSums(p.name == "sum not moved for a late note")
	answer, err := p.Store.Push(ctx, push, from)
	if err != nil {
		return answer, err
	}
	switch p.name {
	case "answer has another stamp than the journal":
		for i := range answer.Given {
			answer.Given[i].Stamp.At += 3_600_000
			answer.Given[i].Stamp.From += 3_600_000
			answer.Given[i].Stamp.To += 3_600_000
		}
	case "a late striking out dropped":
		return answer, p.dropLate(push, answer, before)
	case "sum not moved for a late note":
		return answer, p.eachLate(push, answer, func(schema.Entry) error { return p.putSumsBack(sums) })
	case "records of the last batch not kept":
		if p.chance(10) {
			return answer, p.putBack(before, func(string) bool { return true })
		}
	case "poison merged":
		return p.mergeHeld(ctx, answer)
	}
	return answer, nil
}

// pushUncommitted answers as if all were on the disk; then the server dies before it is.
func (p *planted) pushUncommitted(ctx context.Context, push schema.Push, from journal.Sender, at func(schema.PushAnswer) bool) (schema.PushAnswer, error) {
	before, err := p.m.Backup()
	if err != nil {
		return schema.PushAnswer{}, err
	}
	answer, err := p.Store.Push(ctx, push, from)
	if err == nil && at(answer) {
		p.m.afterwards = func() error { return errors.Join(p.m.Stop(), p.m.Restore(before, true), p.m.Start()) }
	}
	return answer, err
}

// pushTwice keeps again what it has already, under a number of its own making.
func (p *planted) pushTwice(ctx context.Context, push schema.Push, from journal.Sender) (schema.PushAnswer, error) {
	answer, err := p.Store.Push(ctx, push, from)
	if err != nil || from.Revoked {
		return answer, err
	}
	for i, raw := range push.Entries {
		entry, err := canon.Parse(raw)
		if err != nil || answer.Given[i].State != "merged" {
			continue
		}
		if !p.stored[entry.ID] {
			p.stored[entry.ID] = true
			continue
		}
		inc, err := p.Incarnation(ctx, ghostDevice)
		if err != nil {
			return answer, err
		}
		entry.ID, entry.Device, entry.Incarnation, entry.Seq = entry.ID[16:]+entry.ID[:16], ghostDevice, inc, 1
		ghost, err := canon.Encode(entry)
		if err != nil {
			return answer, err
		}
		if _, err := p.Store.Push(ctx, schema.Push{V: 1, Device: ghostDevice, Incarnation: inc, From: 1, Session: "ghost", SentWall: entry.Wall,
			Entries: []json.RawMessage{ghost}}, journal.Sender{Device: ghostDevice}); err != nil {
			return answer, err
		}
	}
	return answer, nil
}

// pushOverGap believes a batch that begins after the numbers that the server has.
func (p *planted) pushOverGap(ctx context.Context, push schema.Push, from journal.Sender) (schema.PushAnswer, error) {
	answer, err := p.Store.Push(ctx, push, from)
	var refused *schema.Problem
	if !errors.As(err, &refused) || refused.Code != journal.CodeGap {
		return answer, err
	}
	if err := p.tamper("update writers set high = ?, chain = unhex(?) where device = ? and inc = ?", push.From-1, push.Chain, push.Device, push.Incarnation); err != nil {
		return answer, err
	}
	return p.Store.Push(ctx, push, from)
}

// pushShort keeps all of a batch but its last entry, and acknowledges that too.
func (p *planted) pushShort(ctx context.Context, push schema.Push, from journal.Sender) (schema.PushAnswer, error) {
	n := len(push.Entries)
	if n < 3 {
		return p.Store.Push(ctx, push, from)
	}
	last := push.Entries[n-1]
	push.Entries = push.Entries[:n-1]
	answer, err := p.Store.Push(ctx, push, from)
	entry, bad := canon.Parse(last)
	if err != nil || bad != nil {
		return answer, err
	}
	answer.High++
	answer.Given = append(answer.Given, schema.Given{ID: entry.ID, State: "merged", Position: answer.Head + 1, Stamp: answer.Given[n-2].Stamp})
	return answer, nil
}

// tamper changes the file as another program would, so that the store forgets what it remembers of it.
func (p *planted) tamper(query string, args ...any) error {
	other, err := sql.Open("sqlite", p.m.data("bedwalk.db"))
	if err != nil {
		return err
	}
	_, err = other.Exec(query, args...)
	return errors.Join(err, other.Close())
}

// records are all records as they lie in the file.
func (p *planted) records(wanted bool) map[string][]byte {
	return readAll[string](p, wanted, "select key, json from records")
}

// putBack puts some records back as they were.
func (p *planted) putBack(before map[string][]byte, which func(key string) bool) error {
	now := p.records(true)
	for key, text := range before {
		if which(key) && string(now[key]) != string(text) {
			if err := p.tamper("update records set json = ? where key = ?", text, key); err != nil {
				return err
			}
		}
	}
	return nil
}

// lateBy is how many places later than what it strikes out a striking out has to come to be dropped.
const lateBy = 200

func (p *planted) dropLate(push schema.Push, answer schema.PushAnswer, before map[string][]byte) error {
	return p.eachLate(push, answer, func(entry schema.Entry) error {
		return p.putBack(before, func(key string) bool { return slices.Contains(fold.Keys(entry), key) })
	})
}

// eachLate visits the strikings out of a push that came late.
func (p *planted) eachLate(push schema.Push, answer schema.PushAnswer, visit func(schema.Entry) error) error {
	for i, raw := range push.Entries {
		entry, err := canon.Parse(raw)
		var body schema.Void
		if err != nil || entry.Kind != "void" || json.Unmarshal(entry.Body, &body) != nil || answer.Given[i].State != "merged" {
			continue
		}
		named, err := p.placeOf(body.Names)
		if err != nil {
			return err
		}
		if named == 0 || answer.Given[i].Position-named <= lateBy {
			continue
		}
		if err := visit(entry); err != nil {
			return err
		}
	}
	return nil
}

// recordSums are the kept sums of the lots' records, by the number of the lot.
func (p *planted) recordSums(wanted bool) map[int64][]byte {
	return readAll[int64](p, wanted, "select lot, sum from record_sums")
}

// readAll reads a query of a key and a value from the file itself; nothing where it is not wanted or not to be had.
func readAll[K comparable](p *planted, wanted bool, query string) map[K][]byte {
	all := map[K][]byte{}
	if !wanted {
		return all
	}
	other, err := sql.Open("sqlite", p.m.data("bedwalk.db"))
	if err != nil {
		return all
	}
	defer other.Close()
	rows, err := other.Query(query)
	if err != nil {
		return all
	}
	defer rows.Close()
	for rows.Next() {
		var key K
		var value []byte
		if rows.Scan(&key, &value) == nil {
			all[key] = value
		}
	}
	return all
}

func (p *planted) putSumsBack(before map[int64][]byte) error {
	for lot, sum := range before {
		if err := p.tamper("update record_sums set sum = ? where lot = ?", sum, lot); err != nil {
			return err
		}
	}
	return nil
}

func (p *planted) placeOf(id string) (position int64, err error) {
	err = p.m.db.Read(context.Background(), func(tx *sql.Tx) error {
		err := tx.QueryRow("select position from entries where id = unhex(?)", id).Scan(&position)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		return err
	})
	return position, err
}

// mergeHeld decides by itself what a supervisor has to.
func (p *planted) mergeHeld(ctx context.Context, answer schema.PushAnswer) (schema.PushAnswer, error) {
	for _, given := range answer.Given {
		if given.State != "quarantined" {
			continue
		}
		var n int64
		if err := p.m.db.Read(ctx, func(tx *sql.Tx) error {
			return tx.QueryRow("select coalesce(max(n), 0) from quarantine where id = ? and state in ('quarantined', 'review')", given.ID).Scan(&n)
		}); err != nil {
			return answer, err
		}
		// What cannot be merged at all stays where it is.
		_ = p.Decide(ctx, n, true, strings.Repeat("0", 32))
	}
	return answer, nil
}
