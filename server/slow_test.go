package main

import (
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime"
	"syscall"
	"testing"
	"time"

	"bedwalk/server/api"
	"bedwalk/server/live"
)

// Strangers who keep connections open and say nothing, half a head, or the first byte of a body. While they hold on,
// everybody else is answered. Figures: go test ./server -run SlowSockets -v
func TestIdleAndSlowSocketsKeepNobodyOut(t *testing.T) {
	const idle, slow = 2000, 100
	p, err := open(t.Context(), inFolder(t.TempDir()), "serve", false, true)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	log := slog.New(slog.DiscardHandler)
	o := api.Options{Journal: p.store, Views: p.views, Gate: p.gate, Photos: p.photos, Log: log}
	o.Hub = live.New(live.DefaultLimits, o.FromUs)
	server := httpServer(api.New(o), log)
	// They are to hold on for the whole test, however long this machine takes.
	server.ReadHeaderTimeout, server.ReadTimeout = time.Hour, time.Hour
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go server.Serve(listener)
	defer server.Close()

	address := listener.Addr().String()
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	var open []net.Conn
	for i := range idle + 2*slow {
		conn, err := net.Dial("tcp", address)
		if err != nil {
			t.Fatalf("connection %d: %v", i+1, err)
		}
		defer conn.Close()
		switch {
		case i >= idle+slow:
			_, err = io.WriteString(conn, "POST /api/pair HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{")
		case i >= idle:
			_, err = io.WriteString(conn, "GET /api/openapi.json HTTP/1.1\r\nHost: x\r\nX-Sl")
		}
		if err != nil {
			t.Fatal(err)
		}
		open = append(open, conn)
	}
	began := time.Now()
	const others = 50
	for range others {
		answer, err := http.Get("http://" + address + "/api/openapi.json")
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode != 200 {
			t.Fatalf("another is answered %d", answer.StatusCode)
		}
	}
	took := time.Since(began) / others
	runtime.GC()
	runtime.ReadMemStats(&after)
	t.Logf("%d idle sockets, %d half heads, %d half bodies: %d kB each; another request took %s", idle, slow, slow,
		(after.HeapInuse+after.StackInuse-before.HeapInuse-before.StackInuse)/uint64(len(open))>>10, took.Round(10*time.Microsecond))
	for i, conn := range open {
		// It held on to the end: there is nothing to read yet, and the server has not hung up.
		_ = conn.SetReadDeadline(time.Unix(1, 0))
		if _, err := conn.Read(make([]byte, 1)); !errors.Is(err, os.ErrDeadlineExceeded) {
			t.Fatalf("connection %d did not hold on while others were answered: %v", i+1, err)
		}
	}
}

func TestSlowSocketsAreHungUpOnByTheServerItself(t *testing.T) {
	log := slog.New(slog.DiscardHandler)
	server := httpServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = io.Copy(io.Discard, r.Body)
	}), log)
	for name, limit := range map[string]*time.Duration{
		"head": &server.ReadHeaderTimeout, "request": &server.ReadTimeout, "answer": &server.WriteTimeout, "rest": &server.IdleTimeout,
	} {
		if *limit <= 0 || *limit > 5*time.Minute {
			t.Errorf("a connection may take %s for its %s", *limit, name)
		}
		// Shortened, so that the test need not wait for it; each end is waited for, however long it takes.
		*limit = 20 * time.Millisecond
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go server.Serve(listener)
	defer server.Close()
	for _, said := range []string{"", "GET / HT", "GET / HTTP/1.1\r\nHost: x\r\nX-Sl", "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\n{", "GET / HTTP/1.1\r\nHost: x\r\n\r\n"} {
		conn, err := net.Dial("tcp", listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := io.WriteString(conn, said); err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, conn); err != nil && !errors.Is(err, syscall.ECONNRESET) {
			t.Errorf("after %q: %v", said, err)
		}
	}
}
