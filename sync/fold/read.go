package fold

import (
	"encoding/json"
	"reflect"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// names gives, for each struct that bodies are read into, the index of each member's field. Members are found by
// their exact name: package json would also accept another case, and the phone would not.
var names = func() map[reflect.Type]map[string]int {
	all := map[reflect.Type]map[string]int{}
	for _, t := range []reflect.Type{
		reflect.TypeFor[schema.Observation](), reflect.TypeFor[schema.Correction](), reflect.TypeFor[schema.Place](),
		reflect.TypeFor[schema.Walk](), reflect.TypeFor[schema.WalkEnd](), reflect.TypeFor[schema.Void](),
		reflect.TypeFor[schema.Unvoid](), reflect.TypeFor[schema.Count](), reflect.TypeFor[schema.Recount](),
		reflect.TypeFor[ledgerMove](), reflect.TypeFor[ledgerLeg](),
	} {
		all[t] = map[string]int{}
		for i := range t.NumField() {
			name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
			all[t][name] = i
		}
	}
	return all
}()

// read reads a body strictly: null counts as left out, unknown members are ignored, and a member of another
// type makes the whole body unreadable.
func read[T any](body json.RawMessage) (T, bool) {
	var into T
	if len(body) == 0 || body[0] != '{' {
		return into, false
	}
	ok := readInto(body, reflect.ValueOf(&into).Elem())
	return into, ok
}

func readInto(raw []byte, into reflect.Value) bool {
	if string(raw) == "null" {
		return true
	}
	ok := false
	switch into.Kind() {
	case reflect.Pointer:
		into.Set(reflect.New(into.Type().Elem()))
		return readInto(raw, into.Elem())
	case reflect.String:
		var text string
		text, ok = journal.Text(raw)
		into.SetString(text)
	case reflect.Int, reflect.Int64:
		var number int64
		number, ok = journal.Integer(raw)
		into.SetInt(number)
	case reflect.Bool:
		ok = string(raw) == "true" || string(raw) == "false"
		into.SetBool(string(raw) == "true")
	case reflect.Struct:
		members := names[into.Type()]
		ok = journal.Members(raw, func(name, value []byte) error {
			if i, known := members[string(name)]; known && !readInto(value, into.Field(i)) {
				return errUnreadable
			}
			return nil
		}) == nil
	case reflect.Slice:
		ok = journal.Items(raw, func(value []byte) error {
			into.Set(reflect.Append(into, reflect.Zero(into.Type().Elem())))
			if !readInto(value, into.Index(into.Len()-1)) {
				return errUnreadable
			}
			return nil
		}) == nil
	case reflect.Map:
		into.Set(reflect.MakeMap(into.Type()))
		ok = journal.Members(raw, func(name, value []byte) error {
			item := reflect.New(into.Type().Elem()).Elem()
			if !readInto(value, item) {
				return errUnreadable
			}
			into.SetMapIndex(reflect.ValueOf(string(name)), item)
			return nil
		}) == nil
	}
	return ok
}

// errUnreadable ends a walk through members; nobody sees it.
var errUnreadable = &journal.Error{Code: journal.WrongType}

// textOf is the text member of a body, "" when there is none.
func textOf(body json.RawMessage, member string) string {
	text := ""
	_ = journal.Members(body, func(name, value []byte) error {
		if string(name) != member {
			return nil
		}
		text, _ = journal.Text(value)
		return errUnreadable
	})
	return text
}
