package tables

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"bedwalk/schema"
)

// Unknown fields are kept, since a later version may know them; so anybody may send as many names as fit in an entry. Once each name
// became a column with a cell in every row: these 257 kB became a page of 51 MB, in 35 seconds.
func TestAPageOfOddNamesDoesNotGrowWithTheirNumber(t *testing.T) {
	var page schema.Pull
	plain := 0
	for i := range 500 {
		body := `"note":"n"`
		if i < 4 {
			names := make([]string, 5000)
			for n := range names {
				names[n] = fmt.Sprintf(`"%d-%04d":1`, i, n)
			}
			body = strings.Join(names, ",")
		}
		entry := fmt.Sprintf(`{"body":{%s},"id":"%032x","kind":"note"}`, body, i)
		plain += len(entry)
		page.Items = append(page.Items, schema.Pulled{Position: int64(i + 1), Entry: json.RawMessage(entry), Stamp: schema.Stamp{Quality: schema.Exact}})
	}
	raw, err := Write(page)
	if err != nil {
		t.Fatal(err)
	}
	// Twice what the entries and the most columns need where all cells are empty.
	if most := 2 * (plain + maxColumns*len("null,")*len(page.Items)); len(raw) > most {
		t.Errorf("%d bytes of entries became %d", plain, len(raw))
	}
	got, err := Read(raw)
	if err != nil || len(got.Items) != len(page.Items) {
		t.Fatalf("%v, %d items", err, len(got.Items))
	}
	for i, one := range got.Items {
		if string(one.Entry) != string(page.Items[i].Entry) {
			t.Fatalf("entry %d is another", i)
		}
	}
}
