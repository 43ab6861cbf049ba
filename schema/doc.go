// Package schema says what may be written down, and nothing else: the shape, the units and the limits of every
// journal entry, of the messages between phone and server, and of the views that screens are drawn from.
//
// Units stand in the field names (head_mm, ec_us_cm, temp_dc for tenths of a degree Celsius) and every number in an
// entry is an integer, so that sums are exact and the same on every device. The JSON Schemas,
// the TypeScript types and the phone's limits are generated from these structs (go generate ./schema).
//
// The central type is Entry: one immutable thing that one person did. What entries add up to is package fold's work.
package schema

//go:generate go run ./gen
