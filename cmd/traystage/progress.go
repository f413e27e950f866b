package main

import (
	"fmt"
	"io"
	"os"
)

// progress counts photos, or other parts of long work, on a terminal; elsewhere it is silent.
type progress struct {
	w          io.Writer
	done, all  int
	what       string // that are counted
	onTerminal bool
}

func newProgress(w io.Writer, all int) *progress {
	p := &progress{w: w, all: all, what: "photos"}
	if f, ok := w.(*os.File); ok && all != 1 {
		if info, err := f.Stat(); err == nil {
			p.onTerminal = info.Mode()&os.ModeCharDevice != 0
		}
	}
	return p
}

// set tells how many there are and how many are done.
func (p *progress) set(done, all int) {
	p.done, p.all = done-1, all
	p.step()
	if done == all {
		p.clear()
	}
}

func (p *progress) step() {
	p.done++
	if p.onTerminal {
		fmt.Fprintf(p.w, "\r%d of %d %s", p.done, p.all, p.what)
	}
}

func (p *progress) clear() {
	if p.onTerminal {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}
