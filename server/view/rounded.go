package view

import (
	"math"
	"reflect"
)

// digits is how many a number of a list has: its pages show three, and sixteen would be a quarter of its bytes.
const digits = 6

// rounded is a copy with numbers of so many digits; what it was copied from stays as it was computed.
func rounded[T any](v T) T {
	return roundedValue(reflect.ValueOf(&v).Elem()).Interface().(T)
}

func roundedValue(v reflect.Value) reflect.Value {
	made := reflect.New(v.Type()).Elem()
	made.Set(v)
	switch v.Kind() {
	case reflect.Float64:
		made.SetFloat(toDigits(v.Float()))
	case reflect.Pointer:
		if !v.IsNil() {
			made.Set(reflect.New(v.Type().Elem()))
			made.Elem().Set(roundedValue(v.Elem()))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			made.Field(i).Set(roundedValue(v.Field(i)))
		}
	case reflect.Slice:
		if !v.IsNil() {
			made.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
			for i := range v.Len() {
				made.Index(i).Set(roundedValue(v.Index(i)))
			}
		}
	case reflect.Map:
		if !v.IsNil() {
			made.Set(reflect.MakeMapWithSize(v.Type(), v.Len()))
			for key, value := range v.Seq2() {
				made.SetMapIndex(key, roundedValue(value))
			}
		}
	}
	return made
}

// toDigits rounds half away from zero; what has no digits behind its first six stays.
func toDigits(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(x))))
	if places <= 0 {
		return x
	}
	scale := math.Pow10(places)
	if whole := x * scale; !math.IsInf(whole, 0) {
		return math.Round(whole) / scale
	}
	return x
}
