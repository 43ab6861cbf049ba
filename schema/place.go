package schema

// Writes opens the body of every register entry: the thing it writes about, and the entries whose values the writer
// saw on the fields it sets. A value stays live until an entry that saw it writes the same field. Fields left out are
// left as they are; a field set to null is emptied.
type Writes struct {
	Of  string   `json:"of" validate:"id"`
	Saw []string `json:"saw,omitempty" validate:"max=200,dive,id"`
}

// Site is the nursery.
type Site struct {
	Writes
	Name     *string `json:"name,omitempty" validate:"omitempty,min=1,max=80"`
	TimeZone *string `json:"time_zone,omitempty" validate:"omitempty,timezone"`
	// Workdays are the weekdays on which people work (1 Monday to 7 Sunday), Holidays the days on which they do not.
	Workdays *[]int     `json:"workdays,omitempty" validate:"omitempty,min=1,max=7,dive,min=1,max=7"`
	Holidays *[]Holiday `json:"holidays,omitempty" validate:"omitempty,max=200,dive"`
	// ShipWeekday is the day of a ship week by whose end its pots must be ready; Monday while nobody has said.
	ShipWeekday *int `json:"ship_weekday,omitempty" validate:"omitempty,min=1,max=7"`
	// PaceBP is the standard deviation, on the scale of ln days in ten-thousandths, by which one spring stretches or shortens what all lots have still to
	// come; 500 while nobody has said.
	PaceBP *int `json:"pace_bp,omitempty" validate:"omitempty,min=0,max=5000"`
	// Currency is that of every price and cost, all of them in hundredths; WageCHour is what an hour of work costs, SpaceCM2Week what a square
	// metre of bench costs a week.
	Currency     *string `json:"currency,omitempty" validate:"omitempty,oneof=USD CAD MXN EUR GBP CHF DKK SEK NOK PLN CZK AUD NZD ZAR BRL COP"`
	WageCHour    *int    `json:"wage_c_hour,omitempty" validate:"omitempty,min=0,max=10000000"`
	SpaceCM2Week *int    `json:"space_c_m2_week,omitempty" validate:"omitempty,min=0,max=10000000"`
}

// Holiday is a day on which nobody works.
type Holiday struct {
	On   string `json:"on" validate:"datetime=2006-01-02"`
	Name string `json:"name" validate:"required,max=60"`
}

// House is one greenhouse, drawn to scale.
type House struct {
	Writes
	Name     *string `json:"name,omitempty" validate:"omitempty,min=1,max=80"`
	Note     *string `json:"note,omitempty" validate:"omitempty,max=200"`
	LengthMM *int    `json:"length_mm,omitempty" validate:"omitempty,min=1000,max=500000"`
	WidthMM  *int    `json:"width_mm,omitempty" validate:"omitempty,min=1000,max=200000"`
	Order    *int    `json:"order,omitempty" validate:"omitempty,min=0,max=10000"`
	// Use is what the house is for; growing while nobody has said.
	Use *string `json:"use,omitempty" validate:"omitempty,oneof=growing cooler mist outdoors"`
	// BandLowDC and BandHighDC are the temperatures between which a cooler's cold counts, both included (tenths of a degree C).
	BandLowDC  *int `json:"band_low_dc,omitempty" validate:"omitempty,min=-50,max=200"`
	BandHighDC *int `json:"band_high_dc,omitempty" validate:"omitempty,min=-50,max=200"`
	// Retired is set when the house is no longer used; its beds keep their past.
	Retired *bool `json:"retired,omitempty"`
}

// Bed is one bed or bench: Rows along its length, each Across pots wide. Row 1 is at the entry end. X and Y place the
// bed's entry-end, aisle-side corner in its house.
type Bed struct {
	Writes
	House    *string `json:"house,omitempty" validate:"omitempty,id"`
	Name     *string `json:"name,omitempty" validate:"omitempty,min=1,max=40"`
	LengthMM *int    `json:"length_mm,omitempty" validate:"omitempty,min=500,max=200000"`
	WidthMM  *int    `json:"width_mm,omitempty" validate:"omitempty,min=200,max=20000"`
	Rows     *int    `json:"rows,omitempty" validate:"omitempty,min=1,max=2000"`
	Across   *int    `json:"across,omitempty" validate:"omitempty,min=1,max=100"`
	// EntryEnd and FarEnd are what the crew call the two ends ("door", "fan").
	EntryEnd *string `json:"entry_end,omitempty" validate:"omitempty,min=1,max=40"`
	FarEnd   *string `json:"far_end,omitempty" validate:"omitempty,min=1,max=40"`
	// Aisles says on which sides one can walk: "near", "far" or "both"; across is counted from the near side. The near side is
	// the one on the right hand of somebody who walks in from the entry end: every strip shows it so, entry end left, near at the foot.
	Aisles *string `json:"aisles,omitempty" validate:"omitempty,oneof=near far both"`
	// NearSide and FarSide are what the crew call the two long sides ("path side", "wall side").
	NearSide *string `json:"near_side,omitempty" validate:"omitempty,min=1,max=40"`
	FarSide  *string `json:"far_side,omitempty" validate:"omitempty,min=1,max=40"`
	XMM      *int    `json:"x_mm,omitempty" validate:"omitempty,min=0,max=500000"`
	YMM      *int    `json:"y_mm,omitempty" validate:"omitempty,min=0,max=200000"`
	Order    *int    `json:"order,omitempty" validate:"omitempty,min=0,max=10000"`
	// Retired is set when the bed is no longer used. A retired bed on which a lot stands all the same is shown like any other.
	Retired *bool `json:"retired,omitempty"`
}

// Span is the stretch of a bed that one lot stands on, from row FromRow to row ToRow, both included. How many pots
// stand there is kept in the stock ledger under the span's id.
type Span struct {
	Writes
	Lot     *string `json:"lot,omitempty" validate:"omitempty,id"`
	Bed     *string `json:"bed,omitempty" validate:"omitempty,id"`
	FromRow *int    `json:"from_row,omitempty" validate:"omitempty,min=1,max=2000"`
	ToRow   *int    `json:"to_row,omitempty" validate:"omitempty,min=1,max=2000"`
	// Ended is set when the lot has left this stretch.
	Ended *bool `json:"ended,omitempty"`
}

// Person is somebody who writes notes.
type Person struct {
	Writes
	Name *string `json:"name,omitempty" validate:"omitempty,min=1,max=80"`
	Role *string `json:"role,omitempty" validate:"omitempty,oneof=scout supervisor owner"`
	Left *bool   `json:"left,omitempty"`
	// Houses are those that a scout walks, and of which the scout's phone has the notes; empty for all of them.
	Houses *[]string `json:"houses,omitempty" validate:"omitempty,max=100,dive,id"`
}
