package schema

import (
	"crypto/sha256"
	"fmt"
)

// Count is one line of a lot's stock ledger: a change of so many pots, for a reason. Span says on which stretch of
// which bed, and is left out for pots that stand on no bed. An opening count is of pots that stood there before there were
// records of them; struck are cuttings stuck that were taken from another lot (see Event.To), returned are pots that came back after they were shipped.
type Count struct {
	Lot    string `json:"lot" validate:"id"`
	Span   string `json:"span,omitempty" validate:"omitempty,id"`
	Change int    `json:"change" validate:"required,min=-1000000,max=1000000"`
	Reason string `json:"reason" validate:"oneof=opening potted received found struck returned lost_root lost_disease lost_pest lost_dry lost_cold culled sold shipped other"`
	Words  string `json:"words,omitempty" validate:"max=400"`
}

// Recount is a counted number of pots, and Basis what the counter already knew: for each "device.incarnation" the
// last sequence whose changes were in the count. The record is the count plus each change outside the basis.
type Recount struct {
	Lot     string           `json:"lot" validate:"id"`
	Span    string           `json:"span,omitempty" validate:"omitempty,id"`
	Counted int              `json:"counted" validate:"min=0,max=1000000"`
	Basis   map[string]int64 `json:"basis" validate:"max=1000,dive,keys,devicekey,endkeys,min=0,max=9007199254740991"`
}

// Move carries pots between stretches of beds or between lots in one entry, all legs together. Counted in plants they sum to zero: three
// liners make one pot of three. The ledger is in pots, so that a build that does not know PlantsEach makes the same records.
type Move struct {
	Legs  []Leg  `json:"legs" validate:"min=2,max=16,dive"`
	Why   string `json:"why" validate:"oneof=moved step_up split merged"`
	Words string `json:"words,omitempty" validate:"max=400"`
}

// Leg is one side of a move.
type Leg struct {
	Lot    string `json:"lot" validate:"id"`
	Span   string `json:"span,omitempty" validate:"omitempty,id"`
	Change int    `json:"change" validate:"required,min=-1000000,max=1000000"`
	// PlantsEach is how many plants grow in each of these pots; left out it is one.
	PlantsEach *int `json:"plants_each,omitempty" validate:"omitempty,min=1,max=20"`
}

// Plants are the plants that the leg carries, with its sign.
func (l Leg) Plants() int {
	if l.PlantsEach == nil {
		return l.Change
	}
	return l.Change * *l.PlantsEach
}

// Event is something done to a lot, on a day.
type Event struct {
	Lot string `json:"lot" validate:"id"`
	// What was done. Pulling bypass shoots is no clip: it starts no new growth and leaves the regulator's day as it is. Buds that were seen
	// ready open the way into the cooler (see Gate). A lot held over is grown on for another season: its yearly steps begin again. Cuttings
	// taken leave the lot's own plants where they are.
	What string `json:"what" validate:"oneof=stuck rooted potted stepped_up clipped pinched bypass_pulled buds_ready hardened into_cooler out_of_cooler into_forcing held_over cuttings_taken shipped"`
	On   string `json:"on" validate:"datetime=2006-01-02"`
	// Task is the task that was done with it, where it was ticked in the work list.
	Task string `json:"task,omitempty" validate:"omitempty,id"`
	// Last says of a clip or a pinch that it was the lot's last one.
	Last bool `json:"last,omitempty"`
	// House is the cooler that the lot went into.
	House string `json:"house,omitempty" validate:"omitempty,id"`
	// Cuttings is how many cuttings were taken, To the lot that they were stuck as.
	Cuttings *int   `json:"cuttings,omitempty" validate:"omitempty,min=1,max=1000000"`
	To       string `json:"to,omitempty" validate:"omitempty,id"`
	Words    string `json:"words,omitempty" validate:"max=400"`
}

// Application is a growth regulator or other product put on. The label's own entry interval closes the beds named
// until it ends. Bedwalk gives no rate: the label decides.
type Application struct {
	Lot     string   `json:"lot,omitempty" validate:"omitempty,id"`
	Beds    []string `json:"beds" validate:"min=1,max=100,dive,id"`
	Purpose string   `json:"purpose" validate:"oneof=growth_regulator fungicide insecticide other"`
	Active  string   `json:"active" validate:"required,max=80"`
	Product string   `json:"product,omitempty" validate:"max=80"`
	// Lots are those of the beds that it was put on; left out where nobody said which, and then it was put on all of them.
	Lots []string `json:"lots,omitempty" validate:"omitempty,max=200,dive,id"`
	// StartedAt is when the work began and EndedAt when it ended (ms since 1970), EntryHours the interval printed on the label.
	StartedAt  int64 `json:"started_at,omitempty" validate:"omitempty,min=0,max=9007199254740991"`
	EndedAt    int64 `json:"ended_at" validate:"min=0,max=9007199254740991"`
	EntryHours int   `json:"entry_hours" validate:"min=0,max=2000"`
	// RegNo is the registration number on the label, Amount how much was put on, as its writer says it.
	RegNo  string `json:"reg_no,omitempty" validate:"max=40"`
	Amount string `json:"amount,omitempty" validate:"max=80"`
	Words  string `json:"words,omitempty" validate:"max=400"`
}

// Reading is what an instrument showed. House is set where it is of the whole house, as of a cooler.
type Reading struct {
	Lot   string `json:"lot,omitempty" validate:"omitempty,id"`
	Bed   string `json:"bed,omitempty" validate:"omitempty,id"`
	House string `json:"house,omitempty" validate:"omitempty,id"`
	// PHC is pH in hundredths, ECUSCM electrical conductivity in microsiemens per centimetre by Method, LightUmol
	// photon flux in micromol per square metre and second, TempDC and MediumDC tenths of a degree Celsius.
	PHC       *int   `json:"ph_c,omitempty" validate:"omitempty,min=0,max=1400"`
	ECUSCM    *int   `json:"ec_us_cm,omitempty" validate:"omitempty,min=0,max=50000"`
	Method    string `json:"method,omitempty" validate:"omitempty,oneof=pour_through saturated one_to_two direct"`
	LightUmol *int   `json:"light_umol,omitempty" validate:"omitempty,min=0,max=4000"`
	// LightFC is what a light meter showed in foot-candles, LightBy what shone: the photon flux follows from both, and is not written down.
	LightFC  *int   `json:"light_fc,omitempty" validate:"omitempty,min=0,max=20000"`
	LightBy  string `json:"light_by,omitempty" validate:"omitempty,oneof=sun blue_sky cool_white high_pressure_sodium metal_halide incandescent led"`
	TempDC   *int   `json:"temp_dc,omitempty" validate:"omitempty,min=-400,max=700"`
	MediumDC *int   `json:"medium_dc,omitempty" validate:"omitempty,min=-400,max=700"`
	HumidBP  *int   `json:"humid_bp,omitempty" validate:"omitempty,min=0,max=10000"`
	Words    string `json:"words,omitempty" validate:"max=400"`
}

// Rooting counts cuttings: how many were stuck, how many have rooted.
type Rooting struct {
	Lot    string `json:"lot" validate:"id"`
	Struck int    `json:"struck" validate:"min=1,max=1000000"`
	Rooted int    `json:"rooted" validate:"min=0,max=1000000"`
	On     string `json:"on" validate:"datetime=2006-01-02"`
	Words  string `json:"words,omitempty" validate:"max=400"`
}

// Note is free words about a bed, a lot or the day.
type Note struct {
	Lot   string `json:"lot,omitempty" validate:"omitempty,id"`
	Bed   string `json:"bed,omitempty" validate:"omitempty,id"`
	Words string `json:"words" validate:"required,max=4000"`
	// Import is set on the note of a sheet that was brought in.
	Import *Import `json:"import,omitempty"`
}

// Import names the notes of one sheet that was brought in, so that they can be struck out together: the ids are computed from ID and the
// numbers 0 to Notes - 1 (importedId on the phone).
type Import struct {
	ID    string `json:"id" validate:"id"`
	Notes int    `json:"notes" validate:"min=1,max=20000"`
}

// NoteID is the id of the nth note of the sheet: the first 16 bytes of SHA-256 over ID, a space and the number, in hexadecimal digits.
func (i Import) NoteID(n int) string {
	hash := sha256.Sum256(fmt.Appendf(nil, "%s %d", i.ID, n))
	return fmt.Sprintf("%x", hash[:16])
}

// Photo refers to a picture by the SHA-256 of its bytes; the note is good before the picture has arrived.
type Photo struct {
	Lot    string `json:"lot,omitempty" validate:"omitempty,id"`
	Bed    string `json:"bed,omitempty" validate:"omitempty,id"`
	Pot    string `json:"pot,omitempty" validate:"omitempty,id"`
	Hash   string `json:"hash" validate:"len=64,hexadecimal,lowercase"`
	Bytes  int    `json:"bytes" validate:"min=1,max=20000000"`
	WidePX int    `json:"wide_px" validate:"min=1,max=20000"`
	HighPX int    `json:"high_px" validate:"min=1,max=20000"`
	Type   string `json:"type" validate:"oneof=image/jpeg image/png image/webp"`
	Words  string `json:"words,omitempty" validate:"max=400"`
	// Head is what the picture says of the pot's head. It is an estimate: no uniformity, grade or promise uses it.
	Head *PhotoHead `json:"head,omitempty"`
}

// PhotoHead is a head's diameter, estimated from a picture of it with a printed card on top: of 100 such, 95 should lie within
// WithinMM of DiameterMM. DropMM is how far the widest leaves were below the card, CodeMM the side of the card's code, both as entered.
type PhotoHead struct {
	DiameterMM int `json:"diameter_mm" validate:"min=5,max=2000"`
	WithinMM   int `json:"within_mm" validate:"min=1,max=400"`
	DropMM     int `json:"drop_mm" validate:"min=0,max=1000"`
	CodeMM     int `json:"code_mm" validate:"min=8,max=240"`
}
