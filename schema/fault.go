package schema

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-playground/validator/v10"
)

// Stable codes of faults. Screens and tests go by these, never by the message.
const (
	CodeMissing     = "missing"
	CodeWrongType   = "wrong_type"
	CodeNotNull     = "null"
	CodeSpelling    = "spelling"
	CodeOutOfRange  = "out_of_range"
	CodeNotOneOf    = "not_one_of"
	CodeTooLong     = "too_long"
	CodeTooShort    = "too_short"
	CodeForm        = "form"
	CodeZero        = "zero"
	CodeContradicts = "contradicts"
	CodeTwice       = "twice"
	CodeUnbalanced  = "unbalanced"
	CodeSign        = "sign"
	CodeEmpty       = "empty"
	CodeEnvelope    = "envelope"
	CodeUnknownLot  = "unknown_lot"
	CodeUnknownBed  = "unknown_bed"
	CodeUnknownWalk = "unknown_walk"
	CodeUnknownSpan = "unknown_span"
	CodeOutsideBed  = "outside_bed"
	CodeRole        = "role"
	CodePerson      = "person"
	longestQuote    = 40
)

// ruleFault puts one failed validator tag into words.
func ruleFault(path string, l Limit, failure validator.FieldError) Fault {
	if failure.Tag() == "ltefield" {
		return contradicts(path, fmt.Sprintf("%s of %v is more than were stuck. Enter no more than the cuttings stuck.",
			saidOf(path).Name, failure.Value()))
	}
	switch value := reflect.ValueOf(failure.Value()); value.Kind() {
	case reflect.Int, reflect.Int64:
		return numberFault(path, l, value.Int())
	case reflect.Slice, reflect.Map:
		return sizeFault(path, l, value.Len(), "list", "items")
	default:
		return textFault(path, l, fmt.Sprint(failure.Value()))
	}
}

func numberFault(path string, l Limit, value int64) Fault {
	said, u := saidOf(path), unitOf(path)
	if value == 0 && l.NotZero {
		return Fault{path, CodeZero, "not 0", fmt.Sprintf("%s of 0 changes nothing. Enter %s%s.", said.Name, said.Enter, said.orLeave())}
	}
	between := u.between(l.Min, l.Max)
	return Fault{path, CodeOutOfRange, between,
		fmt.Sprintf("%s of %s is outside %s. Enter %s%s.", said.Name, u.show(value), between, said.Enter, said.orLeave())}
}

func sizeFault(path string, l Limit, size int, what, items string) Fault {
	said := saidOf(path)
	if l.MinLength != nil && int64(size) < *l.MinLength {
		limit := fmt.Sprintf("at least %d", *l.MinLength)
		return Fault{path, CodeTooShort, limit, fmt.Sprintf("%s has %d %s; %s needed. Enter %s.", said.Name, size, items, limit, said.Enter)}
	}
	limit := "a shorter " + what
	if l.MaxLength != nil {
		limit = fmt.Sprintf("at most %d %s", *l.MaxLength, items)
	}
	return Fault{path, CodeTooLong, limit, fmt.Sprintf("%s has %d %s, which is more than %s. Shorten it, or send the rest as a second note.",
		said.Name, size, items, strings.TrimPrefix(limit, "at most "))}
}

func textFault(path string, l Limit, value string) Fault {
	said, size := saidOf(path), utf8.RuneCountInString(value)
	switch {
	case value == "" && (l.NotZero || l.Required):
		return missing(path)
	case l.OneOf != nil:
		words := strings.Join(l.OneOf, ", ")
		return Fault{path, CodeNotOneOf, words, fmt.Sprintf("%s %s is not one of: %s. Choose one of these%s.",
			said.Name, quote(value), words, said.orLeave())}
	case l.MaxLength != nil && int64(size) > *l.MaxLength || l.MinLength != nil && int64(size) < *l.MinLength:
		return sizeFault(path, l, size, "text", "characters")
	}
	form := formWords[l.Form]
	return Fault{path, CodeForm, form.limit, fmt.Sprintf("%s %s is not %s. %s%s.", said.Name, quote(value), form.limit, form.remedy, said.orLeave())}
}

// formWords says what a text of a form looks like, and what to do when it does not.
var formWords = map[string]struct{ limit, remedy string }{
	"id":          {"an id (32 characters of 0-9 and a-f)", "Choose it from the list instead of typing it"},
	"tag":         {"a tag code (letters, digits, space . _ / -)", "Enter the code as it stands on the tag"},
	"recordkey":   {"a record key (kind, colon, id)", "Send the keys of the records that the entry had a part in"},
	"devicekey":   {"a device and incarnation (device.1)", "Send the counts by device.incarnation"},
	"isoweek":     {"a week of the calendar such as 2026-W50", "Enter the ISO year and week"},
	"date":        {"a day such as 2026-03-14", "Enter year-month-day"},
	"timezone":    {"a time zone such as America/New_York", "Enter a name of the IANA time zone list"},
	"alphanum":    {"letters and digits only", "Send the code as the server gave it"},
	"hexadecimal": {"hexadecimal (0-9 and a-f, in small letters)", "Send the hash of the picture's bytes"},
	"":            {"allowed here", "Enter another value"},
}

func missing(path string) Fault {
	said := saidOf(path)
	return Fault{path, CodeMissing, "needed", fmt.Sprintf("%s is missing. Enter %s.", said.Name, said.Enter)}
}

func isNull(path string, optional bool) Fault {
	if !optional {
		return missing(path)
	}
	return Fault{path, CodeNotNull, "no null", saidOf(path).Name + " is null. Leave the field out when there is nothing to say."}
}

func wrongType(path string, value any, t reflect.Type) Fault {
	want := map[reflect.Kind]string{
		reflect.String: "a text", reflect.Bool: "true or false", reflect.Slice: "a list",
		reflect.Struct: "an object", reflect.Map: "an object",
	}[t.Kind()]
	if want == "" {
		want = "a whole number"
	}
	said := saidOf(path)
	return Fault{path, CodeWrongType, want, fmt.Sprintf("%s is %s where %s is needed. Enter %s.", said.Name, shown(value), want, said.Enter)}
}

func notObject(path string) Fault {
	return Fault{path, CodeWrongType, "an object", "The body of the entry is no JSON object. Send an object with the fields of its kind."}
}

func envelopeDiffers(field, from string) Fault {
	return Fault{field, CodeEnvelope, "the same as " + from,
		fmt.Sprintf("The envelope's %s is not the one in %s. Name the same %s in both.", field, from, field)}
}

func contradicts(path, message string) Fault { return Fault{path, CodeContradicts, "", message} }

func shown(value any) string {
	switch value := value.(type) {
	case string:
		return quote(value)
	case json.Number:
		return shorten(value.String())
	case bool:
		return strconv.FormatBool(value)
	case []any:
		return "a list"
	case nil:
		return "null"
	}
	return "an object"
}

// quote shows a given text without letting a long or odd one fill the screen.
func quote(text string) string { return strconv.Quote(shorten(text)) }

func shorten(text string) string {
	if utf8.RuneCountInString(text) <= longestQuote {
		return text
	}
	return string([]rune(text)[:longestQuote]) + "…"
}
