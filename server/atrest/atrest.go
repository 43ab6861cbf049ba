// Package atrest is how an entry lies in the file: what most entries have in common is written once, and its canonical bytes are put together
// again when they are read. It knows no table; server/db has these, and the view "entries" that gives the bytes.
//
// An entry's text with each value replaced by the name of a slot is its shape: of 22,000 notes of the demo there are 313. The values are in
// columns, as far as every entry has them or many share them, and the others in one text, with commas between them as JSON has them.
package atrest

import (
	"bytes"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
)

// Columns are the values of an entry that have a column of their own, or that another row names.
type Columns struct {
	ID, Device, Lot, Bed, Person, Session, Walk string
	Inc, Seq, Wall, Floor, Mono                 int64
}

// slot is a place in a shape: one of the columns, or the next of the other values.
type slot int

const (
	other slot = iota
	id
	device
	lot
	bed
	person
	session
	walk
	inc
	seq
	wall
	floor
	mono
	slots
)

// names are the slots as a shape has them. In JSON no value begins with a dollar sign.
var names = [slots]string{"$", "$id", "$device", "$lot", "$bed", "$person", "$session", "$walk", "$inc", "$seq", "$wall", "$floor", "$mono"}

// numbers are the envelope's fields with a column.
var numbers = map[string]slot{"inc": inc, "seq": seq, "wall": wall, "floor": floor, "mono": mono}

// constant are the envelope's fields that belong to the shape.
var constant = map[string]bool{"kind": true, "v": true}

// MaxShape is how long a shape may be, in bytes.
const MaxShape = 1 << 10

// Pack takes canonical bytes apart. It fills in columns.Walk; the others are the caller's, as the entry has them. It is false where the bytes
// cannot be put together again from what it would give: then they are to be kept as they are.
func Pack(raw []byte, columns *Columns) (shape, others string, ok bool) {
	p := packer{text: raw, columns: columns}
	if !p.value("", 0) || p.at != len(raw) || p.shape.Len() > MaxShape {
		return "", "", false
	}
	shape, others = p.shape.String(), p.others.String()
	again, ok := Bytes(shape, others, *columns)
	return shape, others, ok && bytes.Equal(again, raw)
}

// packer goes over canonical bytes once.
type packer struct {
	text          []byte
	at            int
	shape, others strings.Builder
	columns       *Columns
}

func (p *packer) peek() byte {
	if p.at < len(p.text) {
		return p.text[p.at]
	}
	return 0
}

// value passes one value, which stands under a name at a depth: 1 is the envelope.
func (p *packer) value(name string, depth int) bool {
	if p.peek() == '{' {
		return p.object(depth)
	}
	from := p.at
	if p.at = end(p.text, from); p.at == from {
		return false
	}
	leaf := p.text[from:p.at]
	switch at := p.slotOf(name, leaf, depth); {
	case depth == 1 && constant[name]:
		p.shape.Write(leaf)
	case at > other:
		p.shape.WriteString(names[at])
	case leaf[0] == 't', leaf[0] == 'f', leaf[0] == 'n':
		p.shape.Write(leaf)
	default:
		p.shape.WriteString(names[other])
		if p.others.Len() > 0 {
			p.others.WriteByte(',')
		}
		p.others.Write(leaf)
	}
	return true
}

func (p *packer) object(depth int) bool {
	for first := true; ; first = false {
		// The bracket or the comma before a member.
		p.shape.WriteByte(p.text[p.at])
		p.at++
		if first && p.peek() == '}' {
			break
		}
		from := p.at
		if p.at = end(p.text, from); p.at == from || p.peek() != ':' {
			return false
		}
		name := p.text[from:p.at]
		p.at++
		p.shape.Write(name)
		p.shape.WriteByte(':')
		if len(name) < 2 || !p.value(string(name[1:len(name)-1]), depth+1) {
			return false
		}
		if p.peek() != ',' {
			break
		}
	}
	if p.peek() != '}' {
		return false
	}
	p.shape.WriteByte('}')
	p.at++
	return true
}

// slotOf is the column that has a value, other where none has it.
func (p *packer) slotOf(name string, leaf []byte, depth int) slot {
	if leaf[0] != '"' {
		if depth != 1 {
			return other
		}
		return numbers[name]
	}
	text := leaf[1 : len(leaf)-1]
	if name == "walk" && p.columns.Walk == "" && isID(text) {
		p.columns.Walk = string(text)
	}
	for _, at := range []slot{id, device, lot, bed, person, session, walk} {
		if value := p.columns.text(at); value != "" && value == string(text) {
			return at
		}
	}
	return other
}

func isID(text []byte) bool {
	return len(text) == 32 && len(bytes.Trim(text, "0123456789abcdef")) == 0
}

// end is where a value or a name that begins at a place ends: before what follows it at the same depth.
func end(text []byte, from int) int {
	depth, quoted := 0, false
	for at := from; at < len(text); at++ {
		switch c := text[at]; {
		case quoted && c == '\\':
			at++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}' || c == ',' || c == ':':
			if depth == 0 {
				return at
			}
			if c == ']' || c == '}' {
				depth--
			}
		}
	}
	return len(text)
}

// text is the value of a column that is a text.
func (c *Columns) text(at slot) string {
	switch at {
	case id:
		return c.ID
	case device:
		return c.Device
	case lot:
		return c.Lot
	case bed:
		return c.Bed
	case person:
		return c.Person
	case session:
		return c.Session
	case walk:
		return c.Walk
	}
	return ""
}

// number is the value of a column that is a number.
func (c *Columns) number(at slot) int64 {
	switch at {
	case inc:
		return c.Inc
	case seq:
		return c.Seq
	case wall:
		return c.Wall
	case floor:
		return c.Floor
	case mono:
		return c.Mono
	}
	return 0
}

// template is a shape that was read: texts, and the slot behind each but the last.
type template struct {
	texts []string
	slots []slot
	has   [slots]bool
}

// templates remembers shapes that were read. Whoever sends notes of ever other shapes has them forgotten, not kept.
var (
	templates  sync.Map
	remembered atomic.Int64
)

// mostTemplates is twice as many as a file has.
const mostTemplates = 8192

func templateOf(shape string) *template {
	if known, ok := templates.Load(shape); ok {
		return known.(*template)
	}
	t := &template{}
	from, quoted := 0, false
	for at := 0; at < len(shape); at++ {
		switch c := shape[at]; {
		case quoted && c == '\\':
			at++
		case c == '"':
			quoted = !quoted
		case !quoted && c == '$':
			t.texts = append(t.texts, shape[from:at])
			for from = at + 1; from < len(shape) && 'a' <= shape[from] && shape[from] <= 'z'; from++ {
			}
			which := slots
			for i, name := range names {
				if name == shape[at:from] {
					which = slot(i)
				}
			}
			t.slots = append(t.slots, which)
			if which < slots {
				t.has[which] = true
			}
			at = from - 1
		}
	}
	t.texts = append(t.texts, shape[from:])
	if remembered.Add(1) > mostTemplates {
		templates.Clear()
		remembered.Store(1)
	}
	templates.Store(shape, t)
	return t
}

// Bytes puts an entry together. It is false where the shape and the values do not fit each other, as somebody may have changed them in the
// file: too many or too few values, or a column with a value for which the shape has no place.
func Bytes(shape, others string, columns Columns) ([]byte, bool) {
	t := templateOf(shape)
	for at := id; at < slots; at++ {
		isEmpty := columns.text(at) == "" && columns.number(at) == 0
		if !t.has[at] && !isEmpty && at != inc && at != seq && at != id && at != device {
			return nil, false
		}
	}
	raw := make([]byte, 0, len(shape)+len(others)+256)
	left := []byte(others)
	for i, at := range t.slots {
		raw = append(raw, t.texts[i]...)
		switch {
		case at == other:
			to := end(left, 0)
			if to == 0 {
				return nil, false
			}
			raw = append(raw, left[:to]...)
			if left = left[to:]; len(left) > 0 {
				left = left[1:]
				if len(left) == 0 {
					return nil, false
				}
			}
		case at >= slots:
			return nil, false
		case at < inc:
			if columns.text(at) == "" {
				return nil, false
			}
			raw = append(raw, '"')
			raw = append(raw, columns.text(at)...)
			raw = append(raw, '"')
		default:
			raw = strconv.AppendInt(raw, columns.number(at), 10)
		}
	}
	return append(raw, t.texts[len(t.slots)]...), len(left) == 0
}
