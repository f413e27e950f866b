package files

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestWriteFileReplacesAndLeavesNothingElse(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.html")
	for _, text := range []string{"first", "second"} {
		if err := Write(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		wantOnly(t, path, text)
	}
}

func TestWriteNewFileNeverReplaces(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gala.v1.json")
	if err := WriteNew(path, []byte("first")); err != nil {
		t.Fatal(err)
	}
	err := WriteNew(path, []byte("second"))
	if !errors.Is(err, fs.ErrExist) || !strings.Contains(err.Error(), path) {
		t.Errorf("error %v, want one that says that %s exists", err, path)
	}
	wantOnly(t, path, "first")
}

// wantOnly checks that a file holds a text and stands alone in its folder.
func wantOnly(t *testing.T, path, text string) {
	t.Helper()
	got, err := os.ReadFile(path)
	if err != nil || string(got) != text {
		t.Errorf("%s holds %q, %v, want %q", path, got, err, text)
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(entries) != 1 {
		t.Errorf("beside %s lie %v, %v", path, entries, err)
	}
}

// A file larger than any photo is refused before it is read.
func TestReadFileBoundsSize(t *testing.T) {
	path := filepath.Join(t.TempDir(), "long.jpg")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Truncate(maxFile + 1); err != nil { // takes no room: it has a hole
		t.Skip(err)
	}
	if _, err := Read(path); err == nil || !strings.Contains(err.Error(), "larger than 512 MB") {
		t.Errorf("error %v", err)
	}
}
