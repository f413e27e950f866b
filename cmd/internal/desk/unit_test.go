package desk

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func TestUnits(t *testing.T) {
	u, err := NewUnits("/opt/tray stage/bin/traystage", "/srv/50% \"Larkfield\"", "/srv/backups", "traystage", []string{"--shed"})
	if err != nil {
		t.Fatal(err)
	}
	want := `ExecStart="/opt/tray stage/bin/traystage" "desk" "--season" "/srv/50%% \"Larkfield\"" "--no-browser" "--shed"`
	if !strings.Contains(u.Service, want) {
		t.Errorf("service has no line %s:\n%s", want, u.Service)
	}
	for _, must := range []string{"ProtectSystem=strict", "PrivateTmp=yes", "NoNewPrivileges=yes", "User=traystage", "OOMPolicy=continue", `ReadWritePaths="/srv/50%% \"Larkfield\""`} {
		if !strings.Contains(u.Service, must) {
			t.Errorf("service lacks %s", must)
		}
	}
	for _, bad := range [][4]string{
		{"traystage", "/s", "/b", "u"}, {"/t", "s", "/b", "u"}, {"/t", "/s\nExecStartPre=/bin/sh", "/b", "u"}, {"/t", "/s", "/b", "u v"}, {"/t", "/s", "/b", ""},
	} {
		if _, err := NewUnits(bad[0], bad[1], bad[2], bad[3], nil); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

// systemd itself reads the units, where it is there.
func TestUnitsAsSystemdReadsThem(t *testing.T) {
	if _, err := exec.LookPath("systemd-analyze"); err != nil {
		t.Skip("no systemd-analyze on this machine: 1 test skipped")
	}
	dir := t.TempDir()
	program, season := filepath.Join(dir, "tray stage"), filepath.Join(dir, "100 % Larkfield")
	if err := os.WriteFile(program, []byte("#!/bin/sh\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	u, err := NewUnits(program, season, dir, "daemon", nil)
	if err != nil {
		t.Fatal(err)
	}
	args := []string{"verify", "--man=no"}
	for i, text := range []string{u.Service, u.Backup, u.Timer} {
		name := filepath.Join(dir, UnitNames[i])
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, name)
	}
	out, err := exec.Command("systemd-analyze", args...).CombinedOutput()
	if err != nil || len(strings.TrimSpace(string(out))) > 0 {
		t.Errorf("systemd-analyze verify: %v\n%s", err, out)
	}
}
