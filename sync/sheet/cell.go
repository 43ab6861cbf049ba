package sheet

import (
	"encoding/csv"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"bedwalk/schema"
	"bedwalk/sync/unit"
)

// mostProblems is where a list of problems stops: more of them usually have one cause.
const mostProblems = 20

// Problem is one thing in a file that must be corrected first. Column is "" when the whole line is meant.
type Problem struct {
	Line   int    `json:"line"`
	Column string `json:"column,omitempty"`
	Says   string `json:"says"`
}

// FileError is a file that was refused, with all of its problems (the first twenty).
type FileError struct{ Problems []Problem }

// Error lists the problems, one a line.
func (e *FileError) Error() string {
	var all []string
	for _, p := range e.Problems {
		at := fmt.Sprintf("line %d", p.Line)
		if p.Column != "" {
			at += ", column " + p.Column
		}
		all = append(all, at+": "+p.Says)
	}
	return strings.Join(all, "\n")
}

func fromCSV(err error, before int) error {
	var bad *csv.ParseError
	if errors.As(err, &bad) {
		return &FileError{Problems: []Problem{{Line: bad.Line + before, Says: "a quotation mark is open or stands inside a value: close it, or double it"}}}
	}
	return err
}

// limits are those of the phone's own notes, gradeLimits those of a crop's grades.
var (
	limits      = limitsOf(reflect.TypeFor[schema.Observation](), reflect.TypeFor[schema.Place]())
	gradeLimits = limitsOf(reflect.TypeFor[schema.Grade]())
)

func limitsOf(types ...reflect.Type) map[string]schema.Limit {
	all := map[string]schema.Limit{}
	for _, t := range types {
		for _, l := range schema.Limits(t) {
			all[l.Field] = l
		}
	}
	return all
}

// parser turns lines into pots and collects what it cannot read.
type parser struct {
	heads    map[string]head
	width    int
	line     int
	cells    []string
	problems []Problem
}

func (p *parser) wrong(column, format string, a ...any) {
	if len(p.problems) < mostProblems {
		p.problems = append(p.problems, Problem{p.line, column, fmt.Sprintf(format, a...)})
	}
}

// pot reads one line. Its id is the line, padded so that pots sort as they stand in the file.
func (p *parser) pot(line int, cells []string) (bedName string, pot schema.PotSeen) {
	p.line, p.cells = line, cells
	if len(cells) > p.width && !blank(cells[p.width:]) {
		p.wrong("", "%d values below %d column names: where commas separate, put quotation marks round a decimal comma (\"31,5\") or write a point", len(cells), p.width)
		return "", pot
	}
	pot.ID = fmt.Sprintf("line %06d", line)
	o := &pot.Now
	o.Lot = p.name(colLot)
	if row, across := p.count(colRow, "row"), p.count(colAcross, "across"); row != nil && across != nil {
		o.Place = &schema.Place{Row: *row, Across: *across}
	}
	o.HeadAMM, o.HeadBMM = p.size(colHeadA), p.size(colHeadB)
	if one := p.size(colHead); one != nil {
		o.HeadAMM = one
	}
	o.Buds = p.count(colBuds, "buds")
	o.RootCover, o.RootLife = p.count(colCover, "root_cover"), p.count(colLife, "root_life")
	o.Chlorosis, o.Severity = p.chlorosis()
	o.Disease = p.yesNo(colDisease)
	return p.name(colBed), pot
}

// text returns a cell without the spaces around it; "" where the column or the cell is missing.
func (p *parser) text(column string) string {
	h, ok := p.heads[column]
	if !ok || h.at >= len(p.cells) {
		return ""
	}
	return strings.TrimSpace(p.cells[h.at])
}

// name reads a text that is printed again, so it must be valid text in any program.
func (p *parser) name(column string) string {
	text := p.text(column)
	if !utf8.ValidString(text) {
		p.wrong(p.heads[column].name, "%q is not UTF-8: save the sheet as CSV UTF-8", text)
	}
	return text
}

// value is a cell that was filled in: what people write where they did not look counts as empty.
func (p *parser) value(column string) (string, bool) {
	text := p.text(column)
	switch strings.ToLower(text) {
	case "", "-", "na", "n/a", ".":
		return "", false
	}
	return text, true
}

// count reads a whole number within the limits of a note's field.
func (p *parser) count(column, field string) *int {
	text, ok := p.value(column)
	if !ok {
		return nil
	}
	name, l := p.heads[column].name, limits[field]
	n, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSuffix(text, ".0"), ",0"))
	if err != nil {
		p.wrong(name, "%s is not a whole number: give one from %d to %d, or leave the cell empty", quoted(text), *l.Min, *l.Max)
		return nil
	}
	if int64(n) < *l.Min || int64(n) > *l.Max {
		p.wrong(name, "%d is out of range: give a whole number from %d to %d, or leave the cell empty", n, *l.Min, *l.Max)
		return nil
	}
	return &n
}

var finePer = map[unit.Unit]int64{unit.Millimetre: fine, unit.Centimetre: 10 * fine, unit.Inch: 254 * fine / 10}

// size reads a head size in its column's unit, in thousandths of a millimetre.
func (p *parser) size(column string) *int {
	text, ok := p.value(column)
	if !ok {
		return nil
	}
	h, l := p.heads[column], limits["head_a_mm"]
	d, err := unit.Parse(text)
	if err != nil {
		p.wrong(h.name, "%s: %v", quoted(text), err)
		return nil
	}
	ten := int64(1)
	for range d.Places {
		ten *= 10
	}
	n := int(unit.RoundHalfUp(d.Digits*finePer[h.unit], ten))
	if low, high := int(*l.Min)*fine, int(*l.Max)*fine; n < low || n > high {
		from, _ := unit.Show(*l.Min, h.unit, ".")
		to, _ := unit.Show(*l.Max, h.unit, ".")
		p.wrong(h.name, "%s %s is no head size: give %s to %s %s, or say another unit (--units)", text, h.unit, from, to, h.unit)
		return nil
	}
	return &n
}

// The words for yes and no, in both languages of the crews, as spreadsheets and people write them.
var (
	yesWords = []string{"yes", "y", "true", "1", "x", "sí", "si", "s", "verdadero"}
	noWords  = []string{"no", "n", "false", "0", "none", "falso"}
)

// yesNo reads whether something was seen; an empty cell says that nobody looked.
func (p *parser) yesNo(column string) *bool {
	text, ok := p.value(column)
	if !ok {
		return nil
	}
	word := strings.ToLower(text)
	is := slices.Contains(yesWords, word)
	if !is && !slices.Contains(noWords, word) {
		p.wrong(p.heads[column].name, "%s is not known: give yes or no, or leave the cell empty where nobody looked", quoted(text))
		return nil
	}
	return &is
}

// chlorosis reads which leaves (none, young, old, whole) or a severity from 0 to 4; a severity above 0 does not say which
// leaves, and counts as the whole plant.
func (p *parser) chlorosis() (which *string, severity *int) {
	text, ok := p.value(colChlorosis)
	if !ok {
		return nil, nil
	}
	word := strings.ToLower(text)
	for _, known := range limits["chlorosis"].OneOf {
		if word == known {
			return &word, nil
		}
	}
	if n, err := strconv.Atoi(text); err == nil && n >= 0 && int64(n) <= *limits["severity"].Max {
		word = "none"
		if n > 0 {
			word = "whole"
		}
		return &word, &n
	}
	p.wrong(p.heads[colChlorosis].name, "%s is not known: give %s, or a severity from 0 to %d", quoted(text), strings.Join(limits["chlorosis"].OneOf, ", "), *limits["severity"].Max)
	return nil, nil
}

// quoted shows a cell, cut to what fits a line.
func quoted(text string) string {
	if letters := []rune(text); len(letters) > 30 {
		text = string(letters[:30]) + "…"
	}
	return strconv.Quote(text)
}
