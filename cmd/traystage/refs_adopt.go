package main

import (
	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
)

func newRefsAdoptCommand(f *seasonFlags) *cobra.Command {
	var opt reviewFlags
	var fruit []int
	cmd := &cobra.Command{
		Use:   "adopt NAME BLOCK",
		Short: "Take overridden calls of a sample into the next version of a set",
		Long: `Adopt makes the next version of a set with halves whose calls people overrode: all
of the block's last sample, or those that --picked and --fruit name. It happens
only when asked for. The halves are measured again from the photo in the season;
the set keeps who gave the stage, when, and on which half of which photo.
` + exitStatus,
		Example: `  traystage refs adopt gala "Brook 5" --season larkfield-2026`,
		Args:    someArguments(2, "a set and a block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := opt.pickedDay()
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), *f, func(b *workbench.Bench) error {
				kept, err := b.Adopt(cmd.Context(), args[0], args[1], picked, fruit)
				if err != nil {
					return err
				}
				return tellSet(speechOf(cmd), kept)
			})
		},
	}
	opt.addPicked(cmd)
	cmd.Flags().IntSliceVar(&fruit, "fruit", nil, "`NUMBERS` of the fruit; all that were overridden when not given")
	return cmd
}
