package schema

import (
	"errors"
	"reflect"
	"regexp"
	"strconv"
	"sync"
	"time"
	_ "time/tzdata" // a time zone is known or not known alike on every machine

	"github.com/go-playground/validator/v10"
)

// Patterns of the texts that have a form. They are written so that they mean the same in Go and in ECMAScript.
var patterns = map[string]string{
	"id":  `^[0-9a-f]{32}$`,
	"tag": `^[0-9A-Za-z][0-9A-Za-z ._/-]*$`,
	// Any prefix is taken: a later version may have records of other names.
	"recordkey": `^[a-z_]{2,32}:[0-9a-f]{32}$`,
	"devicekey": `^[0-9A-Za-z]{1,32}\.[1-9][0-9]{0,6}$`,
	"isoweek":   `^[0-9]{4}-W[0-9]{2}$`,
	"date":      `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`,
}

// Pattern is the regular expression of a form that a Limit names, "" where it has none.
func Pattern(form string) string { return patterns[form] }

// rules is the one validator; it is safe for many goroutines and caches what it learns of each struct. A rule that
// could not be registered would be a slip in this file: the tests ask for errRules.
var rules, errRules = newRules()

func newRules() (*validator.Validate, error) {
	v := validator.New(validator.WithRequiredStructEnabled())
	v.RegisterTagNameFunc(func(field reflect.StructField) string {
		name, _ := jsonName(field)
		return name
	})
	var failed []error
	register := func(name string, holds func(string) bool) {
		failed = append(failed, v.RegisterValidation(name, func(field validator.FieldLevel) bool {
			return holds(field.Field().String())
		}))
	}
	// Ids are looked at six times an entry, by far the most of all forms.
	register("id", isID)
	for _, form := range []string{"tag", "recordkey", "devicekey"} {
		register(form, regexp.MustCompile(patterns[form]).MatchString)
	}
	register("isoweek", isWeek)
	return v, errors.Join(failed...)
}

// isID is the pattern of ids without the cost of a regular expression.
func isID(text string) bool {
	if len(text) != 32 {
		return false
	}
	for _, c := range []byte(text) {
		if (c < '0' || '9' < c) && (c < 'a' || 'f' < c) {
			return false
		}
	}
	return true
}

var weekForm = regexp.MustCompile(patterns["isoweek"])

// isWeek is true for a week that the ISO 8601 calendar has: week 53 only in long years.
func isWeek(text string) bool {
	if !weekForm.MatchString(text) {
		return false
	}
	year, _ := strconv.Atoi(text[:4])
	week, _ := strconv.Atoi(text[6:])
	// 28 December is always in the last week of its year (ISO 8601).
	_, last := time.Date(year, time.December, 28, 0, 0, 0, 0, time.UTC).ISOWeek()
	return week >= 1 && week <= last
}

var limitsSeen sync.Map

// limitAt finds the limit of the field at a JSON path of a struct.
func limitAt(t reflect.Type, path string) Limit {
	known, ok := limitsSeen.Load(t)
	if !ok {
		byField := map[string]Limit{}
		for _, l := range Limits(t) {
			byField[l.Field] = l
		}
		known, _ = limitsSeen.LoadOrStore(t, byField)
	}
	byField, _ := known.(map[string]Limit)
	return byField[anyElement(path)]
}

var element = regexp.MustCompile(`\[[^\]]*\]`)

// anyElement turns "legs[2].change" into "legs[].change".
func anyElement(path string) string { return element.ReplaceAllLiteralString(path, "[]") }
