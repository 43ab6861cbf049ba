package schema

// TryAsk asks what the plan would say if some lots were planned otherwise. Nothing is written.
type TryAsk struct {
	Lots []TryLot `json:"lots" validate:"min=1,max=100,dive"`
}

// TryLot is a lot as it would be planned: without a value that is left out.
type TryLot struct {
	Lot          string  `json:"lot" validate:"id"`
	ShipWeek     *string `json:"ship_week,omitempty" validate:"omitempty,isoweek"`
	PinPinch     *string `json:"pin_pinch,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PinRegulator *string `json:"pin_regulator,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PinCool      *string `json:"pin_cool,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PinForce     *string `json:"pin_force,omitempty" validate:"omitempty,datetime=2006-01-02"`
}

// TryView is the plan of the lots and of all ship weeks that they are or would be in, as it stands and as it would be.
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
