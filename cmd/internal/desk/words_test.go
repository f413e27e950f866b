package desk

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"

	"traystage/scoring/words"
)

// TestEveryText reads templates and handlers: every key they ask for has words,
// and no words of the desk are left that nobody asks for.
func TestEveryText(t *testing.T) {
	asked := map[string]bool{}
	asks := regexp.MustCompile(`"(desk\.[a-z.]+[a-z0-9]*)"`)
	families := regexp.MustCompile(`print "(desk\.[a-z]+\.)"`) // with a code behind it
	var ways []string
	read := func(text string) {
		for _, m := range asks.FindAllStringSubmatch(text, -1) {
			asked[m[1]] = true
		}
		for _, m := range families.FindAllStringSubmatch(text, -1) {
			ways = append(ways, m[1])
		}
	}
	for _, fsys := range []fs.FS{templateFiles, os.DirFS(".")} {
		err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(name, ".html") && !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
				return err
			}
			text, err := fs.ReadFile(fsys, name)
			read(string(text))
			return err
		})
		must(t, err)
	}
	for _, tag := range words.Tags() {
		c := words.For(tag)
		for key := range asked {
			if !c.Has(key) && !strings.HasSuffix(key, ".") && key != "desk.js" && key != "desk.css" {
				t.Errorf("%s has no words for %s", tag, key)
			}
		}
	}
	for _, key := range words.For(words.Default).Keys("desk.") {
		family := key[:strings.LastIndex(key, ".")+1]
		if !asked[key] && !contains(ways, family) {
			t.Errorf("nobody asks for %s: take it out of every language", key)
		}
	}
}

func contains(all []string, one string) bool {
	for _, a := range all {
		if a == one {
			return true
		}
	}
	return false
}
