package main

import (
	"strconv"
	"strings"
)

// limit is what a field's validator tag says of its value, and of its elements where it is a list.
type limit struct {
	min, max           *int64
	oneof              []string
	required           bool
	minLength, maxSize *int64
	form               string
	each               *limit
}

// enumOf gives the words of a oneof rule, nil where there is none before a dive.
func enumOf(rules string) []string {
	for rule := range strings.SplitSeq(rules, ",") {
		name, arg, _ := strings.Cut(rule, "=")
		if name == "dive" {
			return nil
		}
		if name == "oneof" {
			return strings.Fields(arg)
		}
	}
	return nil
}

// limitOf reads a validator tag. Text is true for strings and lists, whose min and max bound their length.
func limitOf(rules string, text, elementText bool) limit {
	var l limit
	into, sized, keys := &l, text, false
	for rule := range strings.SplitSeq(rules, ",") {
		name, arg, _ := strings.Cut(rule, "=")
		switch {
		case name == "keys":
			keys = true
		case name == "endkeys":
			keys = false
		case keys, name == "":
		case name == "dive":
			into.each = &limit{}
			into, sized = into.each, elementText
		case name == "required":
			into.required = true
		case name == "oneof":
			into.oneof = strings.Fields(arg)
		case name == "min" && sized:
			into.minLength = number(arg)
		case name == "max" && sized:
			into.maxSize = number(arg)
		case name == "min":
			into.min = number(arg)
		case name == "max":
			into.max = number(arg)
		case name == "len":
			into.minLength, into.maxSize = number(arg), number(arg)
		case name == "datetime":
			into.form = "date"
		case name == "id", name == "tag", name == "isoweek", name == "recordkey", name == "timezone",
			name == "alphanum", name == "hexadecimal" && into.form == "":
			into.form = name
		}
	}
	return l
}

func number(text string) *int64 {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return nil
	}
	return &n
}
