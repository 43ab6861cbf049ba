package journal

import (
	"bytes"
	"encoding/json"
	"slices"

	"bedwalk/schema"
)

// Canonical gives the one canonical form of a JSON text: RFC 8785, restricted to integers within +-(2^53 - 1) and to
// MaxDepth. A text that is canonical already comes back itself, without a copy. Errors are *Error.
func Canonical(raw []byte) ([]byte, error) { return canonicalForm(raw, false) }

func canonicalForm(raw []byte, roomier bool) ([]byte, error) {
	canonical, err := scan(raw, roomier)
	if err != nil {
		return nil, err
	}
	if canonical {
		return raw, nil
	}
	r := rewriter{scanner: scanner{text: raw, roomier: roomier}, out: make([]byte, 0, len(raw))}
	if err := r.value(); err != nil {
		return nil, err
	}
	return r.out, nil
}

// Check says whether a text is canonical, at the cost of one pass and no memory when it is. Errors are Canonical's.
func Check(raw []byte) (canonical bool, err error) {
	canonical, err = scan(raw, false)
	if err != nil || canonical {
		return canonical, err
	}
	_, err = Canonical(raw)
	return false, err
}

// Encode gives the canonical bytes of an entry. Errors are *Error, or json's for a body that is no JSON.
func Encode(entry schema.Entry) ([]byte, error) { return Of(entry) }

// Of gives the canonical bytes of any value that package json can write.
func Of(value any) ([]byte, error) { return of(value, false) }

// OfRecord is Of for a record, which may be as deep as MaxRecordDepth.
func OfRecord(record schema.Record) ([]byte, error) { return of(record, true) }

func of(value any, roomier bool) ([]byte, error) {
	raw, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return canonicalForm(raw, roomier)
}

// rewriter writes a text anew that scan has found good, so it need not look for errors other than duplicate names.
type rewriter struct {
	scanner
	out []byte
}

type member struct {
	name  []byte
	value int
	// at is where the name was written, for the error.
	at int
}

func (r *rewriter) value() error {
	r.space()
	switch r.peek() {
	case '{':
		return r.object()
	case '[':
		return r.array()
	case '"':
		value, err := r.str()
		r.out = appendString(r.out, value)
		return err
	}
	start := r.at
	err := r.scanner.value()
	r.out = append(r.out, r.text[start:r.at]...)
	return err
}

func (r *rewriter) array() error {
	r.at++
	r.out = append(r.out, '[')
	for r.space(); r.peek() != ']'; r.space() {
		if r.peek() == ',' {
			r.at++
			r.out = append(r.out, ',')
		}
		if err := r.value(); err != nil {
			return err
		}
	}
	r.at++
	r.out = append(r.out, ']')
	return nil
}

func (r *rewriter) object() error {
	var members []member
	r.at++
	for r.space(); r.peek() != '}'; r.space() {
		if r.peek() == ',' {
			r.at++
			r.space()
		}
		at := r.at
		name, err := r.str()
		if err != nil {
			return err
		}
		r.space()
		r.at++
		r.space()
		members = append(members, member{name: name, value: r.at, at: at})
		if err := r.scanner.value(); err != nil {
			return err
		}
	}
	r.at++
	end := r.at
	slices.SortStableFunc(members, func(a, b member) int { return compareUTF16(a.name, b.name) })
	r.out = append(r.out, '{')
	for i, m := range members {
		if i > 0 {
			if bytes.Equal(members[i-1].name, m.name) {
				return &Error{Code: DuplicateKey, At: m.at}
			}
			r.out = append(r.out, ',')
		}
		r.out = appendString(r.out, m.name)
		r.out = append(r.out, ':')
		r.at = m.value
		if err := r.value(); err != nil {
			return err
		}
	}
	r.out = append(r.out, '}')
	r.at = end
	return nil
}

func appendString(out, value []byte) []byte {
	return append(appendEscaped(append(out, '"'), value), '"')
}

// appendEscaped escapes what must be escaped and nothing else (RFC 8785, 3.2.2.2).
func appendEscaped(out, value []byte) []byte {
	const hex = "0123456789abcdef"
	for _, c := range value {
		switch {
		case c == '"' || c == '\\':
			out = append(out, '\\', c)
		case c >= 0x20:
			out = append(out, c)
		case c == '\b':
			out = append(out, '\\', 'b')
		case c == '\t':
			out = append(out, '\\', 't')
		case c == '\n':
			out = append(out, '\\', 'n')
		case c == '\f':
			out = append(out, '\\', 'f')
		case c == '\r':
			out = append(out, '\\', 'r')
		default:
			out = append(out, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		}
	}
	return out
}
