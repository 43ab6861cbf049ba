package unit

// The way back from what is shown to what is kept. Only phones need it (unit.ts); here it shows that Parse and Show agree, and that
// the vectors of the twin are met by the same scales.

// Read parses a typed number in a unit to the whole number that is written down. Refused text gives an *Error.
func Read(text string, u Unit) (int64, error) {
	d, err := Parse(text)
	if err != nil {
		return 0, err
	}
	return ToKept(d, u)
}

// ToKept turns a typed number into the whole number that is written down. It fails for an unknown unit and for a number of
// more than nine digits.
func ToKept(d Decimal, u Unit) (int64, error) {
	s, ok := scales[u]
	if !ok {
		return 0, unknown(u)
	}
	if d.Digits > largest || d.Digits < -largest || d.Places < 0 || d.Places > mostPlaces {
		return 0, &Error{Code: TooLong}
	}
	ten := power(d.Places)
	return RoundHalfUp(d.Digits*s.up+s.plus*ten, s.down*ten), nil
}
