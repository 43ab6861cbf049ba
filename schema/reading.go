package schema

// ReadingKeyAsk makes a key by which another program reads. Table is the one table that it reads as CSV, "" for all that keys may read.
// With People it reads about people more than their names.
type ReadingKeyAsk struct {
	Name   string `json:"name" validate:"required,max=80"`
	Table  string `json:"table,omitempty" validate:"max=32"`
	People bool   `json:"people,omitempty"`
}

// ReadingKeyMade is a new key, which no other answer has.
type ReadingKeyMade struct {
	ID  string `json:"id"`
	Key string `json:"key"`
}

// ReadingKeys lists the keys of other programs, and the tables that one can be made for.
type ReadingKeys struct {
	Keys   []ReadingKey `json:"keys"`
	Tables []string     `json:"tables"`
}

// ReadingKey is a key by its name. Times are ms since 1970: UsedAt to the minute, 0 before it is used; Revoked 0 while it is not.
// Orphaned is true where whoever made it has no supervisor's access any more, so that it is refused.
type ReadingKey struct {
	ID         string `json:"id"`
	Name       string `json:"name"`
	Table      string `json:"table"`
	People     bool   `json:"people"`
	MadeByName string `json:"made_by_name"`
	MadeAt     int64  `json:"made_at"`
	UsedAt     int64  `json:"used_at"`
	Revoked    int64  `json:"revoked"`
	Orphaned   bool   `json:"orphaned"`
}
