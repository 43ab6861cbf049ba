package sim

import (
	"encoding/json"

	"bedwalk/schema"
)

// stock is Naive for a lot's ledger.
func (n naive) stock(record object, lot string) object {
	type line struct {
		s      schema.Stamped
		o      object
		span   string
		change int
	}
	var lines []line
	standing := map[string]int{}
	for _, s := range n.all {
		body := n.body[s.Entry.ID]
		add := func(leg object, reason any, records ...string) {
			if leg["lot"] != lot {
				return
			}
			o := object{"reason": reason, "by": by(s)}
			put(o, "span", leg["span"])
			put(o, "words", body["words"])
			change, _ := leg["change"].(float64)
			if change != 0 {
				o["change"] = change
			}
			put(o, "voided", n.voided(s.Entry.ID, records...))
			lines = append(lines, line{s, o, text(leg, "span"), int(change)})
		}
		switch s.Entry.Kind {
		case "count":
			add(body, body["reason"], "stock:"+lot)
		case "recount":
			before := len(lines)
			if add(body, "recount", "stock:"+lot); len(lines) > before {
				delete(lines[before].o, "words")
				lines[before].o["counted"] = body["counted"]
				if lines[before].o["voided"] == nil {
					if old, ok := standing[lines[before].span]; ok {
						lines[old].o["settled"] = true
					}
					standing[lines[before].span] = before
				}
			}
		case "move":
			var records []string
			legs, _ := body["legs"].([]any)
			for _, leg := range legs {
				records = append(records, "stock:"+text(leg, "lot"))
			}
			for _, leg := range legs {
				part, _ := leg.(object)
				add(part, body["why"], records...)
			}
		}
	}
	if lines == nil {
		return nil
	}
	spans, pots, shown := map[string]int{}, 0, []any{}
	for i, l := range lines {
		shown = append(shown, l.o)
		if l.o["voided"] != nil {
			continue
		}
		add := l.change
		if at, ok := standing[l.span]; ok {
			basis, _ := n.body[lines[at].s.Entry.ID]["basis"].(object)
			writer, _ := json.Marshal(l.s.Entry.Incarnation)
			upTo, knows := basis[l.s.Entry.Device+"."+string(writer)].(float64)
			if counted, ok := l.o["counted"].(float64); ok {
				add = 0
				if at == i {
					add = int(counted)
				}
			} else if knows && int64(upTo) >= l.s.Entry.Seq {
				add = 0
			}
		}
		spans[l.span] += add
		pots += add
	}
	record["lot"] = lot
	record["stock"] = object{"pots": pots, "by_span": spans, "lines": shown}
	return record
}
