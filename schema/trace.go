package schema

import "fmt"

// Trace is what a temperature logger wrote down in a house. A file with more values or parts than fit becomes several entries with one
// Source. The limits keep each entry below the 64 KiB that any entry may have.
type Trace struct {
	House string `json:"house" validate:"id"`
	// Spot says where in the house the logger hangs.
	Spot string `json:"spot,omitempty" validate:"max=80"`
	// Source is the SHA-256 of the logger's file, by which a file that is read in twice is known.
	Source string      `json:"source" validate:"len=64,hexadecimal,lowercase"`
	Parts  []TracePart `json:"parts" validate:"min=1,max=500,dive"`
}

// TracePart is values at even steps: the first at At (ms since 1970), each other EveryS seconds after the one before, all in tenths of a
// degree C. Parts stand in order of time and do not overlap. A gap is the space between two parts, never a value.
type TracePart struct {
	At     int64 `json:"at" validate:"min=0,max=9007199254740991"`
	EveryS int   `json:"every_s" validate:"min=1,max=86400"`
	DC     []int `json:"dc" validate:"min=1,max=4000,dive,min=-400,max=700"`
}

// MaxTraceValues is the most values that one entry has, in all its parts.
const MaxTraceValues = 4000

// LastAt is when the last value was measured (ms since 1970). Past the largest number that JSON may have it is wrong, but no smaller.
func (p TracePart) LastAt() int64 { return p.At + int64(len(p.DC)-1)*int64(p.EveryS)*1000 }

func (c *crossing) trace(b *Trace) {
	values := 0
	for i, part := range b.Parts {
		values += len(part.DC)
		if i > 0 && part.At <= b.Parts[i-1].LastAt() {
			c.add(Fault{Field: fmt.Sprintf("parts[%d]", i), Code: CodeOverlap, Other: fmt.Sprintf("parts[%d]", i-1)})
		}
	}
	if values > MaxTraceValues {
		c.add(Fault{Field: "parts", Code: CodeTooLong, Value: values, Max: bound(MaxTraceValues), Unit: UnitValues})
	}
}
