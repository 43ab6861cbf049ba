package simrun

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"sync"
	"time"
)

// errLine is what a connection ends with that was made to fail.
var errLine = errors.New("the line to the database was cut")

// line is all connections of the servers to their database, with the faults that a network has. Each ends the connection that it hits.
type line struct {
	mu sync.Mutex
	lineFaults
}

// lineFaults are what it does wrong: away lets nothing through, failAt is the message from now on that is lost, 0 for none. Of the next commit unheard says that the
// answer is lost, unsent that the commit itself is.
type lineFaults struct {
	away            bool
	failAt          int
	unheard, unsent bool
}

// arm sets the faults. It returns those that it replaces.
func (l *line) arm(faults lineFaults) (before lineFaults) {
	l.mu.Lock()
	defer l.mu.Unlock()
	before, l.lineFaults = l.lineFaults, faults
	return before
}

func (l *line) dial(ctx context.Context, network, address string) (net.Conn, error) {
	l.mu.Lock()
	away := l.away
	l.mu.Unlock()
	if away {
		return nil, &net.OpError{Op: "dial", Net: network, Err: errLine}
	}
	conn, err := (&net.Dialer{Timeout: 10 * time.Second}).DialContext(ctx, network, address)
	if err != nil {
		return nil, err
	}
	return &lossy{Conn: conn, line: l}, nil
}

// lossy is one connection.
type lossy struct {
	net.Conn
	line *line
}

// commits is how a commit goes over the wire, as a simple query of the protocol.
var commits = []byte("commit\x00")

// Write sends a message, or loses it.
func (c *lossy) Write(b []byte) (int, error) {
	lost, unheard := c.line.sends(b)
	if lost {
		return 0, errors.Join(&net.OpError{Op: "write", Net: "unix", Err: errLine}, c.Conn.Close())
	}
	n, err := c.Conn.Write(b)
	if err == nil && unheard {
		// It has taken hold once the database answers.
		var first [1]byte
		_, err = io.ReadFull(c.Conn, first[:])
		err = errors.Join(err, c.Conn.Close())
	}
	return n, err
}

// sends says what becomes of a message.
func (l *line) sends(b []byte) (lost, unheard bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.failAt > 0 {
		l.failAt--
		lost = l.failAt == 0
	}
	if bytes.HasSuffix(b, commits) {
		lost, unheard = lost || l.unsent, l.unheard
		l.unsent, l.unheard = false, false
	}
	return lost || l.away, unheard
}
