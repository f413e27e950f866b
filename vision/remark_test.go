package vision

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
	"testing"
	"unicode"
)

// remarks counts the constants that remark.go declares.
func remarks(t *testing.T) int {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "remark.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, d := range file.Decls {
		if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.CONST {
			n += len(g.Specs)
		}
	}
	return n
}

func TestEveryRemarkSaysWhatToDo(t *testing.T) {
	n := remarks(t)
	if n == 0 || len(remarkTexts) != n {
		t.Errorf("%d remarks are declared, %d have words", n, len(remarkTexts))
	}
	seen := map[string]Remark{}
	for r := Remark(1); r <= Remark(n); r++ {
		for _, text := range []string{r.Text(), r.Advice()} {
			if text == "" {
				t.Errorf("remark %d lacks words", r)
				continue
			}
			if unicode.IsUpper(rune(text[0])) || strings.HasSuffix(text, ".") {
				t.Errorf("remark %d: %q is no clause", r, text)
			}
			if o, twice := seen[text]; twice {
				t.Errorf("remarks %d and %d both say %q", o, r, text)
			}
			seen[text] = r
		}
		if r.String() != r.Text() {
			t.Errorf("remark %d prints as %q", r, r.String())
		}
	}
}
