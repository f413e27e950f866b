package ledger

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The test binary, run with this in its environment, is another program that
// works on a season: "store DIR SEED PAUSE" stores trays from that seed on, with a
// pause before each, until it is ended, "verbs DIR ROUND PAUSE" does all verbs in
// round after round, with a pause after each, "backup DIR FOLDER" makes backups, "create FOLDER" seasons, "lock DIR" holds the write lock until its input ends, "open DIR" lists
// the blocks, "nothing" ends at once. It says "ready" once the season is open,
// and the hash of each photo after its tray is stored.
const childWork = "TRAYSTAGE_TEST_CHILD"

func beChild(work string) int {
	words := strings.Split(work, "\n")
	if words[0] == "nothing" {
		return 0
	}
	if words[0] == "create" {
		return createMany(words[1])
	}
	s, err := Open(context.Background(), words[1])
	if err == nil {
		fmt.Println("ready")
		err = childWorks[words[0]](s, words[2:])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

var childWorks = map[string]func(s *Season, args []string) error{
	"store": func(s *Season, args []string) error {
		seed, err := strconv.Atoi(args[0])
		if err != nil {
			return err
		}
		pause, err := time.ParseDuration(args[1])
		if err != nil {
			return err
		}
		for ; ; seed++ {
			time.Sleep(pause)
			tray := bigTray(seed)
			if _, err := s.StoreTray(context.Background(), tray); err != nil {
				return err
			}
			fmt.Println(tray.Report.PhotoHash)
		}
	},
	"verbs": func(s *Season, args []string) error {
		first, err1 := strconv.Atoi(args[0])
		pause, err2 := time.ParseDuration(args[1])
		err := errors.Join(err1, err2)
		for n := 1000 * first; err == nil; n++ {
			r := newRound(context.Background(), n)
			for i := range r.photos {
				r.photos[i] = r.photos[i].withPhoto(n, 1+rand.IntN(500_000))
			}
			err = r.all(s, func(_, sending string) {
				fmt.Println(sending)
				time.Sleep(pause)
			})
		}
		return err
	},
	"backup": func(s *Season, args []string) error {
		for n := 0; ; n++ {
			if _, err := s.Backup(context.Background(), filepath.Join(args[0], strconv.Itoa(n))); err != nil {
				return err
			}
			fmt.Println(n)
		}
	},
	"open": func(s *Season, _ []string) error {
		_, err := s.Blocks(context.Background())
		return errors.Join(err, s.Close())
	},
	"lock": func(s *Season, _ []string) error {
		return s.write(context.Background(), func(writer) error {
			fmt.Println("locked")
			_, err := io.Copy(io.Discard, os.Stdin)
			return err
		})
	},
}

// createMany makes one season after the other.
func createMany(parent string) int {
	for n := 0; ; n++ {
		s, err := Create(context.Background(), filepath.Join(parent, strconv.Itoa(n)))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		s.Close()
		fmt.Println(n)
	}
}

// withPhoto gives a tray another photo.
func (t Tray) withPhoto(seed, size int) Tray {
	t.Photo = photoOf(seed, size)
	copy(t.Photo, t.Report.PhotoHash) // no two are alike
	t.Report.PhotoHash = hashOf(t.Photo)
	return t
}

// bigTray has a photo of up to half a megabyte and fruit numbers of its own.
func bigTray(seed int) Tray {
	tray := trayOf(seed, 1+20*seed, 20)
	tray.Photo = photoOf(seed, 1+rand.New(rand.NewPCG(uint64(seed), 3)).IntN(500_000))
	tray.Report.PhotoHash = hashOf(tray.Photo)
	return tray
}

// child is a running other program.
type child struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Scanner
}

func startChild(t *testing.T, work ...string) child {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childWork+"="+strings.Join(work, "\n"))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return child{cmd, in, bufio.NewScanner(out)}
}

// line waits for a line of the child.
func (c child) line(t *testing.T) string {
	t.Helper()
	if !c.out.Scan() {
		t.Fatalf("the other program has ended: %v", c.cmd.Wait())
	}
	return c.out.Text()
}

// says waits for a certain line.
func (c child) says(t *testing.T, want string) {
	t.Helper()
	if got := c.line(t); got != want {
		t.Fatalf("the other program says %q, want %q", got, want)
	}
}

// kill ends the child as a power cut would, and gives what it said until then.
func (c child) kill() (said []string) {
	c.cmd.Process.Kill()
	for c.out.Scan() {
		said = append(said, c.out.Text())
	}
	c.cmd.Wait()
	return said
}
