package main

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"
)

// What README.md shows of the program is what the program prints.
func TestReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var stdout, stderr bytes.Buffer
	if code := run(context.Background(), []string{"score", "../../testdata/trays/larkfield_demo.jpg"}, &stdout, &stderr); code != exitDone {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
	if !strings.Contains(string(readme), "```\n"+stdout.String()+"```\n") {
		t.Errorf("the table in README.md is not what is printed now:\n%s", stdout.String())
	}
}

// Every command that README.md names is one.
func TestReadmeNamesCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(readme)) {
		args, ok := strings.CutPrefix(line, "bin/traystage ")
		if !ok {
			continue
		}
		seen++
		cmd, _, err := newRoot().Find(strings.Fields(args))
		if err != nil || !cmd.HasParent() {
			t.Errorf("%q is no command", strings.TrimSpace(line))
		}
	}
	if seen < 5 {
		t.Errorf("only %d commands found in README.md", seen)
	}
}
