package api

import (
	"encoding/csv"
	"errors"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/labstack/echo/v4"

	"bedwalk/schema"
	"bedwalk/server/view"
)

var observationColumns = []string{
	"pot", "seen_at", "seen_from", "seen_to", "time_quality", "house", "bed", "lot", "crop", "cultivar", "scout", "walk",
	"row", "across", "planned", "head_a_mm", "head_b_mm", "height_mm", "buds", "buds_tight", "buds_colour", "buds_candle",
	"buds_open", "tips_bare", "root_cover", "root_life", "scratch", "chlorosis", "severity", "soft_flush", "lower_brown",
	"bypass", "disease", "words", "versions", "struck_out", "struck_out_why",
}

var idForm = regexp.MustCompile(`^[0-9a-f]{32}$`)

// observations is the CSV (RFC 4180) of every pot that was looked at; what was not looked at is empty, never 0.
func (s *server) observations(c echo.Context) error {
	only := view.Filter{Bed: c.QueryParam("bed"), Lot: c.QueryParam("lot"), From: c.QueryParam("from"), To: c.QueryParam("to")}
	for name, id := range map[string]string{"bed": only.Bed, "lot": only.Lot} {
		if id != "" && !idForm.MatchString(id) {
			return schema.NewProblem(http.StatusBadRequest, "parameter", "Parameter "+name+" is "+strconv.Quote(shorten(id))+".", "Give the id of a "+name+", or leave it out for all.")
		}
	}
	for name, day := range map[string]string{"from": only.From, "to": only.To} {
		if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
			return schema.NewProblem(http.StatusBadRequest, "parameter", "Parameter "+name+" is "+strconv.Quote(shorten(day))+".", "Give a day such as 2026-03-14, or leave it out.")
		}
	}
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "text/csv; charset=utf-8; header=present")
	h.Set(echo.HeaderContentDisposition, `attachment; filename="observations.csv"`)
	out := csv.NewWriter(c.Response())
	out.UseCRLF = true
	if err := out.Write(observationColumns); err != nil {
		return err
	}
	control := http.NewResponseController(c.Response())
	err := s.Views.Observations(c.Request().Context(), only, func() error {
		out.Flush()
		if err := control.SetWriteDeadline(time.Now().Add(partWithin)); err != nil && !errors.Is(err, http.ErrNotSupported) {
			return err
		}
		return out.Error()
	}, func(r view.PotRow) error { return out.Write(cells(r)) })
	out.Flush()
	if err = errors.Join(err, out.Error()); err != nil && c.Response().Committed {
		// A table that was begun cannot become an error; a connection that is cut is a download that failed.
		s.Log.Warn("an export was cut short", "error", err)
		panic(http.ErrAbortHandler)
	}
	return err
}

// partWithin is how long a part of a table may be on its way. The whole may take as long as it does.
const partWithin = 2 * time.Minute

func cells(r view.PotRow) []string {
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
		safe(r.ID), instant(stamp.At), instant(stamp.From), instant(stamp.To), string(stamp.Quality), safe(r.House), safe(r.Bed),
		safe(r.LotTag), safe(r.Crop), safe(r.Cultivar), safe(r.Scout), safe(now.Walk), row, across, yes(&now.Planned),
		count(now.HeadAMM), count(now.HeadBMM), count(now.HeightMM), count(now.Buds), count(now.BudsTight), count(now.BudsColour),
		count(now.BudsCandle), count(now.BudsOpen), count(now.TipsBare), count(now.RootCover), count(now.RootLife),
		word(now.Scratch), word(now.Chlorosis), count(now.Severity), yes(now.SoftFlush), yes(now.LowerBrown), count(now.Bypass),
		yes(now.Disease), safe(now.Words), strconv.Itoa(r.Pot.Versions), struck, safe(why),
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
	return safe(*s)
}

// safe keeps a spreadsheet from running what somebody typed as a formula: each sign that begins one gets an apostrophe in
// front, at the start of the text and also where a spreadsheet that splits at semicolons, tabs, bars or line ends
// would begin a cell of it (OWASP, "CSV Injection": = + - @ and their full-width forms, tab, carriage return, line feed,
// and separators and quotes that begin a new cell). Spaces and quotes before the sign change nothing. Where only a
// space stands before the sign, inside a text, it stays: that would change every other comment.
func safe(text string) string {
	var out strings.Builder
	begins := true
	for _, r := range text {
		switch {
		case strings.ContainsRune(",;|\t\r\n", r):
			begins = true
		case begins && strings.ContainsRune("=+-@\uff1d\uff0b\uff0d\uff20", r):
			out.WriteByte('\'')
			begins = false
		case begins && (unicode.IsSpace(r) || unicode.Is(unicode.C, r) || r == '"' || r == '\''):
		default:
			begins = false
		}
		out.WriteRune(r)
	}
	if strings.ContainsAny(text[:min(len(text), 1)], "\t\r\n") {
		return "'" + out.String()
	}
	return out.String()
}
