package files

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

var kills = flag.Int("kills", 10, "how often TestKilledWhileWriting ends a program that writes files")

// childFolder, in the environment of the test binary, is where it writes files
// until it is ended.
const childFolder = "TRAYSTAGE_TEST_FILES"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childFolder); dir != "" {
		writeForEver(dir)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// content is what a file of a number holds.
func content(n int) []byte { return bytes.Repeat([]byte(strconv.Itoa(n)+" "), 20_000) }

func writeForEver(dir string) {
	for n := 0; ; n++ {
		if Write(filepath.Join(dir, "report.html"), content(n)) != nil || WriteNew(filepath.Join(dir, fmt.Sprintf("gala.v%d.json", n)), content(n)) != nil {
			return
		}
		fmt.Println(n)
	}
}

// A program that writes files is ended at moments nobody chose: what it said it
// had written is there, every file is whole, and the next to write clears away
// what it left.
func TestKilledWhileWriting(t *testing.T) {
	left := 0
	for range *kills {
		dir := t.TempDir()
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), childFolder+"="+dir)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		said, start := 0, time.Now()
		lines := bufio.NewScanner(out)
		for ; said < 2 && lines.Scan(); said++ {
		}
		time.Sleep(time.Duration(rand.Int64N(int64(time.Since(start)))))
		cmd.Process.Kill()
		for ; lines.Scan(); said++ {
		}
		cmd.Wait()
		left += parts(t, dir)
		if err := Write(filepath.Join(dir, "last"), content(0)); err != nil {
			t.Error(err)
		}
		if n := parts(t, dir); n > 0 {
			t.Errorf("%d parts are left over", n)
		}
		wantWhole(t, dir, said)
	}
	t.Logf("%d kills left %d parts, which the next to write cleared away", *kills, left)
}

// parts counts files that are not whole.
func parts(t *testing.T, dir string) int {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(dir, partName+"*"))
	if err != nil {
		t.Fatal(err)
	}
	return len(found)
}

// wantWhole looks at what the program wrote, that said how often it had.
func wantWhole(t *testing.T, dir string, said int) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		n, _ := strconv.Atoi(strings.Fields(string(b))[0])
		if err != nil || !bytes.Equal(b, content(n)) {
			t.Errorf("%s is not whole: %v", e.Name(), err)
		}
	}
	if n := len(entries) - 2; n < said || n > said+1 {
		t.Errorf("%d versions are there, %d were said to be written", n, said)
	}
}

// Many write into one folder at once, and none sweeps away another's part.
func TestManyWriteAtOnce(t *testing.T) {
	dir := t.TempDir()
	var hands sync.WaitGroup
	for i := range 8 {
		hands.Go(func() {
			for n := range 20 {
				if err := WriteNew(filepath.Join(dir, fmt.Sprintf("%d-%d", i, n)), content(n)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	hands.Wait()
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 160 {
		t.Errorf("%d files, %v", len(entries), err)
	}
}

// Files are open to whom the user's mask lets them be.
func TestMaskIsRespected(t *testing.T) {
	for mask, want := range map[int]os.FileMode{0o022: 0o644, 0o077: 0o600, 0o002: 0o664} {
		was := syscall.Umask(mask)
		path := filepath.Join(t.TempDir(), "report.html")
		err := Write(path, []byte("x"))
		syscall.Umask(was)
		info, err2 := os.Stat(path)
		if err != nil || err2 != nil || info.Mode().Perm() != want {
			t.Errorf("with mask %03o: %v, %v, %v", mask, info.Mode(), err, err2)
		}
	}
}
