package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// The rules of where things lie. The tests of this file and of
// structure_code_test.go hold the tree to them; to change a rule, change it
// here and in DEVELOPERS.md.

// room is one row of the table of who may know whom. A package belongs to the
// room with the longest path that it lies in.
type room struct {
	path  string
	knows []string // rooms it may import; a room may always import itself
	never []ban
}

var rooms = []room{
	{"vision/zones", nil, never(cgo, disk, clock, foreign)},
	{"vision/note", nil, never(cgo, disk, clock, foreign)},
	{"vision/internal", []string{"vision/zones", "vision/note"}, nil},
	{"vision", []string{"vision/zones", "vision/note", "vision/internal"}, never(gocvItself)},
	{"calibrate", []string{"vision/zones", "vision/note"}, never(cgo, disk, clock)},
	{"scoring", core, never(cgo, sql, http, disk, clock)},
	{"scoring/instrument", core, never(cgo, sql, http, disk, clock)},
	{"scoring/table", nil, never(cgo, sql, http, disk, clock)},
	{"scoring/trend", core, never(cgo, sql, http, disk, clock)},
	{"scoring/ledger", core, never(gocv, http)},
	{"scoring/words", []string{"vision/note"}, never(cgo, sql, http, disk, clock)},
	{"scoring/report", append([]string{"scoring/words"}, core...), never(gocv, httpItself, sql)},
	{"scoring/report/overlay", core, never(cgo, http, sql, disk, clock)},
	{"refimages", []string{"refimages/painter", "vision/zones", "vision/note", "calibrate"}, never(gocv)},
	{"refimages/painter", []string{"vision/zones", "vision/note", "calibrate"}, never(gocv)},
	{"cmd", everything, never(gocvItself)},
	{"cmd/traystage", append([]string{"cmd/internal", "cmd/internal/workbench", "scoring/report", "scoring/words"}, core...), never(gocvItself, sqlItself)},
	{"cmd/internal", everything, never(gocvItself)},
	{"cmd/internal/workbench", append([]string{"cmd/internal", "vision", "scoring/ledger", "scoring/report/overlay", "scoring/words", "refimages"}, core...), never(gocvItself, http, terminal)},
}

// core is what the packages that turn calls into a decision share.
var core = []string{"vision/zones", "vision/note", "calibrate", "scoring", "scoring/instrument", "scoring/table", "scoring/trend"}

var everything = []string{"*"}

// ban is something that a room must not do.
type ban struct {
	imports []string // import paths that its packages must not name themselves
	depends []string // import paths that must not be reached through others either
	foreign bool     // no package from outside the standard library and this module
	cgo     bool     // everything it depends on builds with CGO_ENABLED=0
	calls   []string // functions of package time that it must not use
}

var (
	// What only calculates must build, and be tested, where there is no OpenCV.
	gocv = ban{depends: []string{"gocv.io/x/gocv"}}
	cgo  = ban{cgo: true}
	// OpenCV's memory is handled below vision/internal and nowhere else.
	gocvItself = ban{imports: []string{"gocv.io/x/gocv"}}
	foreign    = ban{foreign: true}
	sql        = ban{depends: []string{"database/sql"}}
	sqlItself  = ban{imports: []string{"database/sql"}}
	// Flags and the terminal are the command's.
	terminal = ban{imports: []string{"flag", "github.com/spf13/cobra", "github.com/spf13/pflag", "os/signal", "text/tabwriter"}}
	http     = ban{depends: []string{"net/http"}}
	// The library that writes spreadsheets can fetch pictures; nothing here asks it to.
	httpItself = ban{imports: []string{"net/http"}}
	// Readers, writers and fs.FS are handed in by the command.
	disk = ban{imports: []string{"os", "os/exec", "io/ioutil", "path/filepath", "syscall"}}
	// The day is handed in by the command.
	clock = ban{calls: []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Sleep"}}
)

func never(bans ...ban) []ban { return bans }

// atTheTop are the entries that may stand at the top, besides names that begin
// with a dot; bin and demo are made by make and not kept.
var atTheTop = []string{
	"README.md", "DEVELOPERS.md", "LICENSE", "Makefile", "go.mod", "go.sum",
	"cmd", "vision", "calibrate", "scoring", "refimages", "testdata",
	"bin", "demo",
}

// longestFile is the number of lines that no Go file goes beyond.
const longestFile = 450

// sourced are the folders in which files must have their origin written down,
// in a README.md or SOURCES.md beside or above them: in testdata every file, in
// the others every picture.
var sourced = []struct {
	folder string
	kinds  []string // extensions; none means all files
}{
	{"testdata", nil},
	{"refimages", pictures},
	{"cmd", pictures},
	{"vision", pictures},
	{"scoring", pictures},
	{"calibrate", pictures},
}

var pictures = []string{".png", ".jpg", ".jpeg", ".gif", ".webp", ".heic", ".tif", ".tiff"}

// root is the top of the module, as seen from this package.
const root = "../.."

// module is the path of this module; those of its packages begin with it.
const module = "traystage/"

// pkg is what go list says of one package.
type pkg struct {
	ImportPath string
	Dir        string
	Standard   bool
	GoFiles    []string
	CgoFiles   []string
	Imports    []string
	Deps       []string
	Export     string // file with the compiled form, where asked for
}

// list runs go list on patterns of this module and returns what it says, by
// import path.
func list(t *testing.T, args ...string) map[string]pkg {
	t.Helper()
	fields := "-json=ImportPath,Dir,Standard,GoFiles,CgoFiles,Imports,Deps,Export"
	out := goCommand(t, nil, append([]string{"list", "-deps", fields}, args...)...)
	pkgs := map[string]pkg{}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pkg
		err := dec.Decode(&p)
		if errors.Is(err, io.EOF) {
			return pkgs
		}
		if err != nil {
			t.Fatalf("go list: %v", err)
		}
		pkgs[p.ImportPath] = p
	}
}

func goCommand(t *testing.T, env []string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command("go", args...)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), env...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go %s: %v\n%s", strings.Join(args, " "), err, stderr.Bytes())
	}
	return out
}

// roomOf gives the room that a package of this module belongs to.
func roomOf(importPath string) (room, bool) {
	var found room
	dir := strings.TrimPrefix(importPath, module)
	for _, r := range rooms {
		if within(dir, r.path) && len(r.path) > len(found.path) {
			found = r
		}
	}
	return found, found.path != ""
}

// within tells whether an import path is that of a folder or of one below it.
func within(importPath, folder string) bool {
	return importPath == folder || strings.HasPrefix(importPath, folder+"/")
}

func TestStructureTop(t *testing.T) {
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(atTheTop, e.Name()) {
			t.Errorf("%s must not stand at the top: move it to the part it belongs to", e.Name())
		}
	}
}

func TestStructureFileLength(t *testing.T) {
	eachFile(t, ".", func(file string) {
		if path.Ext(file) != ".go" {
			return
		}
		text, err := os.ReadFile(filepath.Join(root, file))
		if err != nil {
			t.Fatal(err)
		}
		if n := bytes.Count(text, []byte("\n")); n > longestFile {
			t.Errorf("%s has %d lines, more than %d: split it by idea", file, n, longestFile)
		}
	})
}

func TestStructureSources(t *testing.T) {
	for _, s := range sourced {
		eachFile(t, s.folder, func(file string) {
			if isNote(path.Base(file)) || path.Ext(file) == ".go" {
				return
			}
			if s.kinds != nil && !slices.Contains(s.kinds, strings.ToLower(path.Ext(file))) {
				return
			}
			if !hasSource(file) {
				t.Errorf("%s: no README.md or SOURCES.md beside or above it has a line on it: say where it comes from", file)
			}
		})
	}
}

// hasSource tells whether a note in the file's folder, or in one above it,
// names the file: by its path from the note's folder, by its name alone, or by
// a pattern such as `maps/*.png`.
func hasSource(file string) bool {
	for dir := path.Dir(file); dir != "."; dir = path.Dir(dir) {
		below := strings.TrimPrefix(file, dir+"/")
		for _, name := range []string{"README.md", "SOURCES.md"} {
			text, err := os.ReadFile(filepath.Join(root, dir, name))
			if err != nil {
				continue
			}
			if names(string(text), below) || names(string(text), path.Base(file)) {
				return true
			}
		}
	}
	return false
}

// names tells whether a note has the file name, or a pattern for it, as one of
// its words.
func names(note, file string) bool {
	words := strings.FieldsFunc(note, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("|`()[],;:", r)
	})
	return slices.ContainsFunc(words, func(word string) bool {
		// A pattern names something: the star of a list does not.
		if !strings.ContainsFunc(word, unicode.IsLetter) {
			return word == file
		}
		ok, err := path.Match(strings.TrimSuffix(word, "."), file)
		return err == nil && ok
	})
}

func isNote(name string) bool { return name == "README.md" || name == "SOURCES.md" }

// eachFile calls f with the slash-separated path of every file in a folder of
// the module; folders that are not kept, and hidden ones, are passed over.
func eachFile(t *testing.T, folder string, f func(file string)) {
	t.Helper()
	err := filepath.WalkDir(filepath.Join(root, folder), func(name string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case !d.IsDir():
			f(rel)
		case rel == "bin", rel == "demo", rel != "." && strings.HasPrefix(d.Name(), "."):
			return filepath.SkipDir
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestStructureSourcePatterns(t *testing.T) {
	const note = "* `a.png` one tray.\n| maps/*.jpg | drawn |\n**bold** and (see b.csv).\n"
	for file, want := range map[string]bool{
		"a.png": true, "maps/7.jpg": true, "b.csv": true,
		"c.png": false, "7.jpg": false, "maps/7.png": false, "a": false,
	} {
		if got := names(note, file); got != want {
			t.Errorf("names(note, %q) = %v, want %v", file, got, want)
		}
	}
}
