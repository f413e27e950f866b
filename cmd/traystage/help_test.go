package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// Every command says what it is for, its exit codes, and nothing twice.
func TestHelp(t *testing.T) {
	eachCommand(newRoot(), func(cmd *cobra.Command) {
		if cmd.Short == "" || cmd.Long == "" {
			t.Errorf("%s: no help", cmd.CommandPath())
		}
		if cmd.HasParent() && !strings.Contains(cmd.Long, "EXIT STATUS") {
			t.Errorf("%s: help does not tell the exit codes", cmd.CommandPath())
		}
	})
}

// Every example of the help can be carried out as it stands.
func TestHelpExamples(t *testing.T) {
	dir := t.TempDir()
	tray, err := os.ReadFile("../../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	chart, err := os.ReadFile("../../testdata/trays/traced/chart_C.jpg")
	if err != nil {
		t.Fatal(err)
	}
	const twelve = "2.6,3.9,,3.1,5.2,4,1.8,3.5,4.8,6.3,2.9,4.2"
	write := func(name string, b []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"tray.jpg", "tray1.jpg", "tray2.jpg"} {
		write(name, tray)
	}
	write("chart.jpg", chart)
	write("chart.csv", []byte("1\n2\n3\n4\n5\n6\n7\n8\n"))
	write("grades.csv", []byte(strings.ReplaceAll(twelve, ",", "\n")+"\n"))
	t.Setenv("TRAYSTAGE_HOME", filepath.Join(dir, "home"))
	t.Chdir(dir)

	// Sets are made before they are used.
	var first, then []string
	eachCommand(newRoot(), func(cmd *cobra.Command) {
		for line := range strings.Lines(cmd.Example) {
			line = strings.TrimSpace(line)
			// The list in the example is cut to fit a line; here it is as long as the tray.
			line = strings.Replace(line, "--stages 2.5,3,,4.5", "--stages "+twelve, 1)
			if cmd.Name() == "new" {
				first = append(first, line)
			} else {
				then = append(then, line)
			}
		}
	})
	if len(first) == 0 || len(then) < 5 {
		t.Fatalf("only %d examples", len(first)+len(then))
	}
	for _, line := range append(first, then...) {
		var stdout, stderr bytes.Buffer
		args := strings.Fields(line)
		if code := run(context.Background(), args[1:], &stdout, &stderr); args[0] != "traystage" || code != exitDone {
			t.Errorf("%s: exit code %d\n%s", line, code, stderr.String())
		}
	}
}

func eachCommand(cmd *cobra.Command, f func(*cobra.Command)) {
	if cmd.Hidden {
		return
	}
	f(cmd)
	for _, c := range cmd.Commands() {
		eachCommand(c, f)
	}
}
