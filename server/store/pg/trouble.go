package pg

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"

	"bedwalk/schema"
	"bedwalk/server/db"
)

// ErrAway says that the database does not answer, or is busy for too long: nothing of the transaction was kept, or nobody can say whether it was, which a
// phone that sends again finds out.
var ErrAway = schema.NewProblem(http.StatusServiceUnavailable, "database_away", "The server's database does not answer, so it takes no notes.",
	"The phone keeps its notes and sends again by itself. At the server, see that PostgreSQL runs and can be reached.")

// ErrSetBack says that the database is not what it was: an older copy was put back, or a standby that lacks the last writes took over.
var ErrSetBack = schema.NewProblem(http.StatusServiceUnavailable, "data_gone", "The server's data was set back to an earlier state while it was running, so it takes no notes.",
	"Start the server again: it then begins where the data ends, and the phones send what is missing.")

// ErrMoved says that the nursery is somewhere else now: what is written here would be in no place that anybody looks at.
var ErrMoved = schema.NewProblem(http.StatusServiceUnavailable, "data_gone", "The server's data was moved while it was running, so it takes no notes.",
	"Start the server with the place that the data was moved to; the phones keep their notes.")

// ErrLongKey says that PostgreSQL cannot file something because of its length, which a file can. Keys of today's notes have a bound below that.
var ErrLongKey = errors.New("something is filed under a key that is too long for PostgreSQL: an older version of Bedwalk merged a note that names a thing by thousands of bytes. " +
	"Nothing was changed; this nursery can only be kept in a file")

// lose says once and for all why this is not the site that was opened.
func (d *DB) lose(why error) error {
	d.lost.CompareAndSwap(nil, &why)
	return *d.lost.Load()
}

// Explain turns errors that a person can do something about into words that say what.
func Explain(err error) error {
	if err == nil || errors.Is(err, ErrAway) || errors.Is(err, db.ErrFull) {
		return err
	}
	var said *pgconn.PgError
	if errors.As(err, &said) {
		switch {
		case said.Code == "53100":
			return fmt.Errorf("%w (%w)", db.ErrFull, err)
		// Connections, resources, an operator's hand, a lock that did not come free, a standby.
		case strings.HasPrefix(said.Code, "08"), strings.HasPrefix(said.Code, "53"), strings.HasPrefix(said.Code, "57P"), said.Code == "57014",
			said.Code == "55P03", said.Code == "25P03", said.Code == "25006", said.Code == "40P01":
			return fmt.Errorf("%w (%w)", ErrAway, err)
		case said.Code == "54000":
			return fmt.Errorf("%w (%w)", ErrLongKey, err)
		}
		return err
	}
	var line net.Error
	if errors.As(err, new(*pgconn.ConnectError)) || errors.As(err, &line) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) ||
		errors.Is(err, net.ErrClosed) || errors.Is(err, context.DeadlineExceeded) || strings.Contains(err.Error(), "conn closed") {
		return fmt.Errorf("%w (%w)", ErrAway, err)
	}
	return err
}
