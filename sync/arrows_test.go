// Package sync_test holds the house's arrows: schema <- sync <- server, and the floors inside sync. A forbidden import
// fails here with its reason, on the day it is written and not when a circle has grown around it.
package sync_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "bedwalk/"

// mayImport names, for each room of the house, the rooms that it may look into.
var mayImport = map[string]struct {
	rooms  []string
	reason string
}{
	"schema":   {nil, "schema says what may be written down, and must not depend on how it is used"},
	"sync":     {[]string{"schema"}, "sync must come out the same on every device, so it knows no server and no phone"},
	"fixtures": {[]string{"schema", "sync"}, "fixtures are data, and the demo nursery is written in the real entries and nothing else"},
	"pwa":      {nil, "the Go package pwa only carries the built app"},
	"server":   {[]string{"schema", "sync", "fixtures", "pwa"}, "server knows the phone only through schema"},
}

// floors of sync: a package imports only from floors below its own.
var floors = map[string]int{
	"calendar": 0, "climate": 0, "journal": 0, "loss": 0, "stamp": 0, "stats": 0, "unit": 0,
	"fold": 1, "schedule": 1, "tables": 1,
	"bed": 2, "crop": 2, "supply": 2,
	"sim": 3, "sheet": 3,
}

// siblings lists the imports within one floor that were judged needed, each with its need.
var siblings = map[string]string{}

// outside lists what sync may use from other modules; tests are free.
var outside = []string{"gonum.org/v1/gonum/", "github.com/go-json-experiment/json/jsontext", "golang.org/x/text/unicode/norm"}

// impure lists what schema and sync may not even reach through others.
var impure = []string{
	"github.com/labstack/echo", "modernc.org/sqlite", "github.com/gorilla/websocket", "net/http", "database/sql",
}

// doors are the standard packages through which the outside world would come in.
var doors = []string{"os", "net", "database/sql", "crypto/rand", "log", "syscall", "embed", "runtime"}

type pkg struct {
	ImportPath, Name, Dir              string
	Standard                           bool
	GoFiles                            []string
	Imports, TestImports, XTestImports []string
	Deps                               []string
}

// own is the path inside the module, "" for a foreign package.
func (p pkg) own() string {
	if path, ok := strings.CutPrefix(p.ImportPath, module); ok {
		return path
	}
	return ""
}

// isCommand is true of programs: the generators of schema, which run on a developer's machine and never on a device.
func (p pkg) isCommand() bool { return p.Name == "main" }

func TestArrows(t *testing.T) {
	own := ownPackages(t)
	t.Run("run one way between rooms", func(t *testing.T) { checkRooms(t, own) })
	t.Run("run down between the floors of sync", func(t *testing.T) { checkFloors(t, own) })
	t.Run("never reach input or output from sync and schema", func(t *testing.T) { checkReach(t, own) })
	t.Run("never reach a clock, chance or a goroutine from sync", func(t *testing.T) { checkSources(t, own) })
}

func checkRooms(t *testing.T, own []pkg) {
	for _, p := range own {
		from := room(p.own())
		rule, known := mayImport[from]
		if !known {
			t.Errorf("%s is in no room of the house: schema, sync, server, pwa or fixtures", p.own())
			continue
		}
		for _, path := range p.Imports {
			to, ours := strings.CutPrefix(path, module)
			if !ours || room(to) == from {
				continue
			}
			if !slices.Contains(rule.rooms, room(to)) {
				t.Errorf("%s imports %s: %s", p.own(), to, rule.reason)
			}
			if room(to) == "pwa" && to != "pwa" {
				t.Errorf("%s imports %s: only the built app, package pwa, is for the server", p.own(), to)
			}
		}
		for _, path := range slices.Concat(p.TestImports, p.XTestImports) {
			to, ours := strings.CutPrefix(path, module)
			if ours && from != "server" && room(to) == "server" {
				t.Errorf("a test of %s imports %s: %s", p.own(), to, rule.reason)
			}
		}
	}
}

func checkFloors(t *testing.T, own []pkg) {
	for _, p := range own {
		from := floorOf(t, p.own())
		for _, path := range p.Imports {
			ours, isOurs := strings.CutPrefix(path, module)
			if !isOurs {
				continue
			}
			to := floorOf(t, ours)
			if from == nil || to == nil || to.name == from.name {
				continue
			}
			arrow := from.name + " -> " + to.name
			switch {
			case to.height > from.height:
				t.Errorf("sync: %s goes up (floor %d to %d): lower floors must stand without the higher", arrow, from.height, to.height)
			case to.height == from.height && siblings[arrow] == "":
				t.Errorf("sync: %s stays on floor %d: siblings do without each other; if the need is real, name it in siblings", arrow, to.height)
			}
		}
	}
}

func checkReach(t *testing.T, own []pkg) {
	for _, p := range own {
		from := room(p.own())
		if p.isCommand() && from == "sync" {
			t.Errorf("%s is a command: a program reads and writes, and sync is pure; put it where its data lives, such as fixtures/twins", p.own())
		}
		if p.isCommand() || from != "sync" && from != "schema" {
			continue
		}
		for _, dep := range p.Deps {
			for _, forbidden := range impure {
				if dep == forbidden || strings.HasPrefix(dep, forbidden+"/") {
					t.Errorf("%s reaches %s: what must come out the same everywhere does no input or output", p.own(), dep)
				}
			}
		}
		if from != "sync" {
			continue
		}
		for _, path := range p.Imports {
			first, _, _ := strings.Cut(path, "/")
			foreign := strings.Contains(first, ".")
			if foreign && !slices.ContainsFunc(outside, func(ok string) bool { return strings.HasPrefix(path, ok) }) {
				t.Errorf("%s imports %s: sync uses only %v from outside, since each import must be pure", p.own(), path, outside)
			}
			if slices.Contains(doors, path) || slices.ContainsFunc(doors, func(door string) bool { return strings.HasPrefix(path, door+"/") }) {
				t.Errorf("%s imports %s: sync has no input, no output and no randomness of its own; let the caller hand it in", p.own(), path)
			}
		}
	}
}

func checkSources(t *testing.T, own []pkg) {
	for _, p := range own {
		if room(p.own()) != "sync" {
			continue
		}
		for _, name := range p.GoFiles {
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, filepath.Join(p.Dir, name), nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			imported := importNames(file)
			ast.Inspect(file, func(node ast.Node) bool {
				at := func() string { return fmt.Sprintf("%s/%s:%d", p.own(), name, set.Position(node.Pos()).Line) }
				switch node := node.(type) {
				case *ast.GoStmt:
					t.Errorf("%s starts a goroutine: the order of its work would differ between runs", at())
				case *ast.SelectorExpr:
					from, ok := node.X.(*ast.Ident)
					if !ok {
						return true
					}
					switch path := imported[from.Name]; {
					case path == "time" && slices.Contains(clock, node.Sel.Name):
						t.Errorf("%s uses time.%s: sync knows only the times it is handed", at(), node.Sel.Name)
					case strings.HasPrefix(path, "math/rand") && !isSource(node.Sel.Name):
						t.Errorf("%s uses the global rand.%s: randomness comes from a seed that is handed in", at(), node.Sel.Name)
					}
				}
				return true
			})
		}
	}
}

var clock = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Local"}

// isSource is true for the names of math/rand that make or describe a seeded source, and false for those that draw from the global one.
func isSource(name string) bool {
	return strings.HasPrefix(name, "New") || slices.Contains([]string{"Rand", "Source", "PCG", "ChaCha8", "Zipf"}, name)
}

func importNames(file *ast.File) map[string]string {
	names := map[string]string{}
	for _, spec := range file.Imports {
		path, _ := strconv.Unquote(spec.Path.Value)
		name := filepath.Base(path)
		if path == "math/rand/v2" {
			name = "rand"
		}
		if spec.Name != nil {
			name = spec.Name.Name
		}
		names[name] = path
	}
	return names
}

type floor struct {
	name   string
	height int
}

// floorOf is nil outside sync; a package inside another stands on the same floor.
func floorOf(t *testing.T, path string) *floor {
	inside, ok := strings.CutPrefix(path, "sync/")
	if !ok {
		return nil
	}
	name, _, _ := strings.Cut(inside, "/")
	height, known := floors[name]
	if !known {
		t.Errorf("sync/%s has no floor yet: give it one in sync/arrows_test.go", name)
		return nil
	}
	return &floor{name, height}
}

func room(path string) string {
	name, _, _ := strings.Cut(path, "/")
	return name
}

func ownPackages(t *testing.T) []pkg {
	t.Helper()
	rememberFolders(t)
	list := exec.Command("go", "list", "-deps", "-json=ImportPath,Name,Dir,Standard,GoFiles,Imports,TestImports,XTestImports,Deps", "./...")
	list.Dir = ".."
	var complaint bytes.Buffer
	list.Stderr = &complaint
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, complaint.String())
	}
	var own []pkg
	for decoder := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pkg
		err := decoder.Decode(&p)
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if p.own() != "" {
			own = append(own, p)
		}
	}
	if len(own) == 0 {
		t.Fatal("go list found no package of this module: the rules were not checked")
	}
	return own
}

// rememberFolders opens every folder that the rules are about. What another process reads (go list) is unknown to the
// test cache, and without this an old pass would be shown after a new import.
func rememberFolders(t *testing.T) {
	t.Helper()
	for name := range mayImport {
		err := filepath.WalkDir(filepath.Join("..", name), func(_ string, _ fs.DirEntry, err error) error { return err })
		if err != nil {
			t.Fatal(err)
		}
	}
}
