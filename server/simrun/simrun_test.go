package simrun

import (
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"bedwalk/sync/sim"
)

func TestTemp(t *testing.T) {
	from, _ := strconv.Atoi(os.Getenv("SIM_FROM"))
	n, _ := strconv.Atoi(os.Getenv("SIM_N"))
	if n == 0 {
		n = 1
	}
	bad := 0
	for i := range n {
		began := time.Now()
		o := sim.Options{Seed: uint64(from + i), Open: Open("/dev/shm"), Plant: sim.Plant(os.Getenv("SIM_PLANT"))}
		if os.Getenv("SIM_TRACE") != "" {
			o.Trace = func(l string) { fmt.Println(l) }
		}
		r, err := sim.Run(o)
		if err != nil {
			t.Errorf("seed %d: %v", o.Seed, err)
			continue
		}
		if len(r.Violations) > 0 {
			bad++
			fmt.Printf("seed %d: %v (%v)\n", o.Seed, r.Violations[0], time.Since(began))
		} else if n < 5 {
			fmt.Printf("%+v %v\n", r, time.Since(began))
		}
	}
	fmt.Println("bad", bad, "of", n)
}
