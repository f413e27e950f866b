package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"html"
	"io"
	"mime/multipart"
	web "net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var (
	deskKills  = flag.Int("desk-kills", 3, "how often the desk is killed under load")
	deskPhones = flag.Int("desk-phones", 4, "phones that send while measuring children are killed")
	deskFor    = flag.Duration("desk-for", 4*time.Second, "how long these phones send")
)

// runningDesk is a desk in a process of its own, on a season of one block.
type runningDesk struct {
	t      *testing.T
	season string
	url    string
	cmd    *exec.Cmd
	photo  []byte
}

func newRunningDesk(t *testing.T) *runningDesk {
	t.Helper()
	dir := t.TempDir()
	d := &runningDesk{t: t, season: filepath.Join(dir, "season")}
	d.traystage("season", "new", d.season, "--orchard", "Larkfield", "--by", "hm")
	d.traystage("block", "add", "Brook 5", "--variety", "Gala", "--market", "long CA", "--season", d.season, "--by", "hm")
	var err error
	if d.photo, err = os.ReadFile("../../testdata/trays/larkfield_demo.jpg"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.kill() })
	return d
}

// traystage carries out one command line in this process.
func (d *runningDesk) traystage(args ...string) string {
	d.t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), args, &out, &errs); code != exitDone {
		d.t.Fatalf("traystage %s: %d\n%s", strings.Join(args, " "), code, errs.String())
	}
	return out.String()
}

// start starts the program, as this test's own under its name, and waits for its address.
func (d *runningDesk) start() {
	d.t.Helper()
	d.cmd = &exec.Cmd{Path: os.Args[0], Args: []string{"traystage", "desk", "--season", d.season, "--port", "0", "--no-browser"}}
	d.cmd.Env = append(os.Environ(), "TRAYSTAGE_HOME="+d.t.TempDir())
	out, err := d.cmd.StdoutPipe()
	if err == nil {
		err = d.cmd.Start()
	}
	if err != nil {
		d.t.Fatal(err)
	}
	line := make([]byte, 200)
	n, err := out.Read(line)
	if err != nil {
		d.t.Fatalf("the desk said nothing: %v", err)
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	at := string(line[:n])
	d.url = strings.TrimSuffix(strings.Fields(at[strings.Index(at, "http"):])[0], "/")
}

func (d *runningDesk) kill() {
	if d.cmd != nil && d.cmd.Process != nil {
		_ = d.cmd.Process.Kill()
		_ = d.cmd.Wait()
	}
}

// sending is a photo under the id that its phone gave it.
type sending struct {
	id    string
	photo []byte
	hash  string // as the desk answered; empty until it did
}

// newSending makes a photo that no other has the bytes of, by a comment in it.
func (d *runningDesk) newSending() *sending {
	id := make([]byte, 16)
	_, _ = rand.Read(id)
	comment := "phone " + hex.EncodeToString(id)
	segment := append([]byte{0xff, 0xfe, 0, byte(len(comment) + 2)}, comment...)
	return &sending{id: hex.EncodeToString(id), photo: append(append(append([]byte{}, d.photo[:2]...), segment...), d.photo[2:]...)}
}

// send tries once; the answer's status is 0 when none came.
func (d *runningDesk) send(s *sending) int {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for k, v := range map[string]string{"id": s.id, "block": "Brook 5", "by": "hm", "picked": "2026-09-14", "anyway": "the same fruit again, for a test"} {
		_ = form.WriteField(k, v)
	}
	part, _ := form.CreateFormFile("photo", "tray.jpg")
	_, _ = part.Write(s.photo)
	_ = form.Close()
	r, err := web.NewRequest("POST", d.url+"/sends/tray", &body)
	if err != nil {
		return 0
	}
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Accept", "application/json")
	answer, err := (&web.Client{Timeout: time.Minute}).Do(r)
	if err != nil {
		return 0
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0
	}
	if answer.StatusCode == web.StatusCreated {
		var kept struct{ Tray string }
		if json.Unmarshal(text, &kept) != nil {
			return 0
		}
		s.hash = strings.TrimPrefix(kept.Tray, "/trays/")
	} else if answer.StatusCode < 500 && answer.StatusCode != web.StatusTooManyRequests && !strings.Contains(string(text), "could not be opened") {
		d.t.Errorf("refused: %d %s", answer.StatusCode, text)
	}
	return answer.StatusCode
}

// hidden are the fields of the form that confirms the call shown.
var hidden = regexp.MustCompile(`<input type="hidden" name="(block|day|photo|fruit|version)" value="([^"]*)">`)

// confirm confirms the call that the desk asks about first, as one tap does. It gives the status of the
// answer: 409 where another phone was first, 0 where no call is open.
func (d *runningDesk) confirm() int {
	page, err := web.Get(d.url + "/confirm")
	if err != nil {
		return 0
	}
	defer page.Body.Close()
	text, err := io.ReadAll(page.Body)
	if err != nil {
		return 0
	}
	form := url.Values{"do": {"confirm"}, "by": {"hm"}}
	for _, field := range hidden.FindAllStringSubmatch(string(text), -1) {
		form.Set(field[1], html.UnescapeString(field[2]))
	}
	if !form.Has("version") {
		return 0
	}
	r, err := web.NewRequest("POST", d.url+"/confirm", strings.NewReader(form.Encode()))
	if err != nil {
		return 0
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", "application/json")
	answer, err := (&web.Client{Timeout: time.Minute}).Do(r)
	if err != nil {
		return 0
	}
	defer answer.Body.Close()
	return answer.StatusCode
}

// check holds the season against what was answered: every tray once, none half stored.
func (d *runningDesk) check(all []*sending) {
	d.t.Helper()
	if said := d.traystage("season", "check", "--season", d.season); !strings.Contains(said, "whole") {
		d.t.Errorf("season check: %s", said)
	}
	listed := d.traystage("tray", "list", "Brook 5", "--season", d.season)
	for _, s := range all {
		if s.hash == "" {
			d.t.Errorf("sending %s was never answered", s.id)
		} else if n := strings.Count(listed, s.hash[:8]); n != 1 {
			d.t.Errorf("tray %s is there %d times", s.hash[:8], n)
		}
	}
}

// TestDeskKilled kills the desk while phones send, at moments nobody chose: what was
// answered is there, what was not is sent again and is there once.
func TestDeskKilled(t *testing.T) {
	d := newRunningDesk(t)
	var all []*sending
	waiting := []*sending{d.newSending(), d.newSending()}
	for range *deskKills {
		d.start()
		var mu sync.Mutex
		var wg sync.WaitGroup
		moment := make([]byte, 1)
		_, _ = rand.Read(moment)
		go func() { time.Sleep(time.Duration(moment[0]) * 10 * time.Millisecond); _ = d.cmd.Process.Kill() }()
		for _, s := range waiting {
			wg.Go(func() {
				for d.send(s) == web.StatusCreated {
					mu.Lock()
					all = append(all, s)
					mu.Unlock()
					s = d.newSending()
				}
				mu.Lock()
				defer mu.Unlock()
				waiting = append(waiting[1:], s) // each takes its own place
			})
		}
		wg.Wait()
		d.kill()
	}
	d.start()
	for _, s := range waiting {
		if d.send(s) == web.StatusCreated {
			all = append(all, s)
		}
	}
	d.check(append(all, waiting...))
	t.Logf("%d kills, %d trays", *deskKills, len(all))
}

// TestDeskLosesChildren kills the processes that measure while phones send.
func TestDeskLosesChildren(t *testing.T) {
	d := newRunningDesk(t)
	d.start()
	end := time.Now().Add(*deskFor)
	go func() {
		for time.Now().Before(end) {
			time.Sleep(700 * time.Millisecond)
			_ = exec.Command("pkill", "-9", "-P", fmt.Sprint(d.cmd.Process.Pid)).Run()
		}
	}()
	memory := d.watchMemory(end)
	var lost, confirmed, late atomic.Int64
	var mu sync.Mutex
	var all []*sending
	var wg sync.WaitGroup
	for range *deskPhones {
		wg.Go(func() {
			for time.Now().Before(end) {
				s := d.newSending()
				for tries := 0; d.send(s) != web.StatusCreated; tries++ {
					if lost.Add(1); tries > 50 {
						t.Error("sent in vain")
						return
					}
				}
				mu.Lock()
				all = append(all, s)
				mu.Unlock()
				switch status := d.confirm(); status {
				case web.StatusOK:
					confirmed.Add(1)
				case web.StatusConflict:
					late.Add(1)
				case 0: // all of them have been looked at
				default:
					t.Errorf("a call could not be confirmed: %d", status)
				}
			}
		})
	}
	wg.Wait()
	d.check(all)
	told := d.traystage("history", "Brook 5", "--season", d.season)
	if n := strings.Count(told, " was confirmed"); n != int(confirmed.Load()) {
		t.Errorf("%d calls are confirmed in the season, %d were said to be", n, confirmed.Load())
	}
	t.Logf("%d trays of %d phones, %d calls confirmed and %d that another phone had, %d tries that met a killed child",
		len(all), *deskPhones, confirmed.Load(), late.Load(), lost.Load())
	seen := <-memory
	third := len(seen) / 3
	if third < 20 {
		return // seconds tell nothing of what is kept for good
	}
	before, after := middle(seen[third:2*third]), middle(seen[2*third:])
	t.Logf("the desk held %d MB in the second third, %d MB in the last, %d MB at most", before, after, slices.Max(seen))
	if after > before+before/5 {
		t.Errorf("the desk grows: %d MB, then %d MB", before, after)
	}
}

// watchMemory takes down every second, until end, how much memory the desk itself holds, MB.
func (d *runningDesk) watchMemory(end time.Time) <-chan []int {
	out := make(chan []int, 1)
	go func() {
		var seen []int
		for time.Now().Before(end) {
			status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", d.cmd.Process.Pid))
			if err == nil {
				if _, after, ok := strings.Cut(string(status), "VmRSS:"); ok {
					var kb int
					if n, _ := fmt.Sscan(after, &kb); n == 1 {
						seen = append(seen, kb/1024)
					}
				}
			}
			time.Sleep(time.Second)
		}
		out <- seen
	}()
	return out
}

func middle(all []int) int {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[len(sorted)/2]
}
