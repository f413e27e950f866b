// Traystage tells the starch stage of iodine-stained apple halves from one
// photo of their tray.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"runtime/debug"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/words"
)

// Exit codes, told in the help of every command.
const (
	exitDone     = 0
	exitCouldNot = 1
	exitUsage    = 2
)

const exitStatus = `
EXIT STATUS
  0  done
  1  could not: what was wrong is said on standard error
  2  wrong use`

func main() {
	debug.SetGCPercent(workbench.GCPercent)
	debug.SetMemoryLimit(workbench.MemoryLimit)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run carries out one command line and gives its exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	ctx, spoken := withLanguage(ctx)
	root := newRoot(spoken)
	root.SetArgs(args)
	root.SetOut(words.Terminal(stdout))
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	tell(words.Terminal(stderr), err, spoken.words())
	var wrong fault.Usage
	if errors.As(err, &wrong) {
		return exitUsage
	}
	return exitCouldNot
}

func newRoot(spoken *language) *cobra.Command {
	root := &cobra.Command{
		Use:   "traystage",
		Short: "Tell the starch stage of stained apple halves from a photo of their tray",
		Long: `Traystage finds every stained half on a photographed tray, measures how much of
its flesh is stained from the core outward, and says its starch stage on a
reference set, how sure that is, and the mean of the block.
` + exitStatus,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          noArguments,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.CompletionOptions.DisableDefaultCmd = true
	addLanguage(root, spoken)
	root.SetHelpCommand(newHelpCommand())
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		var invalid *pflag.InvalidValueError
		if errors.As(err, &invalid) {
			err = unparsed(invalid)
		}
		return fault.Usagef("%w; see %s --help", err, cmd.CommandPath())
	})
	root.AddCommand(newScoreCommand(), newRefsCommand(),
		newSeasonCommand(), newBlockCommand(), newTrayCommand(), newSampleCommand(), newReadingsCommand(),
		newConfirmCommand(), newOverrideCommand(), newReviewCommand(), newHistoryCommand(),
		newStandardsCommand(), newRatesCommand(), newReportCommand(), newOutlookCommand(), newPlanCommand(),
		newDeskCommand(), newDemoCommand(), newVersionCommand())
	root.InitDefaultHelpCmd()
	return root
}

// noArguments refuses what a command has no use for.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fault.Usagef("%q is no command of %s; see %s --help", args[0], cmd.CommandPath(), cmd.CommandPath())
	}
	return nil
}
