package fold

import (
	"strconv"

	"bedwalk/schema"
)

// entered is one line of the ledger with what it needs to be summed.
type entered struct {
	by    *schema.Stamped
	line  schema.StockLine
	basis map[string]int64
}

// foldStock sums a lot's ledger by span. After a recount the counted number holds, and each change that the
// counter did not know of (that is not in the basis) is added, however late it arrives.
func foldStock(record *schema.Record, lot string, set []*schema.Stamped) {
	lines := linesOf(lot, set)
	if len(lines) == 0 {
		return
	}
	all := voidsIn(set)
	recounts := map[string]*entered{}
	for i := range lines {
		e := &lines[i]
		e.line.Voided = all.of(e.by)
		if e.line.Counted == nil || e.line.Voided != nil {
			continue
		}
		if earlier := recounts[e.line.Span]; earlier != nil {
			earlier.line.Settled = true
		}
		recounts[e.line.Span] = e
	}
	stock := &schema.Stock{BySpan: map[string]int{}, Lines: make([]schema.StockLine, 0, len(lines))}
	for i := range lines {
		e := &lines[i]
		stock.Lines = append(stock.Lines, e.line)
		if e.line.Voided == nil {
			pots := e.pots(recounts[e.line.Span])
			stock.BySpan[e.line.Span] += pots
			stock.Pots += pots
		}
	}
	record.Stock, record.Lot = stock, lot
}

// pots returns what a line adds, given the valid recount of its span, if there is one.
func (e *entered) pots(recount *entered) int {
	switch {
	case e == recount:
		return *e.line.Counted
	case e.line.Counted != nil:
		return 0
	case recount != nil && recount.knew(e.by.Entry):
		return 0
	}
	return e.line.Change
}

func (e *entered) knew(change schema.Entry) bool {
	known, ok := e.basis[change.Device+"."+strconv.Itoa(change.Incarnation)]
	return ok && known >= change.Seq
}

// ledgerMove is a move as the ledger reads it. How many plants grow in a pot (schema.Leg) is no part of the record, which is in pots: so builds that
// do not know that field make the same records, whatever stands in it.
type ledgerMove struct {
	Legs  []ledgerLeg `json:"legs"`
	Why   string      `json:"why"`
	Words string      `json:"words"`
}

type ledgerLeg struct {
	Lot    string `json:"lot"`
	Span   string `json:"span"`
	Change int    `json:"change"`
}

func linesOf(lot string, set []*schema.Stamped) []entered {
	var lines []entered
	add := func(s *schema.Stamped, line schema.StockLine, basis map[string]int64) {
		line.By = author(s)
		lines = append(lines, entered{s, line, basis})
	}
	for _, s := range set {
		switch s.Entry.Kind {
		case "count":
			if body, ok := read[schema.Count](s.Entry.Body); ok && body.Lot == lot {
				add(s, schema.StockLine{Span: body.Span, Change: body.Change, Reason: body.Reason, Words: body.Words}, nil)
			}
		case "recount":
			if body, ok := read[schema.Recount](s.Entry.Body); ok && body.Lot == lot {
				add(s, schema.StockLine{Span: body.Span, Counted: &body.Counted, Reason: "recount"}, body.Basis)
			}
		case "move":
			body, ok := read[ledgerMove](s.Entry.Body)
			for _, leg := range body.Legs {
				if ok && leg.Lot == lot {
					add(s, schema.StockLine{Span: leg.Span, Change: leg.Change, Reason: body.Why, Words: body.Words}, nil)
				}
			}
		}
	}
	return lines
}
