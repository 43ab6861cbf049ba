package sheet_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"bedwalk/sync/sheet"
	"bedwalk/sync/unit"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden files again")

func golden(t *testing.T, name string, have []byte) {
	t.Helper()
	path := "testdata/" + name
	if *update {
		if err := os.WriteFile(path, have, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, want) {
		t.Errorf("%s differs (go test ./sync/sheet -update writes it again); have\n%s", name, have)
	}
}

func TestAMixedBedComesOutAsItsGoldenFiles(t *testing.T) {
	file, err := os.Open("testdata/mixed.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	report, err := sheet.Score(file, sheet.Options{LengthMM: 20000, Rows: 100, Across: 12, Aisles: "both"})
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.MarshalIndent(report, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "mixed.json", append(raw, '\n'))
	var table bytes.Buffer
	if err := report.WriteTable(&table); err != nil {
		t.Fatal(err)
	}
	golden(t, "mixed.txt", table.Bytes())
}

func TestAPlanComesOutAsItsGoldenFile(t *testing.T) {
	plan, err := sheet.Plan(sheet.PlanOptions{Rows: 100, Across: 12, Aisles: "both", Seed: 7, N: 12})
	if err != nil {
		t.Fatal(err)
	}
	var table bytes.Buffer
	if err := plan.WriteTable(&table); err != nil {
		t.Fatal(err)
	}
	golden(t, "plan.txt", table.Bytes())
}

// The sizes are the trade notes' set A: mean 30.0 cm, SD 1.76383 cm, CV 5.879 %, all ten within a tenth of the mean.
var setA = []string{"30", "31", "29", "32", "30", "28", "33", "30", "27", "30"}

func scored(t *testing.T, text string, o sheet.Options) sheet.Report {
	t.Helper()
	r, err := sheet.Score(strings.NewReader(text), o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestEveryWayToWriteTheSameSizesGivesTheSameScore(t *testing.T) {
	var mm, comma, semicolon, tab, quoted strings.Builder
	for _, cm := range setA {
		fmt.Fprintf(&mm, "%s0\n", cm)
		fmt.Fprintf(&comma, "a,%s.0,x\n", cm)
		fmt.Fprintf(&semicolon, "a;%s,00;x\n", cm)
		fmt.Fprintf(&tab, "x\t%s\n", cm)
		fmt.Fprintf(&quoted, "\"%s,0\"\n", cm)
	}
	for name, c := range map[string]struct {
		text string
		o    sheet.Options
	}{
		"millimetres":                        {"head_mm\n" + mm.String(), sheet.Options{}},
		"centimetres by option":              {"lot,head_mm,note\n" + comma.String(), sheet.Options{Units: unit.Centimetre}},
		"semicolons and decimal commas":      {"lot;head_cm;note\n" + semicolon.String(), sheet.Options{}},
		"a byte-order mark, tabs, capitals":  {"\xEF\xBB\xBFnote\tHead CM\n" + tab.String(), sheet.Options{}},
		"quoted decimal commas, line ends":   {"head_cm\r\n" + strings.ReplaceAll(quoted.String(), "\n", "\r\n"), sheet.Options{}},
		"blank lines between and at the end": {"head_cm\n\n" + strings.Join(setA, "\n\n") + "\n\n", sheet.Options{}},
	} {
		t.Run(name, func(t *testing.T) {
			head := scored(t, c.text, c.o).Beds[0].Score.Traits[0]
			for what, pair := range map[string][2]float64{
				"mean": {head.Mean.Value, 300}, "SD": {head.SD, 17.6383420737639}, "CV": {head.CV.Value, 0.0587944735792130 * 1.025},
				"counted": {head.Counted.Value, 1},
			} {
				if math.Abs(pair[0]-pair[1]) > 1e-9*pair[1] {
					t.Errorf("%s: have %v, want %v", what, pair[0], pair[1])
				}
			}
		})
	}
}

func TestUnitsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Heads of a fifth of an inch each are whole hundredths of a millimetre: the same sizes can be written in all units.
		fifths := rapid.SliceOfN(rapid.IntRange(20, 90), 2, 30).Draw(t, "heads in fifths of an inch")
		text := map[unit.Unit]string{unit.Inch: "head_in\n", unit.Centimetre: "head_cm\n", unit.Millimetre: "head_mm\n"}
		for _, f := range fifths {
			text[unit.Inch] += fmt.Sprintf("%d.%d\n", f/5, f%5*2)
			text[unit.Centimetre] += fmt.Sprintf("%d.%03d\n", f*508/1000, f*508%1000)
			text[unit.Millimetre] += fmt.Sprintf("%d,%02d\n", f*508/100, f*508%100)
		}
		text[unit.Millimetre] = strings.ReplaceAll(text[unit.Millimetre], ",", ".")
		var first []byte
		for _, u := range []unit.Unit{unit.Inch, unit.Centimetre, unit.Millimetre} {
			r, err := sheet.Score(strings.NewReader(text[u]), sheet.Options{})
			if err != nil {
				t.Fatal(err)
			}
			raw, err := json.Marshal(r)
			if err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = raw
			} else if !bytes.Equal(first, raw) {
				t.Fatalf("in %s\n%s\nwant\n%s", u, raw, first)
			}
		}
	})
}

func TestWhatCannotBeReadIsNamedByLineAndColumnWithARemedy(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a head that is no number", "lot,head_mm\na,300\na,3x0\n", `line 3, column head_mm: "3x0": not a number: give digits with one comma or point, such as 12.5`},
		{"a head of 4 m", "head_cm\n400\n", "line 2, column head_cm: 400 cm is no head size: give 0.5 to 200.0 cm, or say another unit (--units)"},
		{"negative buds", "buds\n-3\n", "line 2, column buds: -3 is out of range: give a whole number from 0 to 2000, or leave the cell empty"},
		{"half a bud", "Buds\n3.5\n", `line 2, column Buds: "3.5" is not a whole number: give one from 0 to 2000, or leave the cell empty`},
		{"root cover 6", "root_cover\n6\n", "line 2, column root_cover: 6 is out of range: give a whole number from 0 to 5, or leave the cell empty"},
		{"root life 0", "root_life\n0\n", "line 2, column root_life: 0 is out of range: give a whole number from 1 to 5, or leave the cell empty"},
		{"an unknown leaf", "chlorosis\nyellowish\n", `line 2, column chlorosis: "yellowish" is not known: give none, young, old, whole, or a severity from 0 to 4`},
		{"a decimal comma among commas", "lot,head_cm\na,31,5\n", "line 2: 3 values below 2 column names: where commas separate, put quotation marks round a decimal comma (\"31,5\") or write a point"},
		{"an unknown answer", "disease\nperhaps\n", `line 2, column disease: "perhaps" is not known: give yes or no, or leave the cell empty where nobody looked`},
		{"no known column", "size,colour\n3,red\n", "line 1: no column to score: name one of head_mm, head_a_mm and head_b_mm, buds, root_cover, root_life, chlorosis, disease in the first line, with commas, semicolons or tabs between names"},
		{"a column twice", "head_mm,head_cm\n300,30\n", "line 1, column head_cm: the column is there twice (as head_mm too): leave one"},
		{"one head and two", "head_mm,head_a_mm\n300,300\n", "line 1, column head_mm: one head size or two diameters: leave either this column or head_a and head_b"},
		{"an open quotation mark", "lot,buds\n\"a,3\n", "line 2: a quotation mark is open or stands inside a value: close it, or double it"},
		{"an empty file", "", "line 1: the file is empty: give a line of column names, then a line for each pot"},
		{"names alone", "buds\n", "line 2: no line holds a pot: give one line for each pot below the column names"},
		{"a workbook", "PK\x03\x04", "line 1: this is not plain CSV: save the sheet as CSV UTF-8"},
		{"two bad cells", "buds,root_cover\nx,3\n4,9\n", "line 2, column buds: \"x\" is not a whole number: give one from 0 to 2000, or leave the cell empty\nline 3, column root_cover: 9 is out of range: give a whole number from 0 to 5, or leave the cell empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := sheet.Score(strings.NewReader(c.text), sheet.Options{})
			var refused *sheet.FileError
			if !errors.As(err, &refused) {
				t.Fatalf("have %v", err)
			}
			if err.Error() != c.want {
				t.Errorf("have %s\nwant %s", err, c.want)
			}
		})
	}
}

func TestWhatSpreadsheetsPutAroundTheirCellsIsNoMatter(t *testing.T) {
	want := scored(t, "lot,head_mm\nA,310\nA,300\nA,295\n", sheet.Options{})
	for name, text := range map[string]string{
		"a mark of the separator":   "sep=;\r\nlot;head_mm\r\nA;310\r\nA;300\r\nA;295\r\n",
		"a byte-order mark as well": "\xEF\xBB\xBFsep=;\nlot;head_mm\nA;310\nA;300\nA;295",
		"quotes everywhere":         "\"lot\",\"head_mm\"\n\"A\",\"310\"\n\"A\",\"300\"\n\"A\",\"295\"\n",
		"capitals and spaces":       " LOT , Head_MM\n A , 310 \nA,300\nA, 295\n",
		"empty lines and cells":     "\nlot,head_mm,buds,\n\nA,310,,\n,,,\nA,300,-,\nA,295,na,\n\n",
		"columns of no use":         "x,lot,y,head_mm,y\n1,A,2,310,3\n1,A,2,300,3\n1,A,2,295,3\n",
	} {
		have := scored(t, text, sheet.Options{})
		if h, w := have.Beds[0].Score.Traits[0], want.Beds[0].Score.Traits[0]; !reflect.DeepEqual(h, w) {
			t.Errorf("%s: %+v", name, h)
		}
	}
	for text, says := range map[string]string{
		"sep=;\nlot;head_mm\nA;x\n":         "line 3, column head_mm",
		"sep=;\nlot;head_mm\nA;\"3\n":       "line 3: a quotation mark",
		"lot,head_mm\rA,300\rA,310\r":       "carriage returns",
		"lot,head_mm\nM\xfcller,300\n":      "line 2, column lot: \"M\\xfcller\" is not UTF-8",
		"lot|head_mm\nA|300\n":              "commas, semicolons or tabs",
		"lot,head_mm,Head_mm\nA,300,310\n":  "there twice",
		"bed,lot\tb,head_mm\nA,300,310,4\n": "4 values below 3",
	} {
		if _, err := sheet.Score(strings.NewReader(text), sheet.Options{}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestAListOfProblemsEnds(t *testing.T) {
	_, err := sheet.Score(strings.NewReader("buds\n"+strings.Repeat("x\n", 500)), sheet.Options{})
	var refused *sheet.FileError
	if !errors.As(err, &refused) || len(refused.Problems) != 20 {
		t.Errorf("have %v", err)
	}
}

func TestBedsAndLotsAreKeptApartAndEmptyCellsAreNotZero(t *testing.T) {
	r := scored(t, "bed,lot,row,across,head_a_mm,head_b_mm,buds,root_life,chlorosis,who\n"+
		"B2,x,1,1,300,280,,5,none,me\nB2,y,2,4,310,,-,,young,me\nB1,x,3,2,,200,0,1,3,me\n", sheet.Options{})
	if len(r.Beds) != 2 || r.Beds[0].Name != "B2" || r.Beds[0].Rows != 2 || r.Beds[0].Across != 4 || r.Lines != 3 {
		t.Fatalf("have %+v", r)
	}
	if len(r.Ignored) != 1 || r.Ignored[0] != "who" {
		t.Errorf("ignored %v", r.Ignored)
	}
	first, second := r.Beds[0].Score, r.Beds[1].Score
	if first.Traits[0].N != 2 || first.Traits[1].N != 0 || first.Chlorosis.X != 1 || first.Chlorosis.N != 2 || first.Rot.N != 1 {
		t.Errorf("B2: %+v", first)
	}
	if first.Lots[0].Traits[0].Mean.Value != 290 || first.Lots[1].Traits[0].Mean.Value != 310 {
		t.Errorf("B2's heads: %+v", first.Lots)
	}
	if second.Traits[1].N != 1 || second.Traits[1].Mean.Value != 0 || second.Rot.X != 1 || second.Severity != 75 {
		t.Errorf("B1: %+v", second)
	}
}

// What a sheet takes grows with its lines, not with its lines times its lots: 100,000 lines of 40 lots once took 1.2 GB.
func TestManyLotsTakeNoMoreMemoryThanOne(t *testing.T) {
	taken := func(lots int) uint64 {
		var lines strings.Builder
		lines.WriteString("lot,disease\n")
		for i := range 8000 {
			fmt.Fprintf(&lines, "L%d,no\n", i*lots/8000)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		scored(t, lines.String(), sheet.Options{})
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc
	}
	if one, many := taken(1), taken(80); many > 3*one {
		t.Errorf("80 lots took %d bytes, one lot %d", many, one)
	}
}

// Every plant of 179 rows of 14 was looked at, and the diseased ones stand in groups of nine.
func TestDiseasedPlantsThatStandTogetherAreAPatch(t *testing.T) {
	var lines strings.Builder
	lines.WriteString("row,across,disease\n")
	sick := 0
	for row := 1; row <= 179; row++ {
		for across := 1; across <= 14; across++ {
			says := "no"
			if (row/3*7+across/3*5)%6 == 1 && row > 60 {
				says = "Sí"
				sick++
			}
			fmt.Fprintf(&lines, "%d,%d,%s\n", row, across, says)
		}
	}
	r := scored(t, lines.String(), sheet.Options{LengthMM: 17900})
	s := r.Beds[0].Score
	if len(r.Ignored) != 0 || s.Disease.X != sick || s.Disease.N != 2506 {
		t.Fatalf("%d sick: %+v, not read %v", sick, s.Disease, r.Ignored)
	}
	var table strings.Builder
	if err := r.WriteTable(&table); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Finding: patch_disease", "Finding: flag_gradient, disease, far", fmt.Sprintf("Disease suspected: %d of 2506", sick)} {
		if !strings.Contains(table.String(), want) {
			t.Errorf("no %q in\n%s", want, table.String())
		}
	}
	if strings.Contains(table.String(), "Too few pots to show patches") {
		t.Errorf("every plant was looked at, and the table says\n%s", table.String())
	}
}

// Forty plants of that lattice show nothing smaller than 17.9 m * 7/40.
func TestASparseSheetSaysWhichPatchesItCannotShow(t *testing.T) {
	var lines strings.Builder
	lines.WriteString("row,across,disease\n")
	for i := range 40 {
		fmt.Fprintf(&lines, "%d,%d,%s\n", 1+i*4, 1+i*5%14, []string{"no", "0", "yes"}[i%13%3])
	}
	// Nobody looked at this one.
	lines.WriteString("179,8,\n")
	r := scored(t, lines.String(), sheet.Options{LengthMM: 17900, Rows: 179, Across: 14})
	var table strings.Builder
	if err := r.WriteTable(&table); err != nil {
		t.Fatal(err)
	}
	if want := "Too few pots to show patches of rot, chlorosis or disease smaller than 3.1 m."; !strings.Contains(table.String(), want) {
		t.Errorf("no %q in\n%s", want, table.String())
	}
}

func TestAPlanFromTheLastWalkAsksForMoreOfAnUnevenBed(t *testing.T) {
	uneven := scored(t, "head_mm\n300\n240\n360\n280\n330\n250\n350\n300\n", sheet.Options{})
	even := scored(t, "head_mm\n300\n304\n296\n301\n299\n303\n297\n300\n", sheet.Options{})
	n := func(r sheet.Report) int {
		p, err := sheet.Plan(sheet.PlanOptions{Rows: 100, Across: 12, Seed: 1, Last: &r.Beds[0].Score})
		if err != nil {
			t.Fatal(err)
		}
		return p.N
	}
	if n(uneven) <= n(even) {
		t.Errorf("uneven %d, even %d", n(uneven), n(even))
	}
}

func TestAPlanWithoutABedSaysWhatToGive(t *testing.T) {
	_, err := sheet.Plan(sheet.PlanOptions{Rows: 0, Across: 400})
	if err == nil || !strings.Contains(err.Error(), "--rows is 0: give the bed's size in pots, from 1 to 2000") || !strings.Contains(err.Error(), "--across is 400") {
		t.Errorf("have %v", err)
	}
}

func ExampleScore() {
	report, err := sheet.Score(strings.NewReader("lot,head_cm,buds\nA,30,40\nA,31,38\nA,29.5,45\nA,30.2,41\nA,31.4,39\n"), sheet.Options{Units: unit.Centimetre})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := report.Beds[0].Score
	fmt.Printf("%.0f %% (%.0f to %.0f), held back by %s\n", 100*s.Uniformity.Value, 100*s.Uniformity.Interval.Low, 100*s.Uniformity.Interval.High, s.LimitingTrait)
	// Output: 100 % (79 to 100), held back by buds
}

func TestEnoughPotsOfHalfABedAreNotCalledEnoughOfIt(t *testing.T) {
	var sheetOf strings.Builder
	sheetOf.WriteString("row,across,head_mm\n")
	for i := range 20 {
		fmt.Fprintf(&sheetOf, "%d,%d,%d\n", 1+2*i, 1+i%8, 300+i%3)
	}
	report := scored(t, sheetOf.String(), sheet.Options{PotsOnBed: 800, Rows: 100, Across: 8, LengthMM: 20_000})
	var table strings.Builder
	if err := report.WriteTable(&table); err != nil {
		t.Fatal(err)
	}
	if want := "Enough pots for the rows that were walked; rows 40 to 100 were not."; !strings.Contains(table.String(), want) {
		t.Errorf("no %q in\n%s", want, table.String())
	}
}
