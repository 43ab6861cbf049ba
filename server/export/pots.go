package export

import (
	"strconv"
	"strings"
	"time"

	"bedwalk/server/view"
)

// PotColumns are the columns of the table of pots.
var PotColumns = []string{
	"pot", "seen_at", "seen_from", "seen_to", "time_quality", "house", "bed", "lot", "crop", "cultivar", "scout", "walk",
	"row", "across", "planned", "head_a_mm", "head_b_mm", "height_mm", "buds", "buds_tight", "buds_colour", "buds_candle",
	"buds_open", "tips_bare", "root_cover", "root_life", "scratch", "chlorosis", "severity", "soft_flush", "lower_brown",
	"bypass", "disease", "words", "versions", "struck_out", "struck_out_why",
}

// PotCells is a pot's row; what was not looked at is empty, never 0.
func PotCells(r view.PotRow) []string {
	now, stamp := r.Pot.Now, r.Pot.First.Stamp
	row, across := "", ""
	if now.Place != nil {
		row, across = strconv.Itoa(now.Place.Row), strconv.Itoa(now.Place.Across)
	}
	instant := func(ms int64) string { return time.UnixMilli(ms).In(r.Seen.Location()).Format(time.RFC3339) }
	struck, why := "", ""
	if v := r.Pot.Voided; v != nil {
		struck, why = "yes", strings.TrimSpace(v.Why+" "+v.Words)
	}
	return []string{
		Cell(r.ID), instant(stamp.At), instant(stamp.From), instant(stamp.To), string(stamp.Quality), Cell(r.House), Cell(r.Bed),
		Cell(r.LotTag), Cell(r.Crop), Cell(r.Cultivar), Cell(r.Scout), Cell(now.Walk), row, across, yes(&now.Planned),
		count(now.HeadAMM), count(now.HeadBMM), count(now.HeightMM), count(now.Buds), count(now.BudsTight), count(now.BudsColour),
		count(now.BudsCandle), count(now.BudsOpen), count(now.TipsBare), count(now.RootCover), count(now.RootLife),
		word(now.Scratch), word(now.Chlorosis), count(now.Severity), yes(now.SoftFlush), yes(now.LowerBrown), count(now.Bypass),
		yes(now.Disease), Cell(now.Words), strconv.Itoa(r.Pot.Versions), struck, Cell(why),
	}
}

func count(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

func yes(b *bool) string {
	switch {
	case b == nil:
		return ""
	case *b:
		return "yes"
	}
	return "no"
}

func word(s *string) string {
	if s == nil {
		return ""
	}
	return Cell(*s)
}
