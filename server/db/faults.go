package db

import (
	"context"
	"database/sql/driver"
	"sync"
)

// Faults is a layer between the pools and SQLite that fails statements on purpose, so that what happens then can be
// tested. The zero value fails nothing. Pass Faults.Wrap as Options.Wrap.
type Faults struct {
	mu   sync.Mutex
	seen int
	at   int
	do   func() error
}

// FailAt makes the nth statement or commit from now (1 is the next) fail with err; 0 fails none.
func (f *Faults) FailAt(n int, err error) { f.DoAt(n, func() error { return err }) }

// DoAt runs do before the nth statement or commit from now (1 is the next), which fails with do's error. Do may use
// another database on the same file, and not this one.
func (f *Faults) DoAt(n int, do func() error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.seen, f.at, f.do = 0, n, do
}

// Seen counts the statements and commits since the last FailAt.
func (f *Faults) Seen() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.seen
}

// Wrap puts the layer in front of a connector.
func (f *Faults) Wrap(c driver.Connector) driver.Connector { return faultyConnector{c, f} }

func (f *Faults) next() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.seen++
	if f.at > 0 && f.seen == f.at {
		return f.do()
	}
	return nil
}

// full is what modernc's connections offer; all of it is passed on, or database/sql would fall back to slower ways.
type full interface {
	driver.Conn
	driver.ConnBeginTx
	driver.ConnPrepareContext
	driver.ExecerContext
	driver.QueryerContext
	driver.Pinger
	driver.SessionResetter
	driver.Validator
}

type faultyConnector struct {
	driver.Connector
	faults *Faults
}

func (c faultyConnector) Connect(ctx context.Context) (driver.Conn, error) {
	conn, err := c.Connector.Connect(ctx)
	if err != nil {
		return nil, err
	}
	whole, ok := conn.(full)
	if !ok {
		return conn, nil
	}
	return &faultyConn{whole, c.faults}, nil
}

type faultyConn struct {
	full
	faults *Faults
}

func (c *faultyConn) Unwrap() driver.Conn { return c.full }

func (c *faultyConn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	if err := c.faults.next(); err != nil {
		return nil, err
	}
	return c.full.ExecContext(ctx, query, args)
}

func (c *faultyConn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	if err := c.faults.next(); err != nil {
		return nil, err
	}
	return c.full.QueryContext(ctx, query, args)
}

func (c *faultyConn) PrepareContext(ctx context.Context, query string) (driver.Stmt, error) {
	s, err := c.full.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	whole, ok := s.(fullStmt)
	if !ok {
		return s, nil
	}
	return &faultyStmt{whole, c.faults}, nil
}

func (c *faultyConn) BeginTx(ctx context.Context, o driver.TxOptions) (driver.Tx, error) {
	tx, err := c.full.BeginTx(ctx, o)
	if err != nil {
		return nil, err
	}
	return &faultyTx{tx, c.faults}, nil
}

type fullStmt interface {
	driver.Stmt
	driver.StmtExecContext
	driver.StmtQueryContext
}

type faultyStmt struct {
	fullStmt
	faults *Faults
}

func (s *faultyStmt) ExecContext(ctx context.Context, args []driver.NamedValue) (driver.Result, error) {
	if err := s.faults.next(); err != nil {
		return nil, err
	}
	return s.fullStmt.ExecContext(ctx, args)
}

func (s *faultyStmt) QueryContext(ctx context.Context, args []driver.NamedValue) (driver.Rows, error) {
	if err := s.faults.next(); err != nil {
		return nil, err
	}
	return s.fullStmt.QueryContext(ctx, args)
}

type faultyTx struct {
	driver.Tx
	faults *Faults
}

// Commit fails before anything is committed: the transaction is still open, and database/sql's rollback must end it.
func (t *faultyTx) Commit() error {
	if err := t.faults.next(); err != nil {
		_ = t.Tx.Rollback()
		return err
	}
	return t.Tx.Commit()
}
