// Command bedwalk is the whole program: the server with the phone app inside, the demo nursery, backup and its return,
// and what the simulator and the score sheet offer at the command line.
//
// This file is the plain list of commands; open (parts.go) is the plain list of parts that they are put together from.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"
	_ "golang.org/x/crypto/x509roots/fallback" // for a machine, or a container, that knows no authorities of certificates

	"bedwalk/server/secure"
)

type commands struct {
	Serve    serveCommand    `cmd:"" help:"Serve phones and browsers until Ctrl-C."`
	Pair     pairCommand     `cmd:"" help:"Print a one-time link that pairs one more phone or browser. Works while the server runs."`
	Demo     demoCommand     `cmd:"" help:"Fill an empty data folder with the demo nursery."`
	Backup   backupCommand   `cmd:"" help:"Copy everything to a folder or a bucket, while the server runs."`
	Key      keyCommand      `cmd:"" help:"Make a key that backups are encrypted for."`
	Restore  restoreCommand  `cmd:"" help:"Put a backup in place of the data. Stop the server first."`
	Verify   verifyCommand   `cmd:"" help:"Check that the data is sound by computing everything again."`
	Export   exportCommand   `cmd:"" help:"Write everything into files of open formats, while the server runs."`
	Import   importCommand   `cmd:"" help:"Make a new data folder from what export wrote."`
	Copy     copyCommand     `cmd:"" help:"Copy the nursery of a data folder into PostgreSQL, or back. Stop the server first; what it was copied from is served no more."`
	Group    groupCommand    `cmd:"" help:"Links by which an owner sees several nurseries of a database side by side."`
	Doctor   doctorCommand   `cmd:"" help:"Say what keeps the server from its work, and what to do. Takes the flags of serve."`
	Simulate simulateCommand `cmd:"" help:"Simulate phones and server on days when everything goes wrong, from seeds, and check that nothing is lost."`
	Score    scoreCommand    `cmd:"" help:"Score beds from a CSV of measured pots, without a server."`
}

// dataFlag is shared by all commands that work on a data folder.
type dataFlag struct {
	Data string `help:"Folder that holds the data." default:"data" type:"path" placeholder:"DIR"`
}

// ofDisk adds what to do to what the system says of a disk, wherever it comes from.
func ofDisk(err error) error {
	switch {
	// The sentence is what Windows says.
	case errors.Is(err, syscall.ENOSPC), strings.Contains(err.Error(), "not enough space on the disk"):
		return fmt.Errorf("%w\nThe disk is full: free some space on it, or name a folder on another", err)
	case errors.Is(err, syscall.EROFS):
		return fmt.Errorf("%w\nThe disk can only be read: have it mounted for writing (a damaged one is not any more), or name a folder on another", err)
	case errors.Is(err, os.ErrPermission):
		return fmt.Errorf("%w\nThis user may not do that: run it as the user that the server runs as, or let that user have the folder", err)
	}
	return err
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	// A second signal ends the program at once.
	context.AfterFunc(ctx, stop)
	var c commands
	run := kong.Parse(&c, options(ctx)...)
	if err := run.Run(); err != nil {
		fmt.Fprintln(os.Stderr, "bedwalk:", ofDisk(err))
		os.Exit(1)
	}
}

func options(ctx context.Context) []kong.Option {
	return []kong.Option{
		kong.Name("bedwalk"),
		kong.Description("Walk notes for bed-grown flowering pot plants: an offline-first phone app and its sync server."),
		kong.UsageOnError(),
		kong.Vars{"authority": secure.Authority},
		kong.BindTo(ctx, (*context.Context)(nil)),
	}
}
