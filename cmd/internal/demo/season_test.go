package demo

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"traystage/cmd/internal/workbench"
	"traystage/scoring/words"
)

// A demo that was cut short is none, also where it was built anew over a whole one.
func TestMade(t *testing.T) {
	folder := t.TempDir()
	if Made(folder) {
		t.Error("an empty folder is a demo")
	}
	write := func(name string) {
		t.Helper()
		path := filepath.Join(folder, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o777), os.WriteFile(path, nil, 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	write("larkfield-2026/season.db")
	write("larkfield-2026/" + mark)
	if Made(folder) {
		t.Error("a season without the list of commands is a whole demo")
	}
	write(told)
	write(pictured)
	if !Made(folder) {
		t.Error("a whole demo is none")
	}
	b, err := workbench.Open(t.Context(), workbench.Config{Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	cut := errors.New("cut short")
	run := func(_ context.Context, args []string, _ io.Writer) error {
		if args[0] == "refs" {
			return cut
		}
		write("larkfield-2026/season.db")
		return nil
	}
	err = Demo{Bench: b, Folder: folder, Run: run, Words: words.For(words.Default)}.Make(t.Context(), io.Discard)
	if !errors.Is(err, cut) || Made(folder) {
		t.Errorf("%v; made: %v", err, Made(folder))
	}
	if _, err := os.Stat(filepath.Join(folder, pictured)); err == nil {
		t.Error("the picture of the demo before is in the way of the new one")
	}
}
