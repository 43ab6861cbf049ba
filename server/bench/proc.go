package main

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"

	"bedwalk/server/realrun"
)

// tellMemory says what a program has in memory, where the system knows.
func tellMemory(program *realrun.Program, name string) error {
	mb, known, err := residentMB(program.PID())
	if err != nil || !known {
		return err
	}
	return tell(name, "MB", mb)
}

// residentMB is what a process has in memory; known is false outside Linux.
func residentMB(pid int) (mb float64, known bool, err error) {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		// No such file outside Linux: the figure is left out.
		return 0, false, nil
	}
	for line := range strings.Lines(string(raw)) {
		if rest, found := strings.CutPrefix(line, "VmRSS:"); found {
			kb, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
			return kb / 1024, true, err
		}
	}
	return 0, false, nil
}

// processorSeconds is the processor time that a process has taken; known is false outside Linux.
func processorSeconds(pid int) (seconds float64, known bool, err error) {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		// As for the memory.
		return 0, false, nil
	}
	// Behind the program's name in brackets the 12th and 13th fields are user and system time, in hundredths of a second (proc(5)).
	fields := strings.Fields(string(raw[bytes.LastIndexByte(raw, ')')+1:]))
	if len(fields) < 13 {
		return 0, false, nil
	}
	for _, field := range fields[11:13] {
		ticks, err := strconv.ParseFloat(field, 64)
		if err != nil {
			return 0, true, err
		}
		seconds += ticks / 100
	}
	return seconds, true, nil
}
