package main

import (
	"bytes"
	"context"
	"errors"
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
	eachCommand(newRoot(new(language)), func(cmd *cobra.Command) {
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

// before are command lines that an example needs to have been given, by its command.
var before = map[string]string{
	"refs adopt":       `traystage override "Brook 5" 3 --stage 4.5 --why "bruise" --by hm --season larkfield-2026`,
	"tray restore":     `traystage tray strike "Brook 5" tray.jpg --why slip --by hm --season larkfield-2026`,
	"sample restore":   `traystage sample strike "Brook 5" --why slip --by hm --season larkfield-2026`,
	"review undo":      `traystage confirm "Brook 5" 7 --by hm --season larkfield-2026`,
	"readings strike":  enterTwice,
	"readings move":    enterTwice,
	"rates learn":      closedYears, // which season compare finds as well
	"readings checked": `traystage readings checked penetrometer --weight "10 lbf" --shown "10.1 lbf" --by hm --season larkfield-2026`,
}

const enterTwice = `traystage readings add "Brook 5" readings.csv --compensated --by hm --season larkfield-2026
traystage readings add "Brook 5" --fruit 3 --brix 12.1 --compensated --by hm --season larkfield-2026`

// closedYears are seasons that are over.
const closedYears = `traystage season new larkfield-2024 --by hm
traystage block add "Brook 5" --variety Gala --market "long CA" --by hm --season larkfield-2024
traystage score tray.jpg --block "Brook 5" --picked 2024-09-14 --anyway "another year" --by hm --season larkfield-2024
traystage score chart.jpg --block "Brook 5" --picked 2024-09-07 --anyway "another year" --by hm --season larkfield-2024
traystage season new larkfield-2025 --by hm
traystage block add "Brook 5" --variety Gala --market "long CA" --by hm --season larkfield-2025
traystage score tray.jpg --block "Brook 5" --picked 2025-09-14 --anyway "another year" --by hm --season larkfield-2025`

// Every example of the help can be carried out as it stands. What makes a season is
// done first; each of the other commands finds the season as that left it.
func TestHelpExamples(t *testing.T) {
	inTheShed(t)
	order := []string{"new", "block add", "score"}
	lines := make([][]string, len(order))
	type command struct {
		path  string
		lines []string
	}
	var others []command
	eachCommand(newRoot(new(language)), func(cmd *cobra.Command) {
		if strings.HasPrefix(cmd.CommandPath(), "traystage desk") {
			return // serves until it is ended; package desk tries it
		}
		var all []string
		for line := range strings.Lines(cmd.Example) {
			// The list in the example is cut to fit a line; here it is as long as the tray.
			all = append(all, strings.Replace(strings.TrimSpace(line), "--stages 2.5,3,,4.5", "--stages "+twelve, 1))
		}
		at := slices.IndexFunc(order, func(o string) bool { return strings.HasSuffix(cmd.CommandPath(), " "+o) })
		if at >= 0 {
			lines[at] = append(lines[at], all...)
			return
		}
		others = append(others, command{strings.TrimPrefix(cmd.CommandPath(), "traystage "), all})
	})
	for _, line := range append(slices.Concat(lines...), `traystage block add "Mill Row" --variety Gala --market "long CA" --by hm --season larkfield-2026`) {
		wantDone(t, line)
	}
	made := os.DirFS("larkfield-2026")
	if err := os.CopyFS("made", made); err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, c := range others {
		if err := errors.Join(os.RemoveAll("larkfield-2026"), os.CopyFS("larkfield-2026", os.DirFS("made"))); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(before[c.path]) {
			wantDone(t, strings.TrimSpace(line))
		}
		for _, line := range c.lines {
			wantDone(t, line)
			n++
		}
	}
	if n < 40 {
		t.Fatalf("only %d examples", n)
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
