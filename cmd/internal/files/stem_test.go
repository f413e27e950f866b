package files

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func TestStem(t *testing.T) {
	for name, want := range map[string]string{"Brook 5": "brook-5", "Hill Top": "hill-top", "7": "7"} {
		if got := Stem(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// Names that fold to the same letters never write over each other.
func TestStemsDiffer(t *testing.T) {
	seen := map[string]string{}
	for _, name := range []string{
		"Brook 5", "Brook-5", "Brook  5", "Brook_5", " Brook 5", "Brook 5.", "Brook/5", "..", "../x", "CON", "con1", "LPT1", "Outlook", "Plan",
		"Ручей", "Мельница", "小溪", "磨坊", "Bröök", "Brøk", "Ö", "-", strings.Repeat("a", 300), strings.Repeat("a", 301), strings.Repeat("ж", 300),
	} {
		stem := Stem(name)
		if other, ok := seen[stem]; ok {
			t.Errorf("%q and %q have one stem, %q", name, other, stem)
		}
		seen[stem] = name
		if len(stem) > 120 || strings.Trim(stem, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" || stem == "" || stem == "con" {
			t.Errorf("%q: %q is no name for a file everywhere", name, stem)
		}
	}
}

// New files have the rights that the user's umask leaves them.
func TestUmask(t *testing.T) {
	old := syscall.Umask(0o027)
	defer syscall.Umask(old)
	dir := filepath.Join(t.TempDir(), "out")
	if err := MakeFolder(dir); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "a")
	if err := Write(file, []byte("x")); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]os.FileMode{dir: 0o750, file: 0o640} {
		info, err := os.Stat(path)
		if err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v, want %v", path, info.Mode().Perm(), err, want)
		}
	}
}
