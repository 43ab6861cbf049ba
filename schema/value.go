package schema

import "strings"

// Value is one JSON value in memory, as package journal read it: each name stands once in its object, and numbers are
// integers within +-(2^53 - 1). Its zero value is of nothing that was read.
type Value struct {
	// Kind is the first byte of the value: n(ull), t(rue), f(alse), ", 0 for every number, [ or {.
	Kind byte
	// Text is what a text says, or the digits of a number.
	Text string
	// List has the members of an object in canonical order, or the items of a list, whose names are "".
	List []Member
}

// Member is a value in an object or a list.
type Member struct {
	Name  string
	Value Value
}

// member finds a member of an object by its exact name.
func (v Value) member(name string) (Value, bool) {
	if v.Kind == '{' {
		for i := range v.List {
			if v.List[i].Name == name {
				return v.List[i].Value, true
			}
		}
	}
	return Value{}, false
}

// text is the text at a dotted path, "" where there is none.
func (v Value) text(path string) string {
	for name := range strings.SplitSeq(path, ".") {
		v, _ = v.member(name)
	}
	if v.Kind != '"' {
		return ""
	}
	return v.Text
}
