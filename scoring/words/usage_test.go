package words

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// families are the types whose constants are terms, with the family that their
// words stand under.
var families = map[string]string{
	"scoring.Quantity": "quantity",
	"scoring.State":    "state",
	"scoring.Outcome":  "outcome",

	"instrument.CheckKind": "check_kind",
	"ledger.Outcome":       "kept",
	"calibrate.Verdict":    "set_verdict",
	"trend.State":          "window_state",
	"trend.Reach":          "reach",
}

// root is the top of the module, as seen from this package.
const root = "../.."

// use is one place of the program where something is said.
type use struct {
	at      string
	key     string
	figures map[string]bool // that it gives; nil where that cannot be read off the source
}

// source is what the program's own files say of codes and keys.
type source struct {
	fset   *token.FileSet
	consts map[string]string // value of each string constant, by package and name
	keys   map[string]bool   // that must have words
	uses   []use
}

// TestEveryCodeHasWords reads the program: every code of a note, every term and
// every key that a text is asked by has words, every figure that these show is
// given, and no words are left that nobody says.
func TestEveryCodeHasWords(t *testing.T) {
	s := readSource(t)
	c := all()[Default]
	if len(s.keys) < len(families) {
		t.Fatalf("only %d keys were found in the source: the reading of it is at fault", len(s.keys))
	}
	for _, u := range s.uses {
		s.keys[u.key] = true
		m, ok := c.messages[u.key]
		if !ok {
			t.Errorf("%s: there are no words for %s", u.at, u.key)
			continue
		}
		for name := range m.names() {
			if u.figures != nil && !u.figures[name] {
				t.Errorf("%s: the words of %s show {%s}, which is not given", u.at, u.key, name)
			}
		}
	}
	for key := range s.keys {
		if !c.Has(key) {
			t.Errorf("there are no words for %s", key)
		}
	}
	for key := range c.messages {
		base := strings.TrimSuffix(key, advice)
		term := key[:max(0, strings.LastIndex(key, "."))] // "quantity.firmness.the"
		if strings.HasPrefix(key, "desk.") {
			continue // most are asked for by templates, which a test of package desk reads
		}
		if !s.keys[key] && !s.keys[base] && !(s.keys[term] && strings.Count(key, ".") > 1) {
			t.Errorf("nobody says %s: take it out of every language", key)
		}
	}
}

func readSource(t *testing.T) source {
	t.Helper()
	s := source{token.NewFileSet(), map[string]string{}, map[string]bool{}, nil}
	var files []*ast.File
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(s.fset, path, nil, parser.SkipObjectResolution)
		if err == nil {
			files = append(files, file)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		s.readConsts(file)
	}
	for _, file := range files {
		s.readUses(file)
	}
	return s
}

// readConsts takes the string constants of a file, and of those that are codes or
// terms the keys.
func (s source) readConsts(file *ast.File) {
	pkg := file.Name.Name
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		for i, name := range spec.Names {
			if i >= len(spec.Values) {
				break
			}
			text, ok := literal(spec.Values[i])
			if !ok {
				continue
			}
			s.consts[pkg+"."+name.Name] = text
			switch family := typeName(pkg, spec.Type); {
			case family == "note.Code":
				s.keys[text] = true
			case families[family] != "":
				s.keys[families[family]+"."+text] = true
			}
		}
		return true
	})
}

func typeName(pkg string, t ast.Expr) string {
	switch t := t.(type) {
	case *ast.Ident:
		return pkg + "." + t.Name
	case *ast.SelectorExpr:
		return fmt.Sprintf("%s.%s", t.X, t.Sel.Name)
	}
	return ""
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}

// readUses takes the calls of note.New and of the methods Text and tell, and what
// else is written as a key of what commands say.
func (s *source) readUses(file *ast.File) {
	ast.Inspect(file, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok {
			if text, ok := literal(lit); ok && spokenByCommand.MatchString(text) {
				s.keys[text] = true
			}
		}
		call, ok := n.(*ast.CallExpr)
		if !ok || len(call.Args) == 0 {
			return true
		}
		fun, ok := call.Fun.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		isNew := fun.Sel.Name == "New" && fmt.Sprint(fun.X) == "note"
		if !isNew && fun.Sel.Name != "Text" && fun.Sel.Name != "tell" {
			return true
		}
		if key, ok := s.valueOf(file.Name.Name, call.Args[0]); ok {
			at := s.fset.Position(call.Pos())
			s.uses = append(s.uses, use{fmt.Sprintf("%s:%d", at.Filename, at.Line), key, figuresOf(call)})
		}
		return true
	})
}

// valueOf is the text of a literal or a constant.
func (s source) valueOf(pkg string, e ast.Expr) (string, bool) {
	if text, ok := literal(e); ok {
		return text, true
	}
	text, ok := s.consts[typeName(pkg, e)]
	return text, ok
}

// figuresOf are the names of the values that a call gives; nil where they are
// not all written out.
func figuresOf(call *ast.CallExpr) map[string]bool {
	if call.Ellipsis.IsValid() {
		return nil
	}
	out := map[string]bool{}
	for _, arg := range call.Args[1:] {
		made, ok := arg.(*ast.CallExpr)
		if !ok || len(made.Args) == 0 {
			return nil
		}
		name, ok := literal(made.Args[0])
		if !ok {
			return nil
		}
		out[name] = true
	}
	return out
}

// spokenByCommand are the keys of confirmations and of the headings of tables.
var spokenByCommand = regexp.MustCompile(`^(command|column)\.[a-z0-9_.]+$`)

// TestReadSource tries the reading on a file whose faults are known.
func TestReadSource(t *testing.T) {
	const text = `package scoring
const Ripe State = "ripe"
const few note.Code = "test.few"
func f(c *words.Catalogue, v note.Value) {
	note.New(few, note.Count("n", 1), note.Name("what", "x"))
	note.New("test.some", v)
	c.Text("test.title", note.Day("day", d))
	c.Text("test.list", all...)
	c.tell("command.test", note.Name("file", "x"))
	c.table("column.test")
}`
	s := source{token.NewFileSet(), map[string]string{}, map[string]bool{}, nil}
	file, err := parser.ParseFile(s.fset, "x.go", text, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	s.readConsts(file)
	s.readUses(file)
	if !s.keys["state.ripe"] || !s.keys["test.few"] || !s.keys["command.test"] || !s.keys["column.test"] || len(s.keys) != 4 {
		t.Errorf("keys %v", s.keys)
	}
	var got []string
	for _, u := range s.uses {
		names := "?"
		if u.figures != nil {
			var all []string
			for name := range u.figures {
				all = append(all, name)
			}
			slices.Sort(all)
			names = strings.Join(all, ",")
		}
		got = append(got, u.at+" "+u.key+" "+names)
	}
	want := []string{"x.go:5 test.few n,what", "x.go:6 test.some ?", "x.go:7 test.title day", "x.go:8 test.list ?", "x.go:9 command.test file"}
	if !slices.Equal(got, want) {
		t.Errorf("uses %q, want %q", got, want)
	}
}
