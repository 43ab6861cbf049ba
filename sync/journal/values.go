package journal

import (
	"slices"

	"bedwalk/schema"
)

// values makes schema.Values of what a scanner passes, in the same pass. Without one (nil) nothing is made. Texts without
// escapes are parts of one copy of the source.
type values struct {
	source string
	// open has a place for each value that was begun: members and items of the objects and lists that are not yet closed,
	// and first of all the outermost value itself.
	open []schema.Member
}

func newValues(source []byte) *values {
	return &values{source: string(source), open: make([]schema.Member, 1, 32)}
}

// whole is the outermost value, once it was passed.
func (v *values) whole() schema.Value { return v.open[0].Value }

// add puts a value into the place that was opened last.
func (v *values) add(value schema.Value) { v.open[len(v.open)-1].Value = value }

func (v *values) addWord(first byte) {
	if v != nil {
		v.add(schema.Value{Kind: first})
	}
}

func (v *values) addNumber(from, to int) {
	if v != nil {
		v.add(schema.Value{Kind: '0', Text: v.source[from:to]})
	}
}

func (v *values) addText(from, to int, text []byte) {
	if v != nil {
		v.add(schema.Value{Kind: '"', Text: v.text(from, to, text)})
	}
}

// addName opens a place for the value of a member.
func (v *values) addName(from, to int, name []byte) {
	if v != nil {
		v.open = append(v.open, schema.Member{Name: v.text(from, to, name)})
	}
}

// addItem opens a place for an item of a list.
func (v *values) addItem() {
	if v != nil {
		v.open = append(v.open, schema.Member{})
	}
}

// text is a text that stands between two quotes of the source, from the first to behind the second.
func (v *values) text(from, to int, text []byte) string {
	if to-from == len(text)+len(`""`) {
		return v.source[from+1 : to-1]
	}
	return string(text)
}

// enter begins an object or list, and says where: leave has to be given that.
func (v *values) enter() int {
	if v == nil {
		return 0
	}
	return len(v.open)
}

// leave closes an object or list.
func (v *values) leave(kind byte, outer int) {
	if v == nil {
		return
	}
	list := slices.Clip(v.open[outer:])
	if outer > 1 {
		// More will be opened in its room; behind the outermost one nothing comes.
		list = slices.Clone(list)
	}
	v.open = v.open[:outer]
	v.add(schema.Value{Kind: kind, List: list})
}
