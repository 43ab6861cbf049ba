package schema

// TryAsk asks what the plan would say if some lots were planned otherwise, or if bookings were entered or changed. Nothing is written.
type TryAsk struct {
	Lots     []TryLot     `json:"lots" validate:"max=100,dive"`
	Bookings []TryBooking `json:"bookings,omitempty" validate:"max=100,dive"`
}

// TryBooking is a booking as it would be: a new one where ID is "", else in the place of that one. It names a lot, or a crop and pot size.
type TryBooking struct {
	ID       string `json:"id,omitempty" validate:"omitempty,id"`
	Lot      string `json:"lot,omitempty" validate:"omitempty,id"`
	Crop     string `json:"crop,omitempty" validate:"max=40"`
	Cultivar string `json:"cultivar,omitempty" validate:"max=60"`
	PotMM    int    `json:"pot_mm,omitempty" validate:"omitempty,min=30,max=600"`
	Grade    string `json:"grade,omitempty" validate:"max=40"`
	Pots     int    `json:"pots" validate:"min=1,max=1000000"`
	ShipWeek string `json:"ship_week,omitempty" validate:"omitempty,isoweek"`
}

// TriedID is the id of a new booking in the weeks of a TryView.
const TriedID = "tried"

// TryLot is a lot as it would be planned: without a value that is left out.
type TryLot struct {
	Lot          string  `json:"lot" validate:"id"`
	ShipWeek     *string `json:"ship_week,omitempty" validate:"omitempty,isoweek"`
	PinPinch     *string `json:"pin_pinch,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PinRegulator *string `json:"pin_regulator,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PinCool      *string `json:"pin_cool,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PinForce     *string `json:"pin_force,omitempty" validate:"omitempty,datetime=2006-01-02"`
}

// TryView is the plan of the lots and of all ship weeks that they or the bookings are or would be in, as it stands and as it would be.
type TryView struct {
	Today string       `json:"today"`
	Lots  []TriedLot   `json:"lots"`
	Now   []SupplyWeek `json:"now"`
	Tried []SupplyWeek `json:"tried"`
}

// TriedLot is one lot's plan as it stands and as it would be.
type TriedLot struct {
	Lot   string   `json:"lot"`
	Now   CropPlan `json:"now"`
	Tried CropPlan `json:"tried"`
}
