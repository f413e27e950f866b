package main

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestStructureImports holds every package to the row of its room in the table
// rooms. Tests may import what they like.
func TestStructureImports(t *testing.T) {
	pkgs := list(t, "./...")
	var cgoFree []string
	for _, p := range own(pkgs) {
		if len(p.GoFiles)+len(p.CgoFiles) == 0 {
			continue // nothing but tests
		}
		r, ok := roomOf(p.ImportPath)
		if !ok {
			t.Errorf("%s lies in no room: give it a row in the table rooms", p.ImportPath)
			continue
		}
		checkKnows(t, p, r)
		for _, b := range r.never {
			checkBan(t, pkgs, p, b)
			if b.cgo {
				cgoFree = append(cgoFree, p.ImportPath)
			}
		}
	}
	if len(cgoFree) > 0 && !t.Failed() {
		goCommand(t, []string{"CGO_ENABLED=0"}, append([]string{"build"}, cgoFree...)...)
	}
}

// own gives the packages of this module, in order.
func own(pkgs map[string]pkg) []pkg {
	var of []pkg
	for _, name := range slices.Sorted(maps.Keys(pkgs)) {
		if strings.HasPrefix(name, module) {
			of = append(of, pkgs[name])
		}
	}
	return of
}

func checkKnows(t *testing.T, p pkg, r room) {
	t.Helper()
	for _, imported := range p.Imports {
		other, ok := roomOf(imported)
		if !strings.HasPrefix(imported, module) || !ok || other.path == r.path {
			continue
		}
		if !slices.Contains(r.knows, other.path) && !slices.Equal(r.knows, everything) {
			t.Errorf("%s must not know %s", short(p.ImportPath), short(imported))
		}
	}
}

func checkBan(t *testing.T, pkgs map[string]pkg, p pkg, b ban) {
	t.Helper()
	for _, imported := range p.Imports {
		for _, banned := range b.imports {
			if imported == banned {
				t.Errorf("%s must not import %s", short(p.ImportPath), banned)
			}
		}
	}
	for _, dep := range p.Deps {
		q := pkgs[dep]
		outside := !q.Standard && !strings.HasPrefix(dep, module)
		switch {
		case slices.ContainsFunc(b.depends, func(banned string) bool { return within(dep, banned) }),
			b.foreign && outside,
			b.cgo && !q.Standard && len(q.CgoFiles) > 0:
			t.Errorf("%s must not depend on %s (%s)", short(p.ImportPath), dep, way(pkgs, p.ImportPath, dep))
		}
	}
	if len(b.calls) > 0 {
		checkCalls(t, p, b.calls)
	}
}

// way is the shortest chain of imports from one package to another.
func way(pkgs map[string]pkg, from, to string) string {
	before := map[string]string{from: ""}
	for queue := []string{from}; len(queue) > 0; queue = queue[1:] {
		for _, next := range pkgs[queue[0]].Imports {
			if _, seen := before[next]; !seen {
				before[next] = queue[0]
				queue = append(queue, next)
			}
		}
	}
	chain := short(to)
	for at := before[to]; at != ""; at = before[at] {
		chain = short(at) + " -> " + chain
	}
	return chain
}

func short(importPath string) string { return strings.TrimPrefix(importPath, module) }

// checkCalls finds the uses of functions of package time.
func checkCalls(t *testing.T, p pkg, banned []string) {
	t.Helper()
	for _, name := range p.GoFiles {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		local := localName(file, "time")
		ast.Inspect(file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok || !slices.Contains(banned, sel.Sel.Name) {
				return true
			}
			if x, ok := sel.X.(*ast.Ident); ok && local != "" && x.Name == local {
				t.Errorf("%s must not read the clock: %s:%d uses time.%s",
					short(p.ImportPath), name, fset.Position(sel.Pos()).Line, sel.Sel.Name)
			}
			return true
		})
	}
}

// wording are the functions of calculating packages that the command may call:
// those that read what was typed or give figures as people read them. Whatever
// else people do is a verb of the workbench, where the desk finds it too.
var wording = regexp.MustCompile(`^(Parse|Validate|Check|Write|Tenth$|Percent$|Numbers$)`)

// touching are what the command may use of package os: it reads and writes files by
// package files.
var touching = []string{"Args", "Exit", "Stdin", "Stdout", "Stderr", "File", "ModeCharDevice", "Interrupt", "Getenv", "UserConfigDir", "Stat"}

// TestStructureCommandIsWiring holds the command to flags, wiring and printing: of
// the packages that calculate it takes types and words.
func TestStructureCommandIsWiring(t *testing.T) {
	pkgs := list(t, "./cmd/traystage")
	p := pkgs[module+"cmd/traystage"]
	for _, name := range p.GoFiles {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				for _, of := range core {
					if of == "vision/note" {
						continue // the figures in what the command says
					}
					if f := nameIn(file, module+of, n.Fun); f != "" && !wording.MatchString(f) {
						t.Errorf("%s:%d: the command calls %s.%s: let a verb of the workbench do it", name, fset.Position(n.Pos()).Line, of, f)
					}
				}
			case *ast.SelectorExpr:
				if f := nameIn(file, "os", n); f != "" && !slices.Contains(touching, f) {
					t.Errorf("%s:%d: the command uses os.%s: let package files do it", name, fset.Position(n.Pos()).Line, f)
				}
			}
			return true
		})
	}
}

// nameIn is what an expression names in an imported package; empty for anything else.
func nameIn(file *ast.File, importPath string, e ast.Expr) string {
	sel, ok := e.(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	x, ok := sel.X.(*ast.Ident)
	if local := localName(file, importPath); !ok || local == "" || x.Name != local {
		return ""
	}
	return sel.Sel.Name
}

// localName is what a file calls an imported package whose name is the last
// part of its path; empty when the file does not import it.
func localName(file *ast.File, importPath string) string {
	for _, spec := range file.Imports {
		if p, err := strconv.Unquote(spec.Path.Value); err != nil || p != importPath {
			continue
		}
		if spec.Name != nil {
			return spec.Name.Name
		}
		return filepath.Base(importPath)
	}
	return ""
}

// TestStructureNoGocvOutside looks through everything that package vision
// exports: an OpenCV value that got out would have to be closed by the caller.
func TestStructureNoGocvOutside(t *testing.T) {
	pkgs := list(t, "-export", "./vision")
	lookup := func(name string) (io.ReadCloser, error) { return os.Open(pkgs[name].Export) }
	vision, err := importer.ForCompiler(token.NewFileSet(), "gc", lookup).Import(module + "vision")
	if err != nil {
		t.Fatal(err)
	}
	w := walker{seen: map[types.Type]bool{}}
	for _, name := range vision.Scope().Names() {
		if obj := vision.Scope().Lookup(name); obj.Exported() && w.reachesGocv(obj.Type()) {
			t.Errorf("vision.%s gives out a type of gocv", name)
		}
	}
}

// walker goes through the types that a caller can get at.
type walker struct{ seen map[types.Type]bool }

func (w walker) reachesGocv(typ types.Type) bool {
	if w.seen[typ] {
		return false
	}
	w.seen[typ] = true
	switch typ := types.Unalias(typ).(type) {
	case *types.Named:
		return w.namedReaches(typ)
	case *types.Signature:
		return w.reachesGocv(typ.Params()) || w.reachesGocv(typ.Results())
	case *types.Tuple:
		return slices.ContainsFunc(slices.Collect(typ.Variables()), func(v *types.Var) bool { return w.reachesGocv(v.Type()) })
	case *types.Struct:
		return slices.ContainsFunc(slices.Collect(typ.Fields()), func(v *types.Var) bool { return v.Exported() && w.reachesGocv(v.Type()) })
	case *types.Interface:
		return slices.ContainsFunc(slices.Collect(typ.Methods()), func(f *types.Func) bool { return w.reachesGocv(f.Type()) })
	case *types.Map:
		return w.reachesGocv(typ.Key()) || w.reachesGocv(typ.Elem())
	case interface{ Elem() types.Type }: // pointer, slice, array, channel
		return w.reachesGocv(typ.Elem())
	}
	return false
}

// namedReaches looks at a named type: whose it is, what it is made of, and what
// its exported methods take and give.
func (w walker) namedReaches(typ *types.Named) bool {
	home := typ.Obj().Pkg()
	if home == nil {
		return false
	}
	if within(home.Path(), gocv.depends[0]) {
		return true
	}
	if !strings.HasPrefix(home.Path(), module) {
		return false
	}
	for m := range typ.Methods() {
		if m.Exported() && w.reachesGocv(m.Type()) {
			return true
		}
	}
	return w.reachesGocv(typ.Underlying())
}
