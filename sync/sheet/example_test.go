package sheet_test

import (
	"fmt"
	"os"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/sheet"
	"bedwalk/sync/unit"
)

func ExampleScore_gradeOut() {
	file := strings.NewReader("lot,head_cm,buds\nRuddy,31,44\nRuddy,29,41\nRuddy,30,46\nRuddy,28,39\nRuddy,33,47\nRuddy,30,38\nRuddy,31,42\nRuddy,32,45\n")
	report, err := sheet.Score(file, sheet.Options{PotsOnBed: 600})
	if err != nil {
		fmt.Println(err)
		return
	}
	ruddy := report.Beds[0].Score.Lots[0]
	fmt.Printf("uniformity %.0f %%, safe to promise %d of %d\n", 100*report.Beds[0].Score.Uniformity.Value, ruddy.GradeOut.Promise.Lines[0].Safe, ruddy.PotsOnBed)
	// Output: uniformity 93 %, safe to promise 234 of 600
}

func ExampleParseGrade() {
	g, err := sheet.ParseGrade("florist: head 10 in, buds 40, chlorosis 1", unit.Centimetre)
	fmt.Println(g.Name, *g.HeadMinMM, *g.BudsMin, *g.ChlorosisMax, err)
	_, err = sheet.ParseGrade("florist: girth 10", unit.Centimetre)
	fmt.Println(err)
	// Output:
	// florist 254 40 1 <nil>
	// grade florist: "girth" is not known: use head, head_max, round, buds, cover, life or chlorosis
}

func ExampleReport_WriteTable() {
	first, err := sheet.ParseGrade("first: buds 40", unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := sheet.Score(strings.NewReader("lot;buds\nA;44\nA;36\nA;45\n"), sheet.Options{PotsOnBed: 300, Grades: []schema.Grade{first}})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := report.WriteTable(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Bed (no name): 3 pots seen
	//   Uniformity: too few pots to say (3)
	//   lot  trait  pots  mean                 SD   CV                    uniformity        counted
	//   A    buds   3     41.7 (33.4 to 49.9)  4.9  12.8 % (6.8 to 54.6)  88 % (29 to 100)  3 of 3
	//   Grade-out of lot A, of 300 pots by 3 seen whole: first 188 (71 to 281), no grade 112 (19 to 229)
	//     Short of first: buds 1 of 3
	//     Safe to promise of this lot alone: nothing yet, 3 pots seen whole and at least 8 are needed
	//   About 15 pots more.
	//
	// Grade first: buds 40
}
