package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/demo"
	"traystage/cmd/internal/workbench"
)

func newDemoCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Score a tray of the invented orchard Larkfield, then build its whole season",
		Long: `Demo scores one tray photo of the invented orchard Larkfield on the built-in
reference set. Then it builds the orchard's season with the commands that people
there would give: reference sets, five blocks, their samples, readings with their
slips. It ends with the outlook: which block to pick first. Everything is written
into one folder, the commands given included.
` + exitStatus,
		Example: `  traystage demo --out demo`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			b, err := workbench.Open(cmd.Context(), workbench.Config{Sets: usersSets(), Program: program})
			if err != nil {
				return err
			}
			bar := newProgress(speech{speaking(cmd.Context()), cmd.ErrOrStderr()}, 0)
			defer bar.clear()
			d := demo.Demo{Bench: b, Folder: out, Run: runQuietly, Step: bar.set, Words: speaking(cmd.Context()), Call: called()}
			return d.Make(cmd.Context(), cmd.OutOrStdout())
		},
	}
	cmd.Flags().StringVar(&out, "out", "demo", "write the photo, the report and the overlay into this `FOLDER`")
	return cmd
}

// called is how the program was called, so that what is told to be typed can be: a program that
// was just built is on no path.
func called() string {
	if filepath.Base(os.Args[0]) == "traystage" {
		return os.Args[0]
	}
	return "traystage"
}

// runQuietly carries out one command line; what it tells on standard error is its error.
func runQuietly(ctx context.Context, args []string, stdout io.Writer) error {
	var stderr bytes.Buffer
	if run(ctx, args, stdout, &stderr) == exitDone {
		return nil
	}
	return errors.New(strings.TrimPrefix(strings.TrimSpace(stderr.String()), "traystage: "))
}
