package db

import (
	"database/sql/driver"
	"encoding/hex"
	"strconv"
	"strings"

	"modernc.org/sqlite"

	"bedwalk/server/atrest"
)

// The view "entries" asks for the bytes of an entry by this function, in every connection. It gives null where they cannot be put together: then
// somebody has changed the file, which "verify" names.
func init() {
	sqlite.MustRegisterDeterministicScalarFunction("note_bytes", 12, func(_ *sqlite.FunctionContext, args []driver.Value) (driver.Value, error) {
		var a noteArgs
		columns := atrest.Columns{}
		shape, others := a.text(args[0]), a.text(args[1])
		columns.ID, columns.Seq = a.hex(args[2]), a.number(args[3])
		columns.Lot, columns.Bed = a.text(args[4]), a.text(args[5])
		var inc string
		for i, word := range strings.SplitN(a.text(args[6]), " ", 4) {
			*[]*string{&inc, &columns.Device, &columns.Person, &columns.Session}[i] = word
		}
		columns.Inc, _ = strconv.ParseInt(inc, 10, 64)
		columns.Walk = a.hex(args[7])
		at := a.number(args[8])
		columns.Wall, columns.Floor, columns.Mono = at+a.number(args[9]), at+a.number(args[10]), a.number(args[11])
		if a.wrong {
			return nil, nil
		}
		if raw, ok := atrest.Bytes(shape, others, columns); ok {
			return raw, nil
		}
		return nil, nil
	})
}

// noteArgs reads the columns of a row; wrong is set where one has another type than Bedwalk writes.
type noteArgs struct{ wrong bool }

func (a *noteArgs) text(value driver.Value) string {
	text, ok := value.(string)
	a.wrong = a.wrong || !ok
	return text
}

func (a *noteArgs) number(value driver.Value) int64 {
	n, ok := value.(int64)
	a.wrong = a.wrong || !ok
	return n
}

// hex reads an id: bytes, or "" for none.
func (a *noteArgs) hex(value driver.Value) string {
	if raw, ok := value.([]byte); ok {
		return hex.EncodeToString(raw)
	}
	return a.text(value)
}
