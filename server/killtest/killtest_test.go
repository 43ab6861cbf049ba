package killtest_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"testing"

	"bedwalk/server/killtest"
	"bedwalk/server/realrun"
	"bedwalk/server/testpg"
)

// binary is the real program, built once for all drills.
var binary string

func TestMain(m *testing.M) { os.Exit(withBinary(m.Run)) }

func withBinary(run func() int) int {
	folder, err := os.MkdirTemp("", "bedwalk-killtest-")
	if err == nil {
		defer os.RemoveAll(folder)
		binary, err = realrun.Build(context.Background(), folder)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return run()
}

func TestAProgramThatIsKilledWhilePhonesPushLosesNothingAcknowledged(t *testing.T) {
	const kills = 8
	k, err := killtest.KillLoop(t.Context(), killtest.KillPlan{Binary: binary, Folder: t.TempDir(), Seed: 1, Kills: kills, Phones: 4})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", k)
	if k.Kills != kills || k.Checks != kills+1 || k.Acked == 0 {
		t.Fatalf("the loop did not do what it was asked: %+v", k)
	}
}

func TestAFullDiskRefusesPushesAndKeepsEverythingAcknowledged(t *testing.T) {
	f, err := killtest.FillDisk(t.Context(), binary, t.TempDir(), 1)
	if errors.Is(err, killtest.ErrNoDisk) {
		// Left out where no small disk can be mounted, which takes root.
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", f)
	if f.Refused < 4 || f.Later <= 0 || f.Read != f.Acked {
		t.Fatalf("the drill did not do what it was asked: %+v", f)
	}
}

func TestAServerRestoredFromABackupGetsBackWhatPhonesStillHold(t *testing.T) {
	r, err := killtest.Restore(t.Context(), binary, t.TempDir(), 1)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", r)
	if r.After == 0 || r.Missing != r.After || r.Lost != 0 {
		t.Fatalf("of %d notes since the backup %d were missing and %d are lost: %+v", r.After, r.Missing, r.Lost, r)
	}
}

func TestOnceItsFilesAreGoneAServerAcknowledgesNothingAndNothingIsLost(t *testing.T) {
	for _, harm := range killtest.Harms {
		t.Run(string(harm), func(t *testing.T) {
			h, err := killtest.HarmFiles(t.Context(), binary, t.TempDir(), harm, 1)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%+v", h)
			if h.Acked == 0 || h.Refused == 0 || h.Served < h.Acked {
				t.Fatalf("the drill did not do what it was asked: %+v", h)
			}
		})
	}
}

func TestASecondServerAndARestoreBesideARunningOneAreRefused(t *testing.T) {
	two, err := killtest.TwoServers(t.Context(), binary, t.TempDir(), 1)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", two)
	if two.Acked == 0 || two.Served != two.Acked || two.Refused != 2 || two.Paired == 0 {
		t.Fatalf("the drill did not do what it was asked: %+v", two)
	}
}

func TestOneOfTwoServersOnADatabaseIsKilledAndPhonesGoOnWithTheOther(t *testing.T) {
	const kills = 6
	s, err := killtest.KillOneOfTwo(t.Context(), killtest.SharedPlan{
		Binary: binary, Folder: t.TempDir(), Store: testpg.URL(t), Site: testpg.Site(), Seed: 1, Kills: kills, Phones: 3,
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", s)
	if s.Kills != kills || s.Acked == 0 || s.Moved == 0 {
		t.Fatalf("the drill did not do what it was asked: %+v", s)
	}
}
