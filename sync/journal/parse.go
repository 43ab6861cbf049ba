package journal

import (
	"bytes"

	"bedwalk/schema"
)

// Arrived is an entry as it was read from bytes that somebody else wrote.
type Arrived struct {
	Entry schema.Entry
	// Body has the values of Entry.Body, for schema.Check.
	Body schema.Value
	// Canonical says whether the bytes were canonical.
	Canonical bool
}

// Read reads an entry in one pass: it checks the bytes strictly, fills in the envelope and makes values of the body. Bytes
// that are not canonical are rewritten and read once more. The entry's Body is canonical and, when raw is canonical too, a
// part of raw. Envelope fields that this build does not know are passed over, since entries of every version are accepted;
// limits are the validator's. Errors are *Error.
func Read(raw []byte) (Arrived, error) { return read(raw, true) }

// Parse is Read for its entry alone, which makes no values of the body.
func Parse(raw []byte) (schema.Entry, error) {
	arrived, err := read(raw, false)
	return arrived.Entry, err
}

func read(raw []byte, withValues bool) (Arrived, error) {
	e, canonical, err := pass(raw, withValues)
	if err == nil && !canonical {
		if raw, err = rewritten(raw); err == nil {
			e, _, err = pass(raw, withValues)
		}
	}
	switch {
	case err != nil:
		return Arrived{}, err
	case raw[0] != '{':
		return Arrived{}, &Error{Code: WrongType, Field: "the whole"}
	case e.wrong != nil:
		return Arrived{}, e.wrong
	}
	return Arrived{e.entry, e.body, canonical}, nil
}

func pass(raw []byte, withValues bool) (e envelope, canonical bool, err error) {
	e.withValues = withValues
	s := scanner{text: raw, canonical: true, envelope: &e}
	err = s.whole()
	return e, s.canonical, err
}

// envelope takes the members of an entry as a scanner passes them.
type envelope struct {
	entry schema.Entry
	// withValues asks for values of the body.
	withValues bool
	body       schema.Value
	// wrong is of the first member that has another type than an entry's. What is wrong with the text itself goes before it.
	wrong error
}

// member passes the value of a member, and keeps it if it belongs to the envelope.
func (s *scanner) member(name []byte) error {
	if s.envelope == nil || s.depth > 1 {
		return s.value()
	}
	e := s.envelope
	if e.withValues && string(name) == "body" {
		s.values = newValues(s.text)
	}
	value, err := s.part()
	if err != nil {
		return err
	}
	if s.values != nil {
		e.body, s.values = s.values.whole(), nil
	}
	if e.wrong == nil {
		e.wrong = setField(&e.entry, name, value)
	}
	return nil
}

// Members calls visit for each member of an object; name and value are parts of raw unless the name has escapes. It
// stops at the first error of visit. Bytes that are not an object give WrongType; raw must have passed Check.
func Members(raw []byte, visit func(name, value []byte) error) error {
	s := scanner{text: raw}
	return s.each('{', '}', func() error {
		if s.peek() != '"' {
			return s.fail(BadJSON)
		}
		name, err := s.str()
		if err != nil {
			return err
		}
		s.space()
		s.at++
		s.space()
		value, err := s.part()
		if err != nil {
			return err
		}
		return visit(name, value)
	})
}

// Items calls visit for each item of an array, as Members does for an object.
func Items(raw []byte, visit func(value []byte) error) error {
	s := scanner{text: raw}
	return s.each('[', ']', func() error {
		value, err := s.part()
		if err != nil {
			return err
		}
		return visit(value)
	})
}

func (s *scanner) each(opening, closing byte, one func() error) error {
	s.space()
	if s.peek() != opening {
		return &Error{Code: WrongType, Field: "the whole"}
	}
	s.at++
	for s.space(); s.peek() != closing; s.space() {
		if s.peek() == ',' {
			s.at++
			s.space()
		}
		if err := one(); err != nil {
			return err
		}
	}
	return nil
}

// part reads past one value and returns its bytes.
func (s *scanner) part() ([]byte, error) {
	from := s.at
	err := s.value()
	return s.text[from:s.at:s.at], err
}

func setField(entry *schema.Entry, name, value []byte) error {
	ok := true
	text := func(into *string) { *into, ok = Text(value) }
	whole := func(into *int64) { *into, ok = Integer(value) }
	small := func(into *int) {
		var wide int64
		wide, ok = Integer(value)
		*into = int(wide)
	}
	switch string(name) {
	case "id":
		text(&entry.ID)
	case "device":
		text(&entry.Device)
	case "inc":
		small(&entry.Incarnation)
	case "seq":
		whole(&entry.Seq)
	case "v":
		small(&entry.V)
	case "kind":
		text(&entry.Kind)
	case "person":
		text(&entry.Person)
	case "lot":
		text(&entry.Lot)
	case "bed":
		text(&entry.Bed)
	case "wall":
		whole(&entry.Wall)
	case "session":
		text(&entry.Session)
	case "mono":
		whole(&entry.Mono)
	case "floor":
		whole(&entry.Floor)
	case "body":
		ok = value[0] == '{'
		entry.Body = value
	}
	if !ok {
		return &Error{Code: WrongType, Field: string(name)}
	}
	return nil
}

// Text returns the value of a canonical string.
func Text(canonical []byte) (string, bool) {
	if len(canonical) == 0 || canonical[0] != '"' {
		return "", false
	}
	s := scanner{text: canonical}
	value, err := s.str()
	return string(value), err == nil
}

// Integer returns the value of a canonical number.
func Integer(canonical []byte) (int64, bool) {
	digits := bytes.TrimPrefix(canonical, []byte("-"))
	if len(digits) == 0 || digits[0] < '0' || '9' < digits[0] {
		return 0, false
	}
	value := int64(0)
	for _, c := range digits {
		value = value*10 + int64(c-'0')
	}
	if len(digits) < len(canonical) {
		value = -value
	}
	return value, true
}
