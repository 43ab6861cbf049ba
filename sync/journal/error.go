package journal

import (
	"errors"
	"fmt"

	"bedwalk/schema"
)

// Code is the stable name of what is wrong with some bytes. The twin uses the same names.
type Code string

const (
	NotUTF8       Code = "not_utf8"
	BadJSON       Code = "bad_json"
	Trailing      Code = "trailing_data"
	DuplicateKey  Code = "duplicate_key"
	NotInteger    Code = "not_integer"
	OutOfRange    Code = "out_of_range"
	TooDeep       Code = "too_deep"
	LoneSurrogate Code = "lone_surrogate"
	// WrongType is returned by Parse alone: the bytes are valid JSON, but not an entry.
	WrongType Code = "wrong_type"
)

var remedies = map[Code]string{
	NotUTF8:       "the text is not UTF-8; send it as UTF-8 without a byte order mark",
	BadJSON:       "this is not JSON (RFC 8259); send one complete JSON value",
	Trailing:      "something follows the JSON value; send one value only",
	DuplicateKey:  "a name stands twice in one object; keep one of the two",
	NotInteger:    "numbers must be integers without point, exponent or minus zero; use a smaller unit",
	OutOfRange:    "numbers must lie within -9007199254740991 to 9007199254740991",
	TooDeep:       "objects and arrays may lie 16 deep (20 in a record); flatten the value",
	LoneSurrogate: "half of a UTF-16 surrogate pair stands alone; send whole characters",
	WrongType:     "the field has another type than an entry's; compare the schema",
}

// Error says what is wrong, at which byte, and for WrongType in which field.
type Error struct {
	Code  Code
	At    int
	Field string
}

func (e *Error) Error() string {
	if e.Field != "" {
		return fmt.Sprintf("%s in %s: %s", e.Code, e.Field, remedies[e.Code])
	}
	return fmt.Sprintf("%s at byte %d: %s", e.Code, e.At, remedies[e.Code])
}

// faultCodes are the codes of faults by those of this package, where the names differ.
var faultCodes = map[Code]schema.FaultCode{OutOfRange: schema.CodeNumberTooLarge, WrongType: schema.CodeNotEntry}

// FaultOf returns an error of this package as a fault of an entry; any other error becomes bad_json.
func FaultOf(err error) schema.Fault {
	f := schema.Fault{Field: "entry", Code: schema.CodeBadJSON}
	var own *Error
	if !errors.As(err, &own) {
		return f
	}
	f.Code, f.Other = schema.FaultCode(own.Code), own.Field
	if code, ok := faultCodes[own.Code]; ok {
		f.Code = code
	}
	if own.Field == "" {
		f.Value = own.At
	}
	return f
}

// CodeOf returns the code of an error of this package, "" for any other.
func CodeOf(err error) Code {
	var own *Error
	if errors.As(err, &own) {
		return own.Code
	}
	return ""
}
