package stats

import "encoding/json"

// Only tests read and write these numbers as JSON, in the files of fixtures/; what leaves the server are the types of schema.

// MarshalJSON writes the number, or null when it is unknown.
func (m Maybe) MarshalJSON() ([]byte, error) {
	if !m.Known {
		return []byte("null"), nil
	}
	return json.Marshal(m.X)
}

// UnmarshalJSON reads a number or null.
func (m *Maybe) UnmarshalJSON(b []byte) error {
	var p *float64
	if err := json.Unmarshal(b, &p); err != nil {
		return err
	}
	*m = Maybe{}
	if p != nil {
		*m = Maybe{X: *p, Known: true}
	}
	return nil
}

type intervalJSON struct {
	Low   Maybe `json:"low"`
	High  Maybe `json:"high"`
	Known bool  `json:"known"`
}

// MarshalJSON writes {low, high, known}; a limit that does not exist is null.
func (i Interval) MarshalJSON() ([]byte, error) {
	return json.Marshal(intervalJSON{
		Low:   Maybe{X: i.Low, Known: i.Known || i.Open},
		High:  Maybe{X: i.High, Known: i.Known},
		Known: i.Known,
	})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (i *Interval) UnmarshalJSON(b []byte) error {
	var j intervalJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return err
	}
	*i = Interval{Low: j.Low.X, High: j.High.X, Known: j.Low.Known && j.High.Known, Open: j.Low.Known && !j.High.Known}
	return nil
}
