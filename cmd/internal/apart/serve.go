package apart

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"image/jpeg"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"syscall"

	"traystage/vision"
)

// Limits are those of one child.
type Limits struct {
	// Memory is what a child may take beyond what it has when it starts, bytes.
	Memory uint64
	// Jobs is the number of photos after which a child is replaced.
	Jobs int
}

// Measurer is what a child does with photos; vision does it outside tests.
type Measurer struct {
	Measure func(photo []byte, opt vision.Options) (vision.Tray, error)
	Picture func(photo []byte, side int, opt vision.Options) ([]byte, error)
}

// Vision measures with package vision.
var Vision = Measurer{Measure: vision.Measure, Picture: upright}

// Serve is the child's side: it answers jobs until in ends.
func Serve(in io.Reader, out io.Writer, limits Limits, m Measurer) error {
	debug.SetGCPercent(vision.GCPercent)
	debug.SetMemoryLimit(vision.MemoryLimit)
	if err := confine(limits.Memory); err != nil {
		return err
	}
	if err := writeFrame(out, answer{Ready: true}, nil); err != nil {
		return err
	}
	r := bufio.NewReader(in)
	for {
		var j job
		photo, err := readFrame(r, &j)
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		a, body := m.do(j, photo)
		if err := writeFrame(out, a, body); err != nil {
			return err
		}
	}
}

func (m Measurer) do(j job, photo []byte) (answer, []byte) {
	var (
		a    answer
		body []byte
		err  error
	)
	switch j.Verb {
	case measure:
		var tray vision.Tray
		if tray, err = m.Measure(photo, j.Options); err == nil {
			a.Tray = &tray
		}
	case picture:
		body, err = m.Picture(photo, j.Side, j.Options)
	default:
		err = fmt.Errorf("%q is no job", j.Verb)
	}
	if err != nil {
		a.Reason, a.Text = reasonOf(err), err.Error()
	}
	return a, body
}

// upright is the photo as a JPEG of at most so many pixels on its long side.
func upright(photo []byte, side int, opt vision.Options) ([]byte, error) {
	pic, err := vision.Picture(photo, side, opt)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = jpeg.Encode(&b, pic, &jpeg.Options{Quality: 85})
	return b.Bytes(), err
}

// confine limits the address space to what the process has now and so much
// more, and offers it first where the machine runs out of memory.
func confine(more uint64) error {
	// Others than Linux, and containers without it, do without.
	_ = os.WriteFile("/proc/self/oom_score_adj", []byte("1000"), 0)
	if more == 0 {
		return nil
	}
	has, err := addressSpace()
	if err != nil {
		return err
	}
	limit := syscall.Rlimit{Cur: has + more, Max: has + more}
	if err := syscall.Setrlimit(syscall.RLIMIT_AS, &limit); err != nil {
		return fmt.Errorf("limit of memory: %w", err)
	}
	return nil
}

// addressSpace is that of this process, bytes.
func addressSpace() (uint64, error) {
	text, err := os.ReadFile("/proc/self/statm")
	if err != nil {
		return 0, err
	}
	var pages uint64
	if _, err := fmt.Fscan(strings.NewReader(string(text)), &pages); err != nil {
		return 0, fmt.Errorf("/proc/self/statm: %w", err)
	}
	return pages * uint64(os.Getpagesize()), nil
}

// reason is an error that callers tell apart, on its way between processes.
type reason string

// known are the errors that stay what they are, those before others that they are too.
var known = []struct {
	reason reason
	err    error
}{
	{"printed", vision.ErrPrinted},
	{"no-halves", vision.ErrNoHalves},
	{"no-colour", vision.ErrNoColour},
}

const other reason = "other"

func reasonOf(err error) reason {
	for _, k := range known {
		if errors.Is(err, k.err) {
			return k.reason
		}
	}
	return other
}

// failure is what the answer says went wrong; nil when nothing did.
func (a answer) failure() error {
	if a.Reason == "" {
		return nil
	}
	out := remote{text: a.Text}
	for _, k := range known {
		if k.reason == a.Reason {
			out.err = k.err
		}
	}
	return out
}

// remote is an error with the words of the child.
type remote struct {
	text string
	err  error
}

func (e remote) Error() string { return e.text }

func (e remote) Unwrap() error { return e.err }
