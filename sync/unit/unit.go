// Package unit converts the units that people read and type (centimetres or inches, Celsius or Fahrenheit, litres or gallons)
// to and from the whole numbers that are stored: millimetres, tenths of a degree Celsius, millilitres.
//
// It does not handle words, or number formats beyond the decimal mark. Everything is computed in whole numbers and rounded by
// the one function RoundHalfUp, so that the twin (unit.ts) gives the same digits. The central type is Unit. Constants are
// exact by definition: 1 in = 25.4 mm, 1 US gallon = 231 cubic inches = 3.785411784 L, t/F = 1.8 t/C + 32 (NIST Special
// Publication 811, 2008, appendix B; the values are recalled from memory, the definitions are exact).
package unit

import "fmt"

// Unit is what a person reads and types. Length units are kept as millimetres, temperatures as tenths of a degree Celsius,
// volumes as millilitres.
type Unit string

// The units.
const (
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Inch       Unit = "in"
	Celsius    Unit = "C"
	Fahrenheit Unit = "F"
	Litre      Unit = "L"
	Gallon     Unit = "gal"
)

// scale says how a unit is kept: kept = typed * up/down + plus/down, and how many digits after the mark are shown. A tenth of
// a degree Fahrenheit is finer than what is kept: 74 F would come back as 73.9, so whole degrees are shown.
type scale struct {
	up, down, plus int64
	places         int
}

var scales = map[Unit]scale{
	Millimetre: {1, 1, 0, 0},
	Centimetre: {10, 1, 0, 1},
	Inch:       {254, 10, 0, 1},
	Celsius:    {10, 1, 0, 1},
	// Tenths of a degree Celsius: (F - 32) 10/1.8 = (50 F - 1600)/9.
	Fahrenheit: {50, 9, -1600, 0},
	Litre:      {1000, 1, 0, 1},
	Gallon:     {3785411784, 1000000, 0, 1},
}

// RoundHalfUp is num/den rounded to the nearest whole number, halves upward (toward plus infinity: 2.5 is 3, -2.5 is -2).
// den must be above 0, and |2 num| + den within 2^63.
func RoundHalfUp(num, den int64) int64 {
	num, den = 2*num+den, 2*den
	q := num / den
	if num%den != 0 && num < 0 {
		q--
	}
	return q
}

// Show writes a kept whole number in a unit with the unit's usual digits (tenths; whole millimetres and degrees Fahrenheit) and the given decimal
// mark ("." or ","), rounded half up. The unit's sign is not added. It fails for an unknown unit.
func Show(kept int64, u Unit, mark string) (string, error) {
	s, ok := scales[u]
	if !ok {
		return "", unknown(u)
	}
	ten := power(s.places)
	shown := RoundHalfUp((kept*s.down-s.plus)*ten, s.up)
	if s.places == 0 {
		return fmt.Sprint(shown), nil
	}
	sign := ""
	if shown < 0 {
		sign, shown = "-", -shown
	}
	return fmt.Sprintf("%s%d%s%0*d", sign, shown/ten, mark, s.places, shown%ten), nil
}

// FromKept is a kept value (which may be a mean, so not whole) in a unit, not rounded. It fails for an unknown unit.
func FromKept(kept float64, u Unit) (float64, error) {
	s, ok := scales[u]
	if !ok {
		return 0, unknown(u)
	}
	return (float64(kept*float64(s.down)) - float64(s.plus)) / float64(s.up), nil
}

func power(places int) int64 {
	ten := int64(1)
	for range places {
		ten *= 10
	}
	return ten
}

func unknown(u Unit) error {
	return fmt.Errorf("%q is not a unit: use mm, cm or in, C or F, L or gal", string(u))
}
