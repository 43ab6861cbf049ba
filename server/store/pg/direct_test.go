package pg_test

import (
	"net"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5/pgproto3"

	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

// pooler lends its one connection to PostgreSQL to whoever asks, for a transaction at a time.
type pooler struct {
	mu     sync.Mutex
	server *pgproto3.Frontend
	// greeting is how PostgreSQL greeted it.
	greeting []pgproto3.BackendMessage
}

// pooled is the address of one before an address.
func pooled(t *testing.T, address string) string {
	t.Helper()
	at, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	const socket = ".s.PGSQL.5432"
	up, err := net.Dial("unix", filepath.Join(at.Query().Get("host"), socket))
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	listener, err := net.Listen("unix", filepath.Join(folder, socket))
	if err != nil {
		t.Fatal(err)
	}
	p := &pooler{server: pgproto3.NewFrontend(up, up)}
	var all sync.WaitGroup
	t.Cleanup(func() {
		listener.Close()
		up.Close()
		all.Wait()
	})
	all.Go(func() {
		for {
			client, err := listener.Accept()
			if err != nil {
				return
			}
			all.Go(func() {
				defer client.Close()
				p.serve(pgproto3.NewBackend(client, client))
			})
		}
	})
	query := at.Query()
	query.Set("host", folder)
	at.RawQuery = query.Encode()
	return at.String()
}

func (p *pooler) serve(client *pgproto3.Backend) {
	begins, err := client.ReceiveStartupMessage()
	if err != nil {
		return
	}
	p.mu.Lock()
	if p.greeting == nil {
		p.server.Send(begins)
		if p.server.Flush() == nil {
			p.greeting, _ = p.answers(nil)
		}
	}
	for _, message := range p.greeting {
		client.Send(message)
	}
	p.mu.Unlock()
	if client.Flush() != nil {
		return
	}
	mine := false
	defer func() {
		if mine {
			p.mu.Unlock()
		}
	}()
	for {
		message, err := client.Receive()
		if _, ends := message.(*pgproto3.Terminate); err != nil || ends {
			return
		}
		if !mine {
			p.mu.Lock()
			mine = true
		}
		p.server.Send(message)
		switch message.(type) {
		case *pgproto3.Query, *pgproto3.Sync:
			if p.server.Flush() != nil {
				return
			}
			_, status := p.answers(client)
			if client.Flush() != nil || status == 0 {
				return
			}
			if status == 'I' {
				mine = false
				p.mu.Unlock()
			}
		}
	}
}

// answers passes on what PostgreSQL says until it is ready, or keeps it where there is no client. Status is 0 where it ended.
func (p *pooler) answers(client *pgproto3.Backend) (kept []pgproto3.BackendMessage, status byte) {
	for {
		message, err := p.server.Receive()
		if err != nil {
			return kept, 0
		}
		if client != nil {
			client.Send(message)
		}
		switch is := message.(type) {
		case *pgproto3.AuthenticationOk:
			kept = append(kept, &pgproto3.AuthenticationOk{})
		case *pgproto3.ParameterStatus:
			one := *is
			kept = append(kept, &one)
		case *pgproto3.ReadyForQuery:
			return append(kept, &pgproto3.ReadyForQuery{TxStatus: is.TxStatus}), is.TxStatus
		}
	}
}

func TestAPoolerOfTransactionsIsRefusedAtTheStart(t *testing.T) {
	address := testpg.URL(t)
	if d, err := pg.Open(t.Context(), pg.Options{URL: pooled(t, address), Site: testpg.Site(), New: true}); err == nil || !strings.Contains(err.Error(), "pooler") {
		t.Errorf("by a pooler: %v", err)
		d.Close()
	}
	open(t, testpg.Site())
}
