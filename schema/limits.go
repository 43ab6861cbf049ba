package schema

import (
	"encoding/json"
	"reflect"
	"strconv"
	"strings"
)

// Limit is what one field may hold, read from its validator tag: the bounds of a number, or of a text's or list's
// length (nil where there is none), the words allowed, and the form of a text.
type Limit struct {
	// Field is the dotted JSON path inside its struct; "[]" stands for any element of a list or map.
	Field                string
	Min, Max             *int64
	MinLength, MaxLength *int64
	OneOf                []string
	Form                 string
	// Required fields must be there; NotZero ones must also say something.
	Required, NotZero bool
}

// Limits lists the limits of every field of a struct of this package, those of nested structs included, in order of
// declaration.
func Limits(t reflect.Type) []Limit { return limitsUnder(t, "") }

func limitsUnder(t reflect.Type, prefix string) []Limit {
	var all []Limit
	for _, field := range reflect.VisibleFields(t) {
		name, optional := jsonName(field)
		if field.Anonymous || name == "" {
			continue
		}
		path := prefix + name
		own, element := limitOf(path, field.Tag.Get("validate"), field.Type)
		own.Required = !optional
		all = append(all, own)
		inner, listed := bare(field.Type)
		if listed {
			path += "[]"
		}
		switch {
		case inner.Kind() == reflect.Struct:
			all = append(all, limitsUnder(inner, path+".")...)
		case element != nil:
			all = append(all, *element)
		}
	}
	return all
}

// limitOf reads one tag: the field's own limit, and that of its elements after a dive.
func limitOf(path, rules string, t reflect.Type) (own Limit, element *Limit) {
	inner, listed := bare(t)
	own = Limit{Field: path}
	into, sized, keys := &own, listed || inner.Kind() == reflect.String, false
	for rule := range strings.SplitSeq(rules, ",") {
		name, arg, _ := strings.Cut(rule, "=")
		switch {
		case name == "keys" || name == "endkeys":
			keys = name == "keys"
		case keys:
		case name == "dive":
			element = &Limit{Field: path + "[]"}
			into, sized = element, inner.Kind() == reflect.String
		default:
			into.take(name, arg, sized)
		}
	}
	return own, element
}

func (l *Limit) take(name, arg string, sized bool) {
	switch name {
	case "required":
		l.NotZero = true
	case "oneof":
		l.OneOf = strings.Fields(arg)
	case "min", "max", "len":
		n, err := strconv.ParseInt(arg, 10, 64)
		if err != nil {
			return
		}
		low, high := &l.Min, &l.Max
		if sized {
			low, high = &l.MinLength, &l.MaxLength
		}
		if name != "max" {
			*low = &n
		}
		if name != "min" {
			*high = &n
		}
	case "datetime":
		l.Form = "date"
	case "id", "tag", "isoweek", "recordkey", "timezone", "alphanum", "hexadecimal":
		l.Form = name
	}
}

// bare strips pointers, lists and maps from a type, and says whether there was a list or map.
func bare(t reflect.Type) (inner reflect.Type, listed bool) {
	for {
		switch t.Kind() {
		case reflect.Slice, reflect.Map:
			if t == reflect.TypeFor[json.RawMessage]() {
				return t, listed
			}
			listed = true
			t = t.Elem()
		case reflect.Pointer:
			t = t.Elem()
		default:
			return t, listed
		}
	}
}

// jsonName is a field's name in JSON, "" where it has none, and whether it may be left out.
func jsonName(field reflect.StructField) (name string, optional bool) {
	name, options, _ := strings.Cut(field.Tag.Get("json"), ",")
	return name, strings.Contains(options, "omitempty")
}
