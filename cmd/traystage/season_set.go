package main

import (
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
)

func newSeasonSetCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "set [NAME VALUE]",
		Short: "Set what holds for the season: unit, tip, usual wait, initials, language",
		Long: `Set keeps what holds for the season unless a command says otherwise:
  unit         of firmness where none is written: lbf, kgf or N
  tip          diameter of the penetrometer's tip, mm
  compensated  yes where the refractometer corrects for temperature itself
  wait         usual time from staining to photo, such as 2 (minutes) or 90s
  initials     of who works here when nobody says otherwise
  language     of reports and pages: en or es
Without arguments it tells what is set; an empty value takes a setting back.
` + exitStatus,
		Example: `  traystage season set unit kgf --by hm --season larkfield-2026
  traystage season set --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 || len(args) == 2 {
				return nil
			}
			return fault.Usagef("%s takes a name and a value, or nothing to tell what is set", cmd.CommandPath())
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				if len(args) == 2 {
					return b.Set(cmd.Context(), f.act(), args[0], args[1])
				}
				s, err := b.Settings(cmd.Context())
				if err != nil {
					return err
				}
				return tellSettings(speechOf(cmd), s)
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	return cmd
}

// tellSettings tells settings by the names under which they are set.
func tellSettings(say speech, s workbench.Settings) error {
	t := table{tabwriter.NewWriter(say.w, 0, 0, 2, ' ', 0)}
	t.row("unit", orNone(string(s.Unit)))
	t.row("tip", say.AsGiven(s.Tip)+" mm")
	t.row("compensated", say.yesNo(s.Compensated))
	t.row("wait", say.waitOrNone(s.Wait))
	t.row("initials", orNone(s.Initials))
	t.row("language", orNone(s.Language))
	return t.Flush()
}
