package schema

import (
	"strconv"
	"strings"
)

// saying is how messages speak of a field: its name at the start of a sentence, what to enter, and, for a field that
// may be left out, when that is right ("measured": leave it out when it was not measured).
type saying struct{ Name, Enter, unless string }

func (s saying) orLeave() string {
	if s.unless == "" {
		return ""
	}
	return ", or leave it out when it was not " + s.unless
}

// saidOf finds the saying of a field by the end of its path: the last two names first ("place.across"), then the last.
func saidOf(path string) saying {
	names := strings.Split(anyElement(path), ".")
	for i := range names {
		names[i] = strings.TrimSuffix(names[i], "[]")
	}
	last := names[len(names)-1]
	if len(names) > 1 {
		if s, ok := sayings[names[len(names)-2]+"."+last]; ok {
			return s
		}
	}
	if s, ok := sayings[last]; ok {
		return s
	}
	return saying{"The field " + strconv.Quote(shorten(last)), "another value", ""}
}

var sayings = map[string]saying{
	"id":      {"The entry's id", "32 random characters of 0-9 and a-f", ""},
	"device":  {"The device", "the id that the server gave this device", ""},
	"inc":     {"The incarnation", "the incarnation that the server gave this device", ""},
	"seq":     {"The sequence number", "the next number after the entry before", ""},
	"v":       {"The schema version", "the version that the entry was written in", ""},
	"kind":    {"The kind of entry", "what the entry is", ""},
	"session": {"The session", "the device's session", ""},
	"body":    {"The body", "the fields of the entry's kind", ""},
	"code":    {"The pairing code", "the code from the link or the QR code", ""},
	"epoch":   {"The epoch", "the epoch that the server last sent", ""},
	"entries": {"The list of entries", "the entries of the batch", ""},
	"chain":   {"The chain hash", "the hash of the entry before the batch", ""},
	"settles": {"The list of versions settled", "the ids of the versions that were shown beside it", ""},

	"head_a_mm":   {"A head", "the head size in millimetres", "measured"},
	"head_b_mm":   {"A head", "the second head size, at right angles to the first, in millimetres", "measured"},
	"height_mm":   {"A height", "the height above the rim in millimetres", "measured"},
	"buds":        {"A bud count", "the number of budded tips", "counted"},
	"buds_tight":  {"A count of tight buds", "the number of tight buds", "counted"},
	"buds_colour": {"A count of buds showing colour", "the number of buds showing colour", "counted"},
	"buds_candle": {"A count of candle buds", "the number of buds at the candle", "counted"},
	"buds_open":   {"A count of open buds", "the number of open buds", "counted"},
	"tips_bare":   {"A count of bare tips", "the number of tips without a bud", "counted"},
	"root_cover":  {"A root cover", "a class from 0 (no roots at the wall) to 5 (the whole ball)", "looked at"},
	"root_life":   {"A root life", "a class from 1 (dead) to 5 (all live)", "looked at"},
	"scratch":     {"A scratch test", "the result of the scratch test", "done"},
	"chlorosis":   {"A chlorosis answer", "which leaves are yellow", "looked at"},
	"severity":    {"A chlorosis severity", "a class from 0 to 4", "judged"},
	"bypass":      {"A count of bypass shoots", "the number of bypass shoots", "counted"},
	"soft_flush":  {"The soft flush answer", "true or false", "looked at"},
	"lower_brown": {"The lower-leaf answer", "true or false", "looked at"},
	"disease":     {"The disease answer", "true or false", "looked at"},

	"lot":              {"The lot", "the lot by its id, from the list of lots", ""},
	"bed":              {"The bed", "the bed by its id, from the list of beds", ""},
	"walk":             {"The walk", "the id of the walk that this belongs to", ""},
	"span":             {"The stretch of bed", "the id of the lot's stretch of the bed", ""},
	"house":            {"The house", "the house by its id, from the list of houses", ""},
	"person":           {"The person", "the id of the person who writes", ""},
	"round":            {"The re-score round", "the id of the round", ""},
	"of":               {"The id of the thing written about", "its id", ""},
	"saw":              {"The list of writes seen", "the ids of the writes that were shown", ""},
	"names":            {"The entry meant", "the id of the entry to strike out or take back", ""},
	"records":          {"The list of records", "the keys of the records that the entry had a part in", ""},
	"pot":              {"The pot", "the id of the first note of the pot", ""},
	"replaces":         {"The version replaced", "the id of the version that was shown", ""},
	"now":              {"The corrected note", "the pot as it should have been written", ""},
	"place":            {"The place", "the row and the place across", "known"},
	"places":           {"The list of places", "the places of the pots to look at", ""},
	"place.row":        {"A row", "the row counted from the entry end", ""},
	"place.across":     {"A place across", "the place counted from the near aisle", ""},
	"places.row":       {"A row", "the row counted from the entry end", ""},
	"places.across":    {"A place across", "the place counted from the near aisle", ""},
	"planned":          {"The number of pots planned", "how many pots the walk asks for", ""},
	"seed":             {"The walk's seed", "the number that the plan was drawn with", ""},
	"why":              {"The reason", "the reason", ""},
	"reason":           {"The reason", "the reason", ""},
	"what":             {"The event", "what was done", ""},
	"words":            {"The text", "the words", ""},
	"name":             {"The name", "a name", ""},
	"note":             {"The note", "a few words", ""},
	"role":             {"The role", "scout, supervisor or owner", ""},
	"time_zone":        {"The time zone", "the nursery's time zone", "known"},
	"length_mm":        {"A length", "the length in millimetres", "measured"},
	"width_mm":         {"A width", "the width in millimetres", "measured"},
	"rows":             {"A number of rows", "how many rows of pots stand along the bed", "counted"},
	"across":           {"A number of pots across", "how many pots stand side by side", "counted"},
	"entry_end":        {"The name of the entry end", "what the crew call it", ""},
	"far_end":          {"The name of the far end", "what the crew call it", ""},
	"aisles":           {"The answer on aisles", "near, far or both", "known"},
	"near_side":        {"The name of the near side", "what the crew call it", ""},
	"far_side":         {"The name of the far side", "what the crew call it", ""},
	"from_row":         {"A first row", "the first row of the stretch, counted from the entry end", ""},
	"to_row":           {"A last row", "the last row of the stretch, counted from the entry end", ""},
	"tag":              {"The tag code", "the code as it stands on the tag", ""},
	"crop":             {"The crop", "the crop's name", ""},
	"cultivar":         {"The cultivar", "the cultivar's name", "known"},
	"pot_mm":           {"A pot size", "the pot's top diameter in millimetres", "known"},
	"struck_on":        {"The date of sticking", "the day the cuttings were stuck", "known"},
	"potted_on":        {"The potting date", "the day of potting", "known"},
	"shipped_on":       {"The shipping date", "the day of shipping", "known"},
	"on":               {"The day", "the day it was done", ""},
	"origin":           {"The origin", "where the lot came from", "known"},
	"parent":           {"The parent lot", "the lot that this one came from", "known"},
	"mother":           {"The mother lot", "the lot that its cuttings were taken from", "known"},
	"plants_each":      {"A number of plants in a pot", "how many plants grow in each pot", "known"},
	"cuttings":         {"A number of cuttings", "how many cuttings were taken", ""},
	"to":               {"The lot of the cuttings", "the lot that the cuttings were stuck as", ""},
	"lots":             {"The list of lots", "the lots that it was put on", ""},
	"started_at":       {"The beginning of the work", "when the work began", "known"},
	"ship_week":        {"The ship week", "the week it ships", "known"},
	"route":            {"The route", "florist or nursery", "decided"},
	"grades":           {"The list of grades", "the grades, best first", ""},
	"min_pots":         {"A smallest walk", "the least number of pots in a walk", ""},
	"max_pots":         {"A largest walk", "the largest number of pots in a walk", ""},
	"trouble_ok_bp":    {"The share that is fine", "the share that is fine", ""},
	"trouble_bad_bp":   {"The share that is trouble", "the share that is trouble", ""},
	"head_min_mm":      {"A smallest head", "the smallest head in millimetres", ""},
	"head_max_mm":      {"A largest head", "the largest head in millimetres", ""},
	"targets":          {"The list of target heads", "a row a day since the last pinch, the days of a pot size rising", ""},
	"shortest_days":    {"The days of the quickest lot", "how many days the quickest of ten lots takes", ""},
	"likely_days":      {"The days of the middle lot", "how many days the middle one of ten lots takes", ""},
	"longest_days":     {"The days of the slowest lot", "how many days the slowest of ten lots takes", ""},
	"sizes":            {"The list of pot sizes", "a line a stage and pot size", ""},
	"targets.day":      {"A day of the target band", "the days since the last pinch", ""},
	"low_mm":           {"A smallest target head", "the smallest mean head wanted on that day, in millimetres", ""},
	"high_mm":          {"A largest target head", "the largest mean head wanted on that day, in millimetres", ""},
	"grade":            {"The grade", "the grade's name", "agreed"},
	"pots":             {"A number of pots", "how many pots", "agreed"},
	"buyer":            {"The buyer", "the buyer's name", "known"},
	"change":           {"A change", "how many pots came (above 0) or went (below 0)", ""},
	"counted":          {"A pot count", "the number of pots counted, 0 or more", ""},
	"basis":            {"The basis of the count", "what the counter's phone already knew", ""},
	"legs":             {"The list of legs", "every lot and stretch that pots went from or to", ""},
	"beds":             {"The list of beds", "the beds treated", ""},
	"purpose":          {"The purpose", "what it was put on for", ""},
	"active":           {"The active ingredient", "the active ingredient as on the label", ""},
	"product":          {"The product", "the product's name", "known"},
	"ended_at":         {"The end of the work", "when the work ended", ""},
	"entry_hours":      {"An entry interval", "the hours printed on the label", ""},
	"ph_c":             {"A pH", "the pH", "measured"},
	"ec_us_cm":         {"A conductivity", "the conductivity in microsiemens per centimetre", "measured"},
	"method":           {"The method", "how the conductivity was measured", "known"},
	"light_umol":       {"A light reading", "the photon flux", "measured"},
	"light_fc":         {"A light reading", "the foot-candles that the meter showed", "measured"},
	"temp_dc":          {"An air temperature", "the air temperature", "measured"},
	"medium_dc":        {"A medium temperature", "the temperature of the medium", "measured"},
	"humid_bp":         {"A humidity", "the relative humidity", "measured"},
	"struck":           {"A number of cuttings stuck", "how many cuttings were stuck", ""},
	"rooted":           {"A number of rooted cuttings", "how many cuttings have rooted", ""},
	"hash":             {"The picture's hash", "the SHA-256 of the picture's bytes", ""},
	"bytes":            {"A picture", "a smaller picture", ""},
	"wide_px":          {"A picture's width", "a smaller picture", ""},
	"high_px":          {"A picture's height", "a smaller picture", ""},
	"head.diameter_mm": {"A head in a picture", "its diameter in millimetres", "estimated"},
	"head.within_mm":   {"The uncertainty of a head in a picture", "how far its diameter may be out, in millimetres", ""},
	"head.drop_mm":     {"The drop to the widest leaves", "how far they are below the card, in millimetres", ""},
	"head.code_mm":     {"The side of the card's code", "its side in millimetres", ""},
	"step":             {"The step", "the step of the lot's plan", ""},
	"of_crop":          {"The crop", "the name of the crop that the cultivar is of", "known"},
	"from_on":          {"The first day", "the first day on which it is to be done", "agreed"},
	"due_on":           {"The last day", "the last day on which it is to be done", "agreed"},
	"done_on":          {"The day it was done", "the day it was done", "done"},
	"done_by":          {"Who did it", "the person who did it", "done"},
	"about":            {"What it is about", "what it is about", ""},
	"settled":          {"Settled", "whether it is settled", "settled"},
	"snoozed_to":       {"The day it comes back", "the day on which it comes back", "chosen"},
	"found_at":         {"The time of the walk", "when the walk was that had found it", ""},
	"extent":           {"How bad it was", "how bad it was", "known"},
	"task":             {"The task", "the id of the task", ""},
	"source":           {"The fingerprint of the logger's file", "the SHA-256 of the file's bytes", ""},
	"spot":             {"The spot", "where in the house the logger hangs", "known"},
	"parts":            {"The list of parts", "the logger's values in order of time, in parts with even steps", ""},
	"at":               {"The time of a first value", "when the first value of the part was measured", ""},
	"every_s":          {"A step", "the seconds from one value to the next", ""},
	"dc":               {"A logger's temperature", "the temperature in tenths of a degree Celsius", ""},
	"type":             {"The picture's type", "a JPEG, PNG or WebP picture", ""},
}

// unit is how a scaled whole number is shown to people: divided by scale, with its sign behind it.
type unit struct {
	scale float64
	sign  string
}

var units = map[Unit]unit{
	"": {1, ""}, UnitMM: {1, " mm"}, UnitBP: {100, " %"}, UnitDC: {10, " °C"}, UnitPHC: {100, ""}, UnitMicrosiemen: {1, " µS/cm"},
	UnitMicromol: {1, " µmol/m²/s"}, UnitPixels: {1, " pixels"}, UnitHours: {1, " hours"}, UnitDays: {1, " days"}, UnitBytes: {1, " bytes"},
	UnitCharacters: {1, " characters"}, UnitItems: {1, " items"}, UnitNotes: {1, " notes"}, UnitSeconds: {1, " seconds"}, UnitValues: {1, " values"},
}

// unitOf reads the unit that a field's name ends in.
func unitOf(path string) Unit {
	path = "_" + lastName(path)
	for _, known := range []struct {
		ending string
		unit   Unit
	}{
		{"_us_cm", UnitMicrosiemen}, {"_umol", UnitMicromol}, {"_mm", UnitMM}, {"_bp", UnitBP}, {"_dc", UnitDC}, {"ph_c", UnitPHC},
		{"_px", UnitPixels}, {"_hours", UnitHours}, {"_days", UnitDays}, {"_s", UnitSeconds}, {"bytes", UnitBytes},
	} {
		if strings.HasSuffix(path, known.ending) {
			return known.unit
		}
	}
	return ""
}

func (u unit) number(value float64) string { return strconv.FormatFloat(value/u.scale, 'f', -1, 64) }

func (u unit) show(value float64) string { return u.number(value) + u.sign }
