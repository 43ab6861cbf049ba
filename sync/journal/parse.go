package journal

import (
	"bytes"

	"bedwalk/schema"
)

// Parse reads an entry. Its Body is canonical and, when raw is canonical too, a part of raw. Envelope fields that this
// build does not know are passed over, since entries of every version are accepted; limits are the validator's.
// Errors are *Error.
func Parse(raw []byte) (schema.Entry, error) {
	canonical, err := Canonical(raw)
	if err != nil {
		return schema.Entry{}, err
	}
	var entry schema.Entry
	err = Members(canonical, func(name, value []byte) error { return setField(&entry, name, value) })
	if err != nil {
		return schema.Entry{}, err
	}
	return entry, nil
}

// Members calls visit for each member of an object in canonical bytes; name and value are parts of them. It ends with the
// first error of visit. Bytes that are no object give WrongType.
func Members(canonical []byte, visit func(name, value []byte) error) error {
	if len(canonical) < 2 || canonical[0] != '{' {
		return &Error{Code: WrongType, Field: "the whole"}
	}
	s := scanner{text: canonical, at: 1}
	for s.peek() != '}' {
		if s.peek() == ',' {
			s.at++
		}
		name, err := s.str()
		if err != nil {
			return err
		}
		s.at++
		from := s.at
		if err := s.value(); err != nil {
			return err
		}
		if err := visit(name, canonical[from:s.at:s.at]); err != nil {
			return err
		}
	}
	return nil
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

// Text is the value of a canonical string.
func Text(canonical []byte) (string, bool) {
	if len(canonical) == 0 || canonical[0] != '"' {
		return "", false
	}
	s := scanner{text: canonical}
	value, err := s.str()
	return string(value), err == nil
}

// Integer is the value of a canonical number.
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
