// Package mix reckons how much of a product makes a spray or a drench of a wanted strength: parts per million to grams or
// millilitres, always from the strength printed on the container in hand. It is arithmetic and no recommendation: it knows no
// product, no rate and no crop, and the label decides. The central function is Product. Its twin is mix.ts beside it.
//
// Strengths: ppm is milligrams of active ingredient in a litre of mix. Everything is made of products and quotients alone, so
// that Go and TypeScript give the same number on every processor.
package mix

import "fmt"

// By says what a percentage on a container means.
type By string

// The kinds of percentage.
const (
	// Dry is a powder or granule: grams of active in 100 g, and the answer is in grams.
	Dry By = "dry"
	// Volume is a liquid by weight in volume: grams of active in 100 mL, and the answer is in millilitres.
	Volume By = "volume"
	// Weight is a liquid by weight: grams of active in 100 g of a liquid of GramsPerML, and the answer is in millilitres.
	Weight By = "weight"
)

// Container is what the label says of the product's strength. GramsPerML is asked for Weight alone.
type Container struct {
	Percent    float64
	By         By
	GramsPerML float64
}

// Error says which number cannot be reckoned with, by its name in this package, and what would do.
type Error struct {
	Field  string
	Remedy string
}

func (e *Error) Error() string { return e.Field + ": " + e.Remedy }

// mgPerUnit is the active ingredient in one gram or millilitre of product: a per cent is 10 mg in a gram.
func (c Container) mgPerUnit() float64 {
	if c.By == Weight {
		return c.Percent * 10 * c.GramsPerML
	}
	return c.Percent * 10
}

// Product is how much of the product (g of a dry one, mL of a liquid) makes litres of mix of ppm mg/L. It fails with *Error for
// numbers that are not above 0, for more than 100 per cent, and for a mix that would be stronger than its product.
func Product(ppm, litres float64, c Container) (float64, error) {
	switch {
	case c.By != Dry && c.By != Volume && c.By != Weight:
		return 0, &Error{"by", fmt.Sprintf("%q is none of: dry, volume, weight", c.By)}
	case !(c.Percent > 0 && c.Percent <= 100):
		return 0, &Error{"percent", "read it from the container: above 0, at most 100"}
	case c.By == Weight && !(c.GramsPerML >= 0.5 && c.GramsPerML <= 3):
		return 0, &Error{"density", "read it from the label: 0.5 to 3 g/mL"}
	case !(litres > 0 && litres <= 1_000_000):
		return 0, &Error{"litres", "above 0, at most 1,000,000"}
	case !(ppm > 0):
		return 0, &Error{"ppm", "read it from the label: above 0"}
	case ppm >= c.mgPerUnit()*1000:
		return 0, &Error{"stronger", "no mix is stronger than its product: check the strength and the percentage"}
	}
	return ppm * litres / c.mgPerUnit(), nil
}

// ActivePerPot is the active ingredient (mg) that a drench of ppm mg/L brings into a pot that gets millilitres of it.
func ActivePerPot(ppm, millilitres float64) float64 {
	return ppm * millilitres / 1000
}

// Litres is what a drench takes for so many pots, each with millilitres of it.
func Litres(pots int, millilitres float64) float64 {
	return float64(pots) * millilitres / 1000
}
