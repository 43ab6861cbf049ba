package simrun

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"bedwalk/schema"
	canon "bedwalk/sync/journal"
	"bedwalk/sync/sim"
)

func (p *planted) Pull(ctx context.Context, device, epoch string, after int64, limit int, proof string) (schema.Pull, error) {
	if p.name == "epoch ignored" {
		epoch, after = p.Epoch(), min(after, p.Head())
	}
	page, err := p.Store.Pull(ctx, device, epoch, after, limit, proof)
	if err != nil {
		return page, err
	}
	switch p.name {
	case "page skips an entry where a batch spans its edge":
		if p.spans(ctx, page, after) && len(page.Items) > 1 {
			page.Items = page.Items[1:]
			page.Receipts = page.Receipts[min(schema.ReceiptChars, len(page.Receipts)):]
		}
	case "page ends short of the head":
		if n := len(page.Items); n > 0 && !page.More {
			page.Items, page.Head = page.Items[:n-1], page.Head-1
			page.Receipts = page.Receipts[:len(page.Receipts)-min(schema.ReceiptChars, len(page.Receipts))]
		}
	}
	return page, nil
}

// spans is true where the entry before a page and its first one are of one writer, in a row.
func (p *planted) spans(ctx context.Context, page schema.Pull, after int64) bool {
	if after < 1 || len(page.Items) == 0 {
		return false
	}
	before, err := p.Store.Pull(ctx, "", page.Epoch, after-1, 1, "")
	if err != nil || len(before.Items) == 0 {
		return false
	}
	a, err1 := canon.Parse(before.Items[0].Entry)
	b, err2 := canon.Parse(page.Items[0].Entry)
	return err1 == nil && err2 == nil && a.Device == b.Device && a.Incarnation == b.Incarnation && a.Seq+1 == b.Seq
}

func (p *planted) Compare(ctx context.Context, d schema.Digest) (schema.DigestAnswer, error) {
	if p.name == "epoch ignored" {
		d.Epoch, d.Position = p.Epoch(), min(d.Position, p.Head())
	}
	if p.name == "records compared with an older app" {
		d.Fold = schema.FoldVersion
	}
	answer, err := p.Store.Compare(ctx, d)
	if err != nil {
		return answer, err
	}
	if p.name == "a late digest taken for the newest" {
		return answer, p.tamper("update reports set equal = 'equal', equal_to = ?, pending = ? where device = ?", d.Position, d.Pending, d.Device)
	}
	switch p.name {
	case "every digest told equal":
		answer.Equal, answer.Differ = true, nil
	case "a whole lot lacking told equal":
		told := func(lot string) bool {
			return slices.ContainsFunc(d.Lots, func(l schema.LotDigest) bool { return l.Lot == lot })
		}
		lacking := len(answer.Differ) > 0
		answer.Differ = slices.DeleteFunc(answer.Differ, func(lot string) bool { return !told(lot) })
		answer.Equal = answer.Equal || lacking && len(answer.Differ) == 0
	}
	return answer, nil
}

// HandBack merges what a phone gives back whatever it shows with it, and does not say so.
func (p *planted) HandBack(ctx context.Context, by string, h schema.HandBack) (schema.HandedBack, error) {
	answer, err := p.Store.HandBack(ctx, by, h)
	if err != nil || answer.Quarantined == 0 || p.name != "a receipt not checked" {
		return answer, err
	}
	var held []schema.Given
	for _, raw := range h.Entries {
		if entry, err := canon.Parse(raw); err == nil {
			held = append(held, schema.Given{ID: entry.ID, State: "quarantined"})
		}
	}
	_, err = p.mergeHeld(ctx, schema.PushAnswer{Given: held})
	return answer, err
}

func (p *planted) DecideShown(ctx context.Context, id string, merge bool, person string) error {
	if p.name == "left out is merged" {
		merge = true
	}
	if err := p.Store.DecideShown(ctx, id, merge, person); err != nil || p.name != "held note promoted and still listed" || !merge {
		return err
	}
	number, _, _ := strings.Cut(id, "-")
	n, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return err
	}
	return p.tamper("update quarantine set state = 'quarantined' where n = ?", n)
}

// served is where a fault of access stands: the answer to a revoked phone is one to somebody else.
func (m *machine) served(r sim.Request, got sim.Response) sim.Response {
	if m.plant == "revoked phone served" && got.Status == http.StatusForbidden && r.Method == http.MethodGet && m.lastToken != "" && m.lastToken != r.Token {
		r.Token = m.lastToken
		return ask(m.handler, r)
	}
	if got.Status == http.StatusOK && r.Token != "" {
		m.lastToken = r.Token
	}
	return got
}
