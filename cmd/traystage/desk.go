package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/apart"
	"traystage/cmd/internal/demo"
	"traystage/cmd/internal/desk"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

// deskFlags say where the desk is to be found.
type deskFlags struct {
	seasonFlags
	desk.Listening
	noBrowser bool
	log       string
}

func (f *deskFlags) add(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.IntVar(&f.Port, "port", 8417, "the `PORT` to listen at; the shed's network gets the next one")
	fl.BoolVar(&f.Shed, "shed", false, "let phones on the local network in, once they are paired")
	fl.BoolVar(&f.TLS, "tls", false, "encrypt what goes over that network, with a certificate of this machine's own")
	fl.BoolVar(&f.noBrowser, "no-browser", false, "do not open a browser")
	fl.StringVar(&f.log, "log", "", "write who asked for what into this `FILE`; nowhere when not given")
}

func newDeskCommand() *cobra.Command {
	var f deskFlags
	cmd := &cobra.Command{
		Use:   "desk",
		Short: "Serve the season as a web page: send trays, confirm calls, enter readings",
		Long: `Desk serves the season to a browser on this machine. With --shed phones on the
local network are let in as well, after they were paired by a code that the page
shows under Blocks, Phones. Nothing of it needs the internet. Without --tls, who
listens on that network can read what is sent, and act as a phone that was paired.
Its pages speak the language asked for, where a device has not chosen another; else
the season's. It runs until it is interrupted.
` + exitStatus,
		Example: `  traystage desk --season larkfield-2026
  traystage desk --season larkfield-2026 --shed --tls
  traystage desk demo`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				return runDesk(cmd.Context(), b, f, cmd.OutOrStdout(), cmd.ErrOrStderr())
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.add(cmd)
	cmd.AddCommand(newDeskDemoCommand(), newDeskInstallCommand(), newMeasureChildCommand())
	return cmd
}

func runDesk(ctx context.Context, b *workbench.Bench, f deskFlags, stdout, stderr io.Writer) error {
	if f.TLS && !f.Shed {
		return fault.Usagef("--tls is for phones on the network: give --shed with it")
	}
	log, closeLog, err := desk.OpenLog(f.log, stderr)
	if err != nil {
		return err
	}
	defer closeLog()
	pool := apart.New(apart.Config{Command: measureChild, Children: runtime.NumCPU(), Waiting: 100, Time: 30 * time.Second, Jobs: 200})
	defer pool.Close()
	d, err := desk.New(ctx, desk.Config{
		Bench: b, Measurer: pool, Devices: desk.SeasonDevices(b.Season), Log: log, Home: usersFolder(), Language: askedFor(ctx),
	})
	if err != nil {
		return err
	}
	return d.Serve(ctx, f.Listening, func(at desk.Address) {
		say := speech{speaking(ctx), stdout}
		_ = say.tell("command.desk.open", note.Name("at", at.Local))
		for _, a := range at.Shed {
			_ = say.tell("command.desk.phones", note.Name("at", a))
		}
		if at.Root != "" {
			_ = say.tell("command.desk.certificate", note.Name("at", at.Root))
		}
		_ = say.tell("command.desk.close")
		if !f.noBrowser {
			openBrowser(at.Local)
		}
	})
}

// openBrowser tries what a desktop has; a machine without one goes without.
func openBrowser(address string) {
	for _, name := range []string{"xdg-open", "open"} {
		if path, err := exec.LookPath(name); err == nil {
			_ = exec.Command(path, address).Start()
			return
		}
	}
}

func newDeskDemoCommand() *cobra.Command {
	var f deskFlags
	var folder string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Open the desk on the season of the invented orchard Larkfield",
		Long: `Demo builds the season of Larkfield in a folder, unless it is there already, and
opens the desk on it as on a day of that September.
` + exitStatus,
		Example: `  traystage desk demo`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			f.season = demo.Season(folder)
			if !demo.Made(folder) {
				if err := makeDemo(cmd, folder, io.Discard); err != nil {
					return err
				}
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				began := time.Now()
				b.Now = func() time.Time { return demo.Morning().Add(time.Since(began)) }
				return runDesk(cmd.Context(), b, f, cmd.OutOrStdout(), cmd.ErrOrStderr())
			})
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&folder, "out", "demo", "the demo's `FOLDER`")
	return cmd
}

// measureChild starts the part of the program that measures photos for the desk.
func measureChild() *exec.Cmd {
	return &exec.Cmd{Path: "/proc/self/exe", Args: []string{"traystage", "desk", "measure-child"}}
}

// childMemory is what a child may take beyond what it has when it starts: twice
// what the largest photo takes.
const childMemory = 1200 << 20

func newMeasureChildCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "measure-child",
		Short:  "Measure the photos that come on standard input (the desk starts this itself)",
		Hidden: true,
		Args:   noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return apart.Serve(os.Stdin, os.Stdout, apart.Limits{Memory: childMemory}, apart.Vision)
		},
	}
}

func newDeskInstallCommand() *cobra.Command {
	var f deskFlags
	var backups, user, into string
	cmd := &cobra.Command{
		Use:   "install",
		Short: "Write systemd units that keep the desk running, with a backup every night",
		Long: `Install writes three systemd units: the desk, started with the machine and again
after a failure; a backup of the season; and a timer that makes one every night.
They run as a user of their own, with the system read-only. It says which commands
enable them; it runs none of them itself.
` + exitStatus,
		Example: `  traystage desk install --season /srv/larkfield-2026 --backups /srv/backups --user traystage --shed --tls`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runDeskInstall(f, backups, user, into, askedFor(cmd.Context()), speechOf(cmd))
		},
	}
	f.addSeason(cmd.Flags())
	f.add(cmd)
	cmd.Flags().StringVar(&backups, "backups", "", "the `FOLDER` for the nightly copies, best on another disk")
	cmd.Flags().StringVar(&user, "user", "traystage", "the `USER` that the desk runs as")
	cmd.Flags().StringVar(&into, "into", "/etc/systemd/system", "the `FOLDER` for the units")
	return cmd
}

func runDeskInstall(f deskFlags, backups, user, into, language string, say speech) error {
	if f.folder() == "" || backups == "" {
		return fault.Usagef("name the season's folder with --season, and one for its copies with --backups")
	}
	season, err := filepath.Abs(f.folder())
	if err != nil {
		return err
	}
	if backups, err = filepath.Abs(backups); err != nil {
		return err
	}
	if err := desk.Install(into, season, backups, user, f.args(language)); err != nil {
		return err
	}
	if err := say.tell("command.desk.units", note.Name("folder", into)); err != nil {
		return err
	}
	_, err = fmt.Fprintf(say.w, `  useradd --system --shell /usr/sbin/nologin %s    (%s)
  mkdir -p %s
  chown -R %s %s %s
  systemctl daemon-reload
  systemctl enable --now %s %s
`, user, say.Text("command.desk.no_user"), backups, user, season, backups, desk.UnitNames[0], desk.UnitNames[2])
	return err
}

// args are the flags that the desk is started with.
func (f deskFlags) args(language string) []string {
	out := []string{fmt.Sprintf("--port=%d", f.Port)}
	if f.Shed {
		out = append(out, "--shed")
	}
	if f.TLS {
		out = append(out, "--tls")
	}
	if language != "" {
		out = append(out, "--language="+language)
	}
	return out
}

func usersFolder() string { return filepath.Dir(usersSets()) }

// makeDemo builds the demo's season in a folder.
func makeDemo(cmd *cobra.Command, folder string, stdout io.Writer) error {
	b, err := workbench.Open(cmd.Context(), workbench.Config{Sets: usersSets(), Program: program})
	if err != nil {
		return err
	}
	bar := newProgress(speech{speaking(cmd.Context()), cmd.ErrOrStderr()}, 0)
	defer bar.clear()
	d := demo.Demo{Bench: b, Folder: folder, Run: runQuietly, Step: bar.set, Words: speaking(cmd.Context()), Call: called()}
	return d.Make(cmd.Context(), stdout)
}
