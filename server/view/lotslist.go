package view

import (
	"cmp"
	"context"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"slices"
	"strings"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// lotsPage is how many lots go at once.
const lotsPage = 100

// LotsAsk is what a page of the list of lots is asked by. All of it but After must be the same for each page of one list.
type LotsAsk struct {
	// Search is a part of tag or cultivar, in capitals or not; Crop a crop in any spelling; Disagree leaves only lots with disagreements,
	// Here only those that are not gone.
	Search, Crop string
	Disagree     bool
	Here         bool
	// Sort is one of lotSorts, "" for the tag; Down turns it round.
	Sort string
	Down bool
	// After is the Next of the page before.
	After string
}

// lotRow is a lot in the list: what its place there depends on.
type lotRow struct {
	id, tag string
	// text or number is what the list is sorted by.
	text   string
	number float64
}

// lotSorts are the columns by which the list can be sorted. By text where it has one, else by number.
var lotSorts = map[string]func(*moment, string) (string, float64, error){
	"tag":      func(m *moment, id string) (string, float64, error) { return valueOr(m.n.lots[id].Tag, ""), 0, nil },
	"cultivar": func(m *moment, id string) (string, float64, error) { return valueOr(m.n.lots[id].Cultivar, ""), 0, nil },
	"crop":     func(m *moment, id string) (string, float64, error) { return valueOr(m.n.lots[id].Crop, ""), 0, nil },
	"struck":   func(m *moment, id string) (string, float64, error) { return valueOr(m.n.lots[id].StruckOn, ""), 0, nil },
	"ship":     func(m *moment, id string) (string, float64, error) { return valueOr(m.n.lots[id].ShipWeek, ""), 0, nil },
	"pot": func(m *moment, id string) (string, float64, error) {
		return "", float64(valueOr(m.n.lots[id].PotMM, 0)), nil
	},
	"pots": func(m *moment, id string) (string, float64, error) {
		if s := m.n.stock[id]; s != nil {
			return "", float64(s.Pots), nil
		}
		return "", 0, nil
	},
	"open": func(m *moment, id string) (string, float64, error) { return "", float64(m.n.lots[id].disagree), nil },
	"uniformity": func(m *moment, id string) (string, float64, error) {
		brief, err := m.lotBrief(id)
		if err != nil || !brief.Uniformity.Known {
			return "", -1, err
		}
		return "", brief.Uniformity.Value, nil
	},
}

// lotsCursor is the last lot of a page by what it was sorted by then, and for which list.
type lotsCursor struct {
	Search   string  `json:"q,omitempty"`
	Crop     string  `json:"c,omitempty"`
	Disagree bool    `json:"d,omitempty"`
	Here     bool    `json:"h,omitempty"`
	Sort     string  `json:"s"`
	Down     bool    `json:"r,omitempty"`
	Text     string  `json:"t,omitempty"`
	Number   float64 `json:"n,omitempty"`
	Tag      string  `json:"tag"`
	ID       string  `json:"id"`
}

// Lots is a page of all lots in short. Its list is filtered and sorted whole, as it is now, and the page begins behind the last lot of the
// page before it by that lot's place, not by its number: a lot that was added, removed or changed meanwhile moves no other out of its
// page. A lot that itself changed may so be on two pages, or on none until the list is asked for again.
func (v *Views) Lots(ctx context.Context, ask LotsAsk) (page schema.LotsPage, err error) {
	page = schema.LotsPage{Lots: []schema.LotBrief{}, Crops: []string{}}
	ask.Search, ask.Crop = strings.ToLower(strings.TrimSpace(ask.Search)), bed.CropKey(ask.Crop)
	by, ok := lotSorts[cmp.Or(ask.Sort, "tag")]
	if !ok {
		return page, schema.NewProblem(http.StatusBadRequest, "sort", "Lots cannot be sorted by that.",
			"Sort by tag, cultivar, crop, pot, pots, struck, uniformity, ship or open.")
	}
	after, err := ask.after()
	if err != nil {
		return page, err
	}
	run := v.at
	if ask.Sort == "uniformity" {
		run = v.whole
	}
	err = run(ctx, func(m *moment) error {
		rows, err := m.lotRows(ask, by, &page)
		if err != nil {
			return err
		}
		order := lotOrder(ask.Down)
		slices.SortFunc(rows, order)
		if after != nil {
			at, isThere := slices.BinarySearchFunc(rows, *after, order)
			if isThere {
				at++
			}
			rows = rows[at:]
		}
		if len(rows) > lotsPage {
			rows = rows[:lotsPage]
			page.Next = ask.cursor(rows[lotsPage-1])
		}
		for _, row := range rows {
			brief, err := m.lotBrief(row.id)
			if err != nil {
				return err
			}
			page.Lots = append(page.Lots, brief)
		}
		return nil
	})
	return page, err
}

// lotRows are the lots that the search and the filter leave, in no order, counted into the page.
func (m *moment) lotRows(ask LotsAsk, by func(*moment, string) (string, float64, error), page *schema.LotsPage) (rows []lotRow, err error) {
	crops := map[string]string{}
	for id, l := range m.n.lots {
		crop, tag := valueOr(l.Crop, ""), valueOr(l.Tag, "")
		// Of several spellings the first by its letters, whatever the order of the map.
		if had, ok := crops[bed.CropKey(crop)]; crop != "" && (!ok || crop < had) {
			crops[bed.CropKey(crop)] = crop
		}
		if ask.Crop != "" && bed.CropKey(crop) != ask.Crop || ask.Disagree && l.disagree == 0 || ask.Here && m.n.isGone(id) ||
			!strings.Contains(strings.ToLower(tag+" "+valueOr(l.Cultivar, "")), ask.Search) {
			continue
		}
		row := lotRow{id: id, tag: tag}
		if row.text, row.number, err = by(m, id); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	for _, crop := range crops {
		page.Crops = append(page.Crops, crop)
	}
	slices.Sort(page.Crops)
	page.All, page.Count = len(m.n.lots), len(rows)
	return rows, nil
}

// lotOrder compares rows as people read them: T2 before T10, capitals and accents last of all. Equal ones stand in the order of their tags.
func lotOrder(down bool) func(a, b lotRow) int {
	words := asPeopleCount()
	return func(a, b lotRow) int {
		by := cmp.Or(words(a.text, b.text), cmp.Compare(a.number, b.number))
		if down {
			by = -by
		}
		return cmp.Or(by, words(a.tag, b.tag), cmp.Compare(a.id, b.id))
	}
}

// asPeopleCount orders tags and names: T2 before T10. What it returns is for one sort at a time.
func asPeopleCount() func(a, b string) int {
	return collate.New(language.Und, collate.Numeric).CompareString
}

func (a LotsAsk) cursor(last lotRow) string {
	// A struct of strings and numbers can always be written.
	raw, _ := json.Marshal(lotsCursor{a.Search, a.Crop, a.Disagree, a.Here, a.Sort, a.Down, last.text, last.number, last.tag, last.id})
	return base64.RawURLEncoding.EncodeToString(raw)
}

// after reads the place of a cursor, nil for the first page.
func (a LotsAsk) after() (*lotRow, error) {
	if a.After == "" {
		return nil, nil
	}
	var c lotsCursor
	raw, err := base64.RawURLEncoding.DecodeString(a.After)
	if err == nil {
		err = json.Unmarshal(raw, &c)
	}
	if err != nil || c.ID == "" {
		return nil, schema.NewProblem(http.StatusBadRequest, "cursor", "That is not a place in the list of lots.",
			"Ask without it for the first page, then with the \"next\" of each page for the one after it.")
	}
	if c.Search != a.Search || c.Crop != a.Crop || c.Disagree != a.Disagree || c.Here != a.Here || c.Sort != a.Sort || c.Down != a.Down {
		return nil, schema.NewProblem(http.StatusBadRequest, "cursor", "That is a place in another list: its search, filter or order was not this one.",
			"Ask for the first page of this list without a cursor, or go on with the search, filter and order of the first page.")
	}
	return &lotRow{c.ID, c.Tag, c.Text, c.Number}, nil
}
