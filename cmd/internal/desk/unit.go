package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"traystage/cmd/internal/files"
)

// Units are the files that let a machine run the desk by itself.
type Units struct {
	Service, Backup, Timer string // contents of traystage-desk.service, traystage-backup.service and .timer
}

// Names of the unit files, in the order of Units.
var UnitNames = [3]string{"traystage-desk.service", "traystage-backup.service", "traystage-backup.timer"}

// NewUnits writes systemd units for a program, a season and a folder for
// backups, all absolute paths. args follow the verb desk.
func NewUnits(program, season, backups, user string, args []string) (Units, error) {
	for what, path := range map[string]string{"the program": program, "the season": season, "the folder for backups": backups} {
		if !filepath.IsAbs(path) || strings.ContainsAny(path, "\n\r\x00") {
			return Units{}, fmt.Errorf("%q: %s needs an absolute path of one line", path, what)
		}
	}
	if user == "" || strings.ContainsAny(user, " \t\n\r") {
		return Units{}, fmt.Errorf("%q: is no name of a user", user)
	}
	words := append([]string{program, "desk", "--season", season, "--no-browser"}, args...)
	return Units{
		Service: fmt.Sprintf(serviceUnit, quoted(words), user, hardening, unitPath(program), unitPath(season), unitPath(season)),
		Backup:  fmt.Sprintf(backupUnit, quoted([]string{program, "season", "backup", "--into", backups, "--keep", "30", "--season", season}), user, hardening, unitPath(program), unitPath(season), unitPath(backups)),
		Timer:   timerUnit,
	}, nil
}

// Install writes the units for this program into a folder; args are those of
// NewUnits.
func Install(into, season, backups, user string, args []string) error {
	program, err := os.Executable()
	if err != nil {
		return err
	}
	u, err := NewUnits(program, season, backups, user, args)
	if err != nil {
		return err
	}
	for i, text := range []string{u.Service, u.Backup, u.Timer} {
		if err := files.Write(filepath.Join(into, UnitNames[i]), []byte(text)); err != nil {
			return err
		}
	}
	return nil
}

// quoted writes a command line as systemd reads one: double quotes, with
// backslash, quote, dollar and per cent made plain.
func quoted(words []string) string {
	var out []string
	for _, w := range words {
		out = append(out, `"`+strings.NewReplacer(`\`, `\\`, `"`, `\"`, "$", "$$", "%", "%%").Replace(w)+`"`)
	}
	return strings.Join(out, " ")
}

// unitPath writes a path as a setting of a unit reads it.
func unitPath(path string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "%", "%%").Replace(path) + `"`
}

// hardening leaves a unit nothing but what it needs: no way to new rights, the
// system read-only, a /tmp of its own, no other user's files.
const hardening = `NoNewPrivileges=yes
CapabilityBoundingSet=
AmbientCapabilities=
ProtectSystem=strict
ProtectHome=tmpfs
PrivateTmp=yes
PrivateDevices=yes
ProtectClock=yes
ProtectControlGroups=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
ProtectProc=invisible
LockPersonality=yes
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX AF_NETLINK
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallErrorNumber=EPERM
UMask=0077`

// serviceUnit: a child that runs out of memory must not end the desk, hence OOMPolicy.
const serviceUnit = `[Unit]
Description=traystage desk: trays, readings and reports of a season
After=network-online.target
Wants=network-online.target

[Service]
Type=exec
ExecStart=%s
User=%s
Restart=on-failure
RestartSec=2
TimeoutStopSec=20
OOMPolicy=continue
MemoryMax=2G
%s
BindReadOnlyPaths=%s
BindPaths=%s
ReadWritePaths=%s

[Install]
WantedBy=multi-user.target
`

const backupUnit = `[Unit]
Description=nightly backup of a traystage season

[Service]
Type=oneshot
ExecStart=%s
User=%s
%s
BindReadOnlyPaths=%s
BindPaths=%s %s
`

const timerUnit = `[Unit]
Description=every night: backup of a traystage season

[Timer]
OnCalendar=*-*-* 02:30:00
RandomizedDelaySec=20m
Persistent=true

[Install]
WantedBy=timers.target
`
