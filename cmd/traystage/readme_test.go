package main

import (
	"os"
	"strings"
	"testing"
)

// Every command that README.md shows can be carried out, one after the other,
// and where it shows what is printed, that is what is printed.
func TestReadme(t *testing.T) {
	b, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	inTheShed(t)
	readme := string(b)
	carriedOut, shown := 0, 0
	for line := range strings.Lines(readme) {
		if settings, ok := strings.CutPrefix(line, "export "); ok {
			for _, s := range strings.Fields(settings) {
				name, value, _ := strings.Cut(s, "=")
				t.Setenv(name, value)
			}
		}
		if !strings.HasPrefix(line, "bin/traystage ") || strings.HasPrefix(line, "bin/traystage desk ") {
			continue // the desk serves until it is stopped
		}
		carriedOut++
		stdout := wantDone(t, line)
		_, after, _ := strings.Cut(readme, line)
		if output, ok := strings.CutPrefix(after, "```\n\n```\n"); ok {
			shown++
			if !strings.HasPrefix(output, stdout+"```\n") {
				t.Errorf("the output of %s in README.md is not what is printed now:\n%s", strings.TrimSpace(line), stdout)
			}
		}
	}
	if carriedOut < 5 || shown < 1 {
		t.Errorf("%d commands found in README.md, %d of them with their output", carriedOut, shown)
	}
}
