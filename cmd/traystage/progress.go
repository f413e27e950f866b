package main

import (
	"fmt"
	"os"

	"traystage/vision/note"
)

// progress counts photos, or other parts of long work, on a terminal; elsewhere it is silent.
type progress struct {
	speech
	done, all  int
	key        string // of the words that count
	onTerminal bool
}

func newProgress(say speech, all int) *progress {
	p := &progress{speech: say, all: all, key: "command.progress.photos"}
	if f, ok := say.w.(*os.File); ok && all != 1 {
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
		fmt.Fprintf(p.w, "\r%s", p.Text(p.key, note.Count("n", p.done), note.Count("all", p.all)))
	}
}

func (p *progress) clear() {
	if p.onTerminal {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}
