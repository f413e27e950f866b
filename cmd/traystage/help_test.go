package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/demo"
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
	readings := "fruit,firmness 1 (lbf),firmness 2 (lbf),brix\n"
	for n := 1; n <= 12; n++ {
		readings += fmt.Sprintf("%d,17.2,16.8,12.4\n", n)
	}
	for name, b := range map[string][]byte{
		"tray.jpg": demo.Tray, "tray1.jpg": demo.Tray, "tray2.jpg": demo.Tray,
		"testdata/trays/larkfield_demo.jpg": demo.Tray,
		"chart.jpg":                         chart,
		"chart.csv":                         []byte("1\n2\n3\n4\n5\n6\n7\n8\n"),
		"readings.csv":                      []byte(readings),
		"own.csv":                           []byte("variety,market,scale,opens,closes,source\nGala,farm shop,1-8,5,7,our own packing shed\n"),
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
	args := argsOf(line)
	if code := run(context.Background(), args[1:], &out, &told); filepath.Base(args[0]) != "traystage" || code != exitDone {
		t.Errorf("%s: exit code %d\n%s", line, code, told.String())
	}
	return out.String()
}

// argsOf parts a command line at spaces outside of quotation marks.
func argsOf(line string) []string {
	quoted := false
	args := strings.FieldsFunc(line, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return unicode.IsSpace(r) && !quoted
	})
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], `"`, "")
	}
	return args
}

// Every example of the help can be carried out as it stands.
func TestHelpExamples(t *testing.T) {
	inTheShed(t)
	// What is used must be made before: sets and the season, its block, a tray in it.
	order := []string{"new", "block add", "score"}
	lines := make([][]string, len(order)+1)
	eachCommand(newRoot(), func(cmd *cobra.Command) {
		at := slices.IndexFunc(order, func(o string) bool { return strings.HasSuffix(cmd.CommandPath(), " "+o) })
		if at < 0 {
			at = len(order)
		}
		for line := range strings.Lines(cmd.Example) {
			line = strings.TrimSpace(line)
			// The list in the example is cut to fit a line; here it is as long as the tray.
			line = strings.Replace(line, "--stages 2.5,3,,4.5", "--stages "+twelve, 1)
			lines[at] = append(lines[at], line)
		}
	})
	all := slices.Concat(lines...)
	if len(all) < 25 {
		t.Fatalf("only %d examples", len(all))
	}
	for _, line := range all {
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
