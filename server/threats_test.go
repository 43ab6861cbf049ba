package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func TestEveryTestThatTheThreatModelNamesIsThere(t *testing.T) {
	raw, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, begins := strings.Cut(string(raw), "<!-- threats: begin -->\n")
	table, _, ends := strings.Cut(rest, "<!-- threats: end -->")
	if !begins || !ends {
		t.Fatal("DEVELOPERS.md has no threat model between its two marks")
	}
	there := testsOf(t, "..")
	rows := strings.Split(strings.TrimSpace(table), "\n")[2:]
	for _, row := range rows {
		cells := strings.Split(row, "|")
		if len(cells) != 6 {
			t.Errorf("a row has %d cells: %s", len(cells)-2, row)
			continue
		}
		named := regexp.MustCompile("`(\\w+)`").FindAllStringSubmatch(cells[4], -1)
		if len(named) == 0 {
			t.Errorf("no test is named: %s", row)
		}
		for _, name := range named {
			if !there[name[1]] {
				t.Errorf("%s is nowhere, but stands for: %s", name[1], strings.TrimSpace(cells[3]))
			}
		}
	}
	if len(rows) < 20 {
		t.Errorf("the threat model has %d rows", len(rows))
	}
}

// testsOf are the names of all Go tests in the program's own folders.
func testsOf(t *testing.T, root string) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func (Test\w+)\(t \*testing\.T\)`)
	for _, folder := range []string{"schema", "sync", "server", "fixtures"} {
		err := filepath.WalkDir(filepath.Join(root, folder), func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, "_test.go") {
				return err
			}
			raw, err := os.ReadFile(path)
			for _, name := range declared.FindAllSubmatch(raw, -1) {
				all[string(name[1])] = true
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return all
}
