// Command gen writes what other languages need to know of package schema: the TypeScript types and limits, and the
// JSON Schemas of which server/api makes its OpenAPI document. It reads the Go structs and their validator tags, so that nothing is written down
// twice; go generate ./schema runs it in the schema folder.
//
// The output depends on the sources alone: same sources, same bytes. A test compares the files on disk.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	if err := write("."); err != nil {
		fmt.Fprintln(os.Stderr, "generate schema:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	made, err := files(dir)
	if err != nil {
		return err
	}
	for name, text := range made {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("make the folder of %s: %w", path, err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			return fmt.Errorf("write %s: %w", path, err)
		}
	}
	return nil
}

// files is all generated files by their path under the schema folder dir.
func files(dir string) (map[string]string, error) {
	src, err := readSource(dir)
	if err != nil {
		return nil, err
	}
	made := map[string]string{}
	for name, make := range map[string]func(*source) (string, error){
		"types.ts":         typesTS,
		"limits.ts":        limitsTS,
		"kinds.ts":         kindsTS,
		"starts.ts":        startsTS,
		"definitions.json": definitionsJSON,
	} {
		if made[name], err = make(src); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return made, nil
}
