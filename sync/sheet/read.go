package sheet

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/unit"
)

// The columns that are read, by the name that cells are asked for.
const (
	colLot       = "lot"
	colBed       = "bed"
	colRow       = "row"
	colAcross    = "across"
	colHead      = "head"
	colHeadA     = "head_a"
	colHeadB     = "head_b"
	colBuds      = "buds"
	colCover     = "root_cover"
	colLife      = "root_life"
	colChlorosis = "chlorosis"
	colDisease   = "disease"
)

var columns = []string{colLot, colBed, colRow, colAcross, colHead, colHeadA, colHeadB, colBuds, colCover, colLife, colChlorosis, colDisease}

// measured are the columns of which a sheet needs one at least.
var measured = []string{colHead, colHeadA, colHeadB, colBuds, colCover, colLife, colChlorosis, colDisease}

// largestFile is where reading stops: no walk makes so many lines.
const largestFile = 200_000

// sheet is what was read: a bed's input by its name.
type sheet struct {
	order   []string
	beds    map[string]schema.BedInput
	ignored []string
	lines   int
	// rules are what lots are graded by, notAsked the lines of the default ones that no column answers.
	rules    []schema.Grade
	notAsked []string
}

// head is a column's index in a line, its name as written and, for head sizes, its unit.
type head struct {
	at   int
	name string
	unit unit.Unit
}

func read(r io.Reader, o Options) (sheet, error) {
	s := sheet{beds: map[string]schema.BedInput{}, ignored: []string{}}
	buffer := bufio.NewReader(r)
	before := 0
	lines, err := opened(buffer, &before)
	if err != nil {
		return s, err
	}
	names, err := lines.Read()
	if errors.Is(err, io.EOF) {
		return s, &FileError{Problems: []Problem{{Line: 1, Says: "the file is empty: give a line of column names, then a line for each pot"}}}
	}
	if err != nil {
		return s, fromCSV(err, before)
	}
	heads, ignored, problems := header(names, o.Units)
	s.ignored = ignored
	rules, notAsked, ungraded := rulesFor(o, heads)
	s.rules, s.notAsked = rules, notAsked
	if problems = append(problems, ungraded...); len(problems) > 0 {
		return s, &FileError{Problems: problems}
	}
	p := parser{heads: heads, width: len(names)}
	for {
		cells, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return s, fromCSV(err, before)
		}
		line, _ := lines.FieldPos(0)
		line += before
		if s.lines++; s.lines > largestFile {
			return s, &FileError{Problems: []Problem{{Line: line, Says: fmt.Sprintf("more than %d lines: split the file by bed", largestFile)}}}
		}
		if blank(cells) {
			s.lines--
			continue
		}
		s.add(p.pot(line, cells))
	}
	if len(p.problems) > 0 {
		return s, &FileError{Problems: p.problems}
	}
	if s.lines == 0 {
		return s, &FileError{Problems: []Problem{{Line: 2, Says: "no line holds a pot: give one line for each pot below the column names"}}}
	}
	return s, nil
}

// opened skips a byte-order mark and a line "sep=;", counting that into before, and finds the separator in the line of names: the
// one of comma, semicolon and tab that is there most often.
func opened(r *bufio.Reader, before *int) (*csv.Reader, error) {
	start, err := r.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, bufio.ErrBufferFull) {
		return nil, err
	}
	if bytes.HasPrefix(start, []byte{0xFF, 0xFE}) || bytes.HasPrefix(start, []byte{0xFE, 0xFF}) || bytes.HasPrefix(start, []byte("PK")) {
		return nil, &FileError{Problems: []Problem{{Line: 1, Says: "this is not plain CSV: save the sheet as CSV UTF-8"}}}
	}
	if rest, marked := bytes.CutPrefix(start, []byte("\xEF\xBB\xBF")); marked {
		start = rest
		if _, err := r.Discard(3); err != nil {
			return nil, err
		}
	}
	first, _, lined := bytes.Cut(start, []byte("\n"))
	if !lined && bytes.ContainsRune(bytes.TrimRight(first, "\r"), '\r') {
		return nil, &FileError{Problems: []Problem{{Line: 1, Says: "lines end in a way of long ago (carriage returns alone): save the sheet as CSV UTF-8"}}}
	}
	// Some spreadsheets put a line before the names that gives the separator.
	if mark := bytes.TrimSpace(first); len(mark) <= 5 && bytes.HasPrefix(bytes.ToLower(mark), []byte("sep=")) {
		if _, err := r.Discard(len(first) + 1); err != nil {
			return nil, err
		}
		first, _, _ = bytes.Cut(start[len(first)+1:], []byte("\n"))
		*before = 1
	}
	lines := csv.NewReader(r)
	lines.FieldsPerRecord = -1
	lines.TrimLeadingSpace = true
	most := 0
	for _, separator := range ",;\t" {
		if n := bytes.Count(first, []byte(string(separator))); n > most {
			lines.Comma, most = separator, n
		}
	}
	return lines, nil
}

// header finds the known columns, whatever their order, spaces and capitals.
func header(names []string, units unit.Unit) (heads map[string]head, ignored []string, problems []Problem) {
	heads, ignored = map[string]head{}, []string{}
	for at, name := range names {
		name = strings.TrimSpace(name)
		column, in := columnOf(name, units)
		if column == "" {
			if name != "" {
				ignored = append(ignored, name)
			}
			continue
		}
		if before, twice := heads[column]; twice {
			problems = append(problems, Problem{1, name, fmt.Sprintf("the column is there twice (as %s too): leave one", before.name)})
			continue
		}
		heads[column] = head{at, name, in}
	}
	_, one := heads[colHead]
	_, a := heads[colHeadA]
	_, b := heads[colHeadB]
	if one && (a || b) {
		problems = append(problems, Problem{1, heads[colHead].name, "one head size or two diameters: leave either this column or head_a and head_b"})
	}
	if !slices.ContainsFunc(measured, func(c string) bool { _, ok := heads[c]; return ok }) {
		problems = append(problems, Problem{Line: 1, Says: "no column to score: name one of head_mm, head_a_mm and head_b_mm, buds, root_cover, root_life, chlorosis, disease in the first line, with commas, semicolons or tabs between names"})
	}
	return heads, ignored, problems
}

func columnOf(name string, units unit.Unit) (column string, in unit.Unit) {
	name = strings.ToLower(strings.ReplaceAll(strings.TrimSpace(name), " ", "_"))
	if slices.Contains(columns, name) {
		return name, units
	}
	stem, suffix := name[:max(0, strings.LastIndex(name, "_"))], name[strings.LastIndex(name, "_")+1:]
	if stem != colHead && stem != colHeadA && stem != colHeadB {
		return "", ""
	}
	switch u := unit.Unit(suffix); u {
	case unit.Millimetre:
		return stem, units
	case unit.Centimetre, unit.Inch:
		return stem, u
	}
	return "", ""
}

func (s *sheet) add(bedName string, p schema.PotSeen) {
	in, known := s.beds[bedName]
	if !known {
		s.order = append(s.order, bedName)
		in.Bed = bedName
	}
	if !slices.ContainsFunc(in.Lots, func(l schema.LotOnBed) bool { return l.Lot == p.Now.Lot }) {
		in.Lots = append(in.Lots, schema.LotOnBed{Lot: p.Now.Lot, FromRow: 1})
	}
	if at := p.Now.Place; at != nil {
		in.Rows, in.Across = max(in.Rows, at.Row), max(in.Across, at.Across)
	}
	in.Pots = append(in.Pots, p)
	s.beds[bedName] = in
}

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" })
}
