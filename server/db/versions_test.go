package db_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// The library modernc.org/libc does not keep to semantic versions: modernc.org/sqlite works with the one that it was
// tested with, and says which in its own go.mod.
func TestSQLiteStandsOnTheLibcThatItWasTestedWith(t *testing.T) {
	list := func(format, module string) string {
		t.Helper()
		out, err := exec.Command("go", "list", "-m", "-f", format, module).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(string(out))
	}
	raw, err := os.ReadFile(list("{{.GoMod}}", "modernc.org/sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	if want := "modernc.org/libc " + list("{{.Version}}", "modernc.org/libc"); !strings.Contains(string(raw), want) {
		t.Fatalf("modernc.org/sqlite does not ask for %s; put its own version into go.mod", want)
	}
}
