// Command drill runs the drills of package killtest at full size on the real program and prints their figures.
//
//	go run ./server/killtest/drill --kills 60
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"

	"github.com/alecthomas/kong"

	"bedwalk/server/killtest"
	"bedwalk/server/realrun"
	"bedwalk/server/testpg"
)

type options struct {
	Kills int    `help:"How often the program is killed." default:"60"`
	Seed  uint64 `help:"Seed of the notes and of the moments of the kills; 0 takes the time of day." default:"0"`
	Only  string `help:"Run one drill alone: kill, full, restore, files (deleted, replaced, moved), two (servers on one folder) or shared (two on one database)." enum:"kill,full,restore,files,two,shared,all" default:"all"`
	Disk  string `help:"Folder for the data of the kill loop, to try another disk." type:"existingdir"`
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	var o options
	kong.Parse(&o, kong.Name("drill"), kong.Description("Kill and restore the real program, fill its disk, take its files away, and count what is lost."))
	if err := o.run(ctx); err != nil {
		fmt.Fprintln(os.Stderr, "drill:", err)
		os.Exit(1)
	}
}

func (o options) run(ctx context.Context) (err error) {
	folder, err := os.MkdirTemp(o.Disk, "bedwalk-drill-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	if o.Seed == 0 {
		o.Seed = uint64(time.Now().UnixNano())
	}
	binary, err := realrun.Build(ctx, folder)
	if err != nil {
		return err
	}
	fmt.Printf("seed %d\n", o.Seed)
	for _, drill := range []struct {
		name string
		run  func(ctx context.Context, binary, folder string) error
	}{{"kill", o.kill}, {"full", o.fill}, {"restore", o.restore}, {"files", o.files}, {"two", o.two}, {"shared", o.shared}} {
		if o.Only == "all" || o.Only == drill.name {
			err = errors.Join(err, drill.run(ctx, binary, filepath.Join(folder, drill.name)))
		}
	}
	return err
}

func (o options) kill(ctx context.Context, binary, folder string) error {
	k, err := killtest.KillLoop(ctx, killtest.KillPlan{Binary: binary, Folder: folder, Seed: o.Seed, Kills: o.Kills, Phones: 6})
	if err != nil {
		return fmt.Errorf("kill loop: %w", err)
	}
	fmt.Printf("kill -9 while phones push:  %d kills, %d with a push on its way, %d more at a start; %d notes acknowledged, 0 lost, 0 twice; "+
		"%d kept without an answer and answered as repeats; %d checks of the whole database, all sound\n",
		k.Kills, k.Between, k.AtStart, k.Acked, k.Unanswered, k.Checks)
	return nil
}

func (o options) fill(ctx context.Context, binary, folder string) error {
	f, err := killtest.FillDisk(ctx, binary, folder, o.Seed)
	if errors.Is(err, killtest.ErrNoDisk) {
		fmt.Printf("full disk:                  SKIPPED, %v\n", err)
		return nil
	}
	if err != nil {
		return fmt.Errorf("full disk: %w", err)
	}
	fmt.Printf("full disk of %d MB:         %d notes acknowledged, %d stored, %d pushes refused with 507, %d notes read while it was full, "+
		"%d more accepted once there was room; sound\n", f.DiskMB, f.Acked, f.Acked, f.Refused, f.Read, f.Later)
	return nil
}

func (o options) restore(ctx context.Context, binary, folder string) error {
	r, err := killtest.Restore(ctx, binary, folder, o.Seed)
	if err != nil {
		return fmt.Errorf("restored backup: %w", err)
	}
	fmt.Printf("restored backup:            %d notes acknowledged before it, %d after; %d missing at first, %d lost once the phones had sent "+
		"again; %d phones match the server\n", r.Before, r.After, r.Missing, r.Lost, r.Equal)
	return nil
}

func (o options) files(ctx context.Context, binary, folder string) error {
	for _, harm := range killtest.Harms {
		h, err := killtest.HarmFiles(ctx, binary, filepath.Join(folder, strings.ReplaceAll(string(harm), " ", "-")), harm, o.Seed)
		if err != nil {
			return fmt.Errorf("%s: %w", harm, err)
		}
		fmt.Printf("%-35s %d notes acknowledged, %d pushes refused with 503, 0 acknowledged after; %d in what was put back, %d served at the end; sound\n",
			string(harm)+":", h.Acked, h.Refused, h.Rescued, h.Served)
	}
	return nil
}

func (o options) two(ctx context.Context, binary, folder string) error {
	t, err := killtest.TwoServers(ctx, binary, folder, o.Seed)
	if err != nil {
		return fmt.Errorf("two servers on one folder: %w", err)
	}
	fmt.Printf("two servers on one folder:  %d notes acknowledged, %d served after a kill; a second server and a restore turned away (%d), %d pairings made beside it, no epoch begun\n",
		t.Acked, t.Served, t.Refused, t.Paired)
	return nil
}

func (o options) shared(ctx context.Context, binary, folder string) error {
	store, err := testpg.Start()
	if testpg.Skips(err) {
		fmt.Printf("two on one database:        SKIPPED, %v\n", err)
		return nil
	}
	if err != nil {
		return err
	}
	s, err := killtest.KillOneOfTwo(ctx, killtest.SharedPlan{Binary: binary, Folder: folder, Store: store, Site: testpg.Site(), Seed: o.Seed, Kills: o.Kills, Phones: 6})
	if err != nil {
		return fmt.Errorf("two servers on one database: %w", err)
	}
	fmt.Printf("two on one database:        one of them killed %d times; %d notes acknowledged, 0 lost, 0 twice; phones went to the other %d times, %d of them without an answer\n",
		s.Kills, s.Acked, s.Moved, s.Unanswered)
	return nil
}
