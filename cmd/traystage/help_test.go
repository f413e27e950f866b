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
		if !strings.Contains(cmd.Long, "EXIT STATUS") {
			t.Errorf("%s: help does not tell the exit codes", cmd.CommandPath())
		}
	})
}

// twelve are grades for the halves of the demo tray.
const twelve = "2.6,3.9,,3.1,5.2,4,1.8,3.5,4.8,6.3,2.9,4.2"

// inTheShed goes to a folder with the photos and grades that examples name, and no sets yet.
func inTheShed(t *testing.T) {
	t.Helper()
	chart, err := os.ReadFile("../../testdata/trays/traced/chart_C.jpg")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	t.Setenv("TRAYSTAGE_HOME", filepath.Join(t.TempDir(), "home"))
	for name, b := range map[string][]byte{
		"tray.jpg": demoTray, "tray1.jpg": demoTray, "tray2.jpg": demoTray,
		"testdata/trays/larkfield_demo.jpg": demoTray,
		"chart.jpg":                         chart,
		"chart.csv":                         []byte("1\n2\n3\n4\n5\n6\n7\n8\n"),
		"grades.csv":                        []byte(strings.ReplaceAll(twelve, ",", "\n") + "\n"),
	} {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// wantDone carries out a command line and fails the test where it is not done.
func wantDone(t *testing.T, line string) (stdout string) {
	t.Helper()
	var out, told bytes.Buffer
	args := strings.Fields(line)
	if code := run(context.Background(), args[1:], &out, &told); filepath.Base(args[0]) != "traystage" || code != exitDone {
		t.Errorf("%s: exit code %d\n%s", line, code, told.String())
	}
	return out.String()
}

// Every example of the help can be carried out as it stands.
func TestHelpExamples(t *testing.T) {
	inTheShed(t)
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
		wantDone(t, line)
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
