package unit

import "strings"

// Decimal is a typed number, exact: Digits over ten to the power of Places. 12,50 is {1250, 2}.
type Decimal struct {
	Digits int64
	Places int
}

const (
	largest    = 999_999_999
	mostPlaces = 6
)

// The reasons for which a typed number is refused; screens have a sentence for each.
const (
	Empty    = "empty"     // nothing typed
	NoNumber = "no_number" // a character that no number has
	TwoMarks = "two_marks" // more than one comma or point
	TooLong  = "too_long"  // more than nine digits, or more than six after the mark
)

// Error is a typed number that was refused. Code is one of the reasons above.
type Error struct{ Code string }

// Error says what to type instead.
func (e *Error) Error() string {
	switch e.Code {
	case Empty:
		return "nothing is there: give a number, such as 12.5"
	case TwoMarks:
		return "more than one comma or point: give one decimal mark and no thousands mark, such as 1234.5"
	case TooLong:
		return "too many digits: give at most nine, at most six after the mark"
	}
	return "not a number: give digits with one comma or point, such as 12.5"
}

// Parse reads a number as people type it: digits, one comma or point, a sign before, spaces around. Comma and point mean the
// same; there is no thousands mark, because 1,234 means two things to two people and a wrong one would be written down.
func Parse(text string) (Decimal, error) {
	text = strings.TrimSpace(text)
	minus := false
	for _, sign := range []string{"-", "−", "+"} {
		if rest, ok := strings.CutPrefix(text, sign); ok {
			text, minus = rest, sign != "+"
			break
		}
	}
	if text == "" {
		return Decimal{}, &Error{Code: Empty}
	}
	var d Decimal
	digits, marks := 0, 0
	for _, c := range text {
		switch {
		case c == ',' || c == '.':
			marks++
		case c >= '0' && c <= '9':
			digits++
			if marks > 0 {
				d.Places++
			}
			if d.Digits = 10*d.Digits + int64(c-'0'); d.Digits > largest || d.Places > mostPlaces {
				return Decimal{}, &Error{Code: TooLong}
			}
		default:
			return Decimal{}, &Error{Code: NoNumber}
		}
	}
	switch {
	case marks > 1:
		return Decimal{}, &Error{Code: TwoMarks}
	case digits == 0:
		return Decimal{}, &Error{Code: NoNumber}
	}
	if minus {
		d.Digits = -d.Digits
	}
	return d, nil
}
