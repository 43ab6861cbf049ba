// Command bench measures the server against the limits of the machine and library that it stands on, in one run, so
// that ratios hold where rates do not.
//
// It prints one JSON line a figure; pwa/tools/bench-sync.mjs runs it beside the peers and lays out the tables. It is a
// bench and never a test: nothing fails because a machine is slow. The central function is main.
package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/signal"

	"github.com/alecthomas/kong"
)

type commands struct {
	Push  pushCommand  `cmd:"" help:"Durable push over HTTP into the real program, beside raw inserts of the same rows."`
	Micro microCommand `cmd:"" help:"Fold, score, digest and canonical form, for one note."`
	Load  loadCommand  `cmd:"" help:"Push notes into a program that runs already."`
	Scale scaleCommand `cmd:"" help:"What a nursery of some size costs: views, memory, start, pushes, digests."`
	Plan  planCommand  `cmd:"" help:"The plan of about 500 lots: until the first is there, and each answer from then on."`
	Soak  soakCommand  `cmd:"" help:"A crew that returns at once, many idle connections, and minutes of work: longest answers, memory, order of service."`
	Notes notesCommand `cmd:"" help:"Write the notes of a push as JSON lines, for the peers to take."`
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	var c commands
	run := kong.Parse(&c, kong.Name("bench"), kong.BindTo(ctx, (*context.Context)(nil)))
	if err := run.Run(); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

// figure is one measured thing: a value for each run, in Unit.
type figure struct {
	Name string    `json:"name"`
	Unit string    `json:"unit"`
	Runs []float64 `json:"runs"`
}

func (f figure) print() error { return json.NewEncoder(os.Stdout).Encode(f) }
