package db

import (
	"context"
	"database/sql/driver"
	"errors"
	"strings"
)

// mostKept is how many compiled statements a connection keeps: about twice as many as the server has.
const mostKept = 256

// keeping is a layer that keeps statements compiled between one use and the next, on each connection its own. Compiling
// took a quarter of what a push costs. SQLite compiles a kept one again by itself when the tables have changed.
type keeping struct{ driver.Connector }

func (k keeping) Connect(ctx context.Context) (driver.Conn, error) {
	conn, err := k.Connector.Connect(ctx)
	if err != nil {
		return nil, err
	}
	whole, ok := conn.(full)
	if !ok {
		return conn, nil
	}
	return &keepingConn{whole, map[string]fullStmt{}}, nil
}

// keepingConn has those statements in idle that nobody uses. One in use is not among them, so the same text asked for
// meanwhile is compiled once more.
type keepingConn struct {
	full
	idle map[string]fullStmt
}

// keeps is true for what reads or writes rows. A pragma may do its work when it is compiled, and the rest runs once.
func keeps(query string) bool {
	text := strings.TrimLeft(query, " \t\r\n")
	for _, verb := range []string{"select", "insert", "update", "delete", "with"} {
		if len(text) > len(verb) && strings.EqualFold(text[:len(verb)], verb) {
			return true
		}
	}
	return false
}

func (c *keepingConn) take(ctx context.Context, query string) (fullStmt, error) {
	if s, ok := c.idle[query]; ok {
		delete(c.idle, query)
		return s, nil
	}
	s, err := c.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	whole, ok := s.(fullStmt)
	if !ok {
		return nil, errors.Join(errors.New("the database's driver has no statements with a context"), s.Close())
	}
	return whole, nil
}

// back keeps a statement that has done its work, and lets another go where there are too many.
func (c *keepingConn) back(query string, s fullStmt) error {
	if _, twice := c.idle[query]; twice {
		return s.Close()
	}
	if len(c.idle) >= mostKept {
		for other, old := range c.idle {
			delete(c.idle, other)
			if err := old.Close(); err != nil {
				return errors.Join(err, s.Close())
			}
			break
		}
	}
	c.idle[query] = s
	return nil
}

func (c *keepingConn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	if !keeps(query) {
		return c.full.ExecContext(ctx, query, args)
	}
	s, err := c.take(ctx, query)
	if err != nil {
		return nil, err
	}
	result, err := s.ExecContext(ctx, args)
	if err != nil {
		_ = s.Close() // It names the same error once more.
		return nil, err
	}
	return result, c.back(query, s)
}

func (c *keepingConn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	if !keeps(query) {
		return c.full.QueryContext(ctx, query, args)
	}
	s, err := c.take(ctx, query)
	if err != nil {
		return nil, err
	}
	rows, err := s.QueryContext(ctx, args)
	if err != nil {
		_ = s.Close() // It names the same error once more.
		return nil, err
	}
	return &keptRows{rows, c, query, s}, nil
}

// Close ends the connection with all that it has compiled, without which SQLite would leave its files open.
func (c *keepingConn) Close() error {
	var all error
	for _, s := range c.idle {
		all = errors.Join(all, s.Close())
	}
	clear(c.idle)
	return errors.Join(all, c.full.Close())
}

// keptRows give their statement back when they are closed.
type keptRows struct {
	driver.Rows
	conn  *keepingConn
	query string
	stmt  fullStmt
}

func (r *keptRows) Close() error {
	if r.stmt == nil {
		return nil
	}
	s := r.stmt
	r.stmt = nil
	if err := r.Rows.Close(); err != nil {
		_ = s.Close() // It names the same error once more.
		return err
	}
	return r.conn.back(r.query, s)
}
