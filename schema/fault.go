package schema

import (
	"encoding/json"
	"reflect"
	"unicode/utf8"

	"github.com/go-playground/validator/v10"
)

// Fault is one thing wrong with one field of an entry, in fields alone: Sentence makes English of them, and pwa/src/words
// makes both languages of the screens.
type Fault struct {
	// Field is the dotted JSON path: "body.place.row", "lot"; "entry" where the entry as a whole is at fault.
	Field string    `json:"field"`
	Code  FaultCode `json:"code"`
	// Value is what the entry says there: a number in the field's own unit, a text (shortened), true or false; [] and {}
	// for any list and object. With too_long, too_short and too_large it is the size; with unbalanced the sum; with
	// record_full and unsettled what there is already.
	Value any `json:"value,omitempty"`
	// Min and Max bound the value, in Unit; with too_long and too_short its size.
	Min  *int64 `json:"min,omitempty"`
	Max  *int64 `json:"max,omitempty"`
	Unit Unit   `json:"unit,omitempty"`
	// Want is what the value should be, with wrong_type and form.
	Want Want `json:"want,omitempty"`
	// OneOf are the words allowed, with not_one_of.
	OneOf []string `json:"one_of,omitempty"`
	// Other is the field that this one does not agree with, and OtherValue what it says. With spelling, Other is the
	// right name.
	Other      string `json:"other,omitempty"`
	OtherValue any    `json:"other_value,omitempty"`
	// Message is Sentence, for who calls the API by hand and for screens of an older build, which lack a newer code.
	Message string `json:"message"`
}

// MarshalJSON writes the fault with its sentence.
func (f Fault) MarshalJSON() ([]byte, error) {
	type plain Fault
	f.Message = f.Sentence()
	return json.Marshal(plain(f))
}

// FaultCode says what kind of thing is wrong. The list is closed: screens have words for every code.
type FaultCode string

// Codes of faults of one field by itself.
const (
	CodeMissing    FaultCode = "missing"
	CodeWrongType  FaultCode = "wrong_type"
	CodeNotNull    FaultCode = "null"
	CodeSpelling   FaultCode = "spelling"
	CodeOutOfRange FaultCode = "out_of_range"
	CodeNotOneOf   FaultCode = "not_one_of"
	CodeTooLong    FaultCode = "too_long"
	CodeTooShort   FaultCode = "too_short"
	CodeForm       FaultCode = "form"
	CodeZero       FaultCode = "zero"
)

// Codes of faults between fields of one entry.
const (
	// CodeBelowOther is a value less than that of the other field, which is Min; CodeNotAboveOther one that must be more
	// than it, CodeAboveOther one more than it (Max), CodeBeforeOther a day before the other.
	CodeBelowOther     FaultCode = "below_other"
	CodeNotAboveOther  FaultCode = "not_above_other"
	CodeAboveOther     FaultCode = "above_other"
	CodeBeforeOther    FaultCode = "before_other"
	CodeStatesOverBuds FaultCode = "states_over_buds"
	CodeSeverityAlone  FaultCode = "severity_alone"
	CodeSeverityOfNone FaultCode = "severity_of_none"
	CodeOwnParent      FaultCode = "own_parent"
	CodeTwice          FaultCode = "twice"
	CodeUnbalanced     FaultCode = "unbalanced"
	CodeSign           FaultCode = "sign"
	CodeEmpty          FaultCode = "empty"
	CodeEnvelope       FaultCode = "envelope"
	CodeOverlap        FaultCode = "overlap"
	CodeEndsBefore     FaultCode = "ends_before"
	CodeNotCuttings    FaultCode = "not_cuttings"
)

// Codes of faults that the nursery's records show, and who may write what.
const (
	CodeUnknownLot  FaultCode = "unknown_lot"
	CodeUnknownBed  FaultCode = "unknown_bed"
	CodeUnknownWalk FaultCode = "unknown_walk"
	CodeUnknownSpan FaultCode = "unknown_span"
	CodeOutsideBed  FaultCode = "outside_bed"
	CodeRole        FaultCode = "role"
	CodePerson      FaultCode = "person"
)

// Codes of faults of the bytes of an entry (sync/journal): Value is the byte where they begin.
const (
	CodeNotUTF8        FaultCode = "not_utf8"
	CodeBadJSON        FaultCode = "bad_json"
	CodeTrailing       FaultCode = "trailing_data"
	CodeDuplicateKey   FaultCode = "duplicate_key"
	CodeNotInteger     FaultCode = "not_integer"
	CodeNumberTooLarge FaultCode = "number_too_large"
	CodeTooDeep        FaultCode = "too_deep"
	CodeLoneSurrogate  FaultCode = "lone_surrogate"
	// CodeNotEntry is of good JSON that has a field (Other) of another type than an entry's.
	CodeNotEntry FaultCode = "not_entry"
)

// Codes of entries that the server cannot merge for what else it has, or for who sent them.
const (
	CodeTooLarge     FaultCode = "too_large"
	CodeOpaque       FaultCode = "opaque"
	CodeNotCanonical FaultCode = "not_canonical"
	CodeWrongPlace   FaultCode = "wrong_place"
	CodeIDTaken      FaultCode = "id_taken"
	CodeRevoked      FaultCode = "revoked"
	CodeUnwritable   FaultCode = "unwritable"
	CodeNoReceipt    FaultCode = "no_receipt"
	CodeRecordFull   FaultCode = "record_full"
	CodeUnsettled    FaultCode = "unsettled"
)

// Unit is what the numbers of a fault count, "" where the field's name says it all (pots, buds, rows, classes).
type Unit string

// Units. Hundredths of a per cent, tenths of a degree Celsius and hundredths of pH are shown in the larger unit.
const (
	UnitMM          Unit = "mm"
	UnitBP          Unit = "bp"
	UnitDC          Unit = "dc"
	UnitPHC         Unit = "ph_c"
	UnitMicrosiemen Unit = "us_cm"
	UnitMicromol    Unit = "umol"
	UnitPixels      Unit = "px"
	UnitHours       Unit = "hours"
	UnitDays        Unit = "days"
	UnitBytes       Unit = "bytes"
	UnitCharacters  Unit = "characters"
	UnitItems       Unit = "items"
	UnitNotes       Unit = "notes"
	UnitSeconds     Unit = "seconds"
	UnitValues      Unit = "values"
)

// Want is what a value should be.
type Want string

// Types, and forms of a text (those of a Limit).
const (
	WantWhole    Want = "whole_number"
	WantText     Want = "text"
	WantBool     Want = "true_or_false"
	WantList     Want = "list"
	WantObject   Want = "object"
	WantID       Want = "id"
	WantTag      Want = "tag"
	WantRecord   Want = "recordkey"
	WantDevice   Want = "devicekey"
	WantISOWeek  Want = "isoweek"
	WantDate     Want = "date"
	WantZone     Want = "timezone"
	WantAlphaNum Want = "alphanum"
	WantHex      Want = "hexadecimal"
)

const longestQuote = 40

// ruleFault makes a fault of one failed validator tag.
func ruleFault(path string, l Limit, failure validator.FieldError) Fault {
	switch value := reflect.ValueOf(failure.Value()); value.Kind() {
	case reflect.Int, reflect.Int64:
		return numberFault(path, l, value.Int())
	case reflect.Slice, reflect.Map:
		if failure.Tag() == "required" {
			return missing(path)
		}
		return sizeFault(path, l, value.Len(), UnitItems)
	default:
		if l.Form == "" {
			// The key of a map has a form, and the map's limit only that of its values.
			l.Form = failure.Tag()
		}
		return textFault(path, l, value.String())
	}
}

func numberFault(path string, l Limit, value int64) Fault {
	if value == 0 && l.NotZero {
		return Fault{Field: path, Code: CodeZero, Value: value}
	}
	return Fault{Field: path, Code: CodeOutOfRange, Value: value, Min: l.Min, Max: l.Max, Unit: unitOf(path)}
}

func sizeFault(path string, l Limit, size int, unit Unit) Fault {
	code := CodeTooLong
	if l.MinLength != nil && int64(size) < *l.MinLength {
		code = CodeTooShort
	}
	return Fault{Field: path, Code: code, Value: size, Min: l.MinLength, Max: l.MaxLength, Unit: unit}
}

func textFault(path string, l Limit, value string) Fault {
	size := utf8.RuneCountInString(value)
	switch {
	case value == "" && (l.NotZero || l.Required):
		return missing(path)
	case l.OneOf != nil:
		return Fault{Field: path, Code: CodeNotOneOf, Value: shorten(value), OneOf: l.OneOf}
	case l.MaxLength != nil && int64(size) > *l.MaxLength || l.MinLength != nil && int64(size) < *l.MinLength:
		return sizeFault(path, l, size, UnitCharacters)
	}
	return Fault{Field: path, Code: CodeForm, Value: shorten(value), Want: Want(l.Form)}
}

func missing(path string) Fault { return Fault{Field: path, Code: CodeMissing} }

func isNull(path string, optional bool) Fault {
	if !optional {
		return missing(path)
	}
	return Fault{Field: path, Code: CodeNotNull}
}

func wrongType(path string, value Value, t reflect.Type) Fault {
	want := map[reflect.Kind]Want{
		reflect.String: WantText, reflect.Bool: WantBool, reflect.Slice: WantList, reflect.Struct: WantObject, reflect.Map: WantObject,
	}[t.Kind()]
	if want == "" {
		want = WantWhole
	}
	return Fault{Field: path, Code: CodeWrongType, Value: inShort(value), Want: want}
}

func notObject(path string) Fault { return Fault{Field: path, Code: CodeWrongType, Want: WantObject} }

// inShort is a value as a fault carries it: bounded, whatever was sent.
func inShort(value Value) any {
	switch value.Kind {
	case '"':
		return shorten(value.Text)
	case '0':
		return json.Number(value.Text)
	case '[':
		return []any{}
	case '{':
		return map[string]any{}
	case 'n':
		return nil
	}
	return value.Kind == 't'
}

// shorten keeps a long text from filling the screen.
func shorten(text string) string {
	if utf8.RuneCountInString(text) <= longestQuote {
		return text
	}
	return string([]rune(text)[:longestQuote]) + "…"
}

// bound is a limit that is known when the fault is made.
func bound[N int | int64](n N) *int64 {
	limit := int64(n)
	return &limit
}
