package calibrate

import (
	"strings"

	"traystage/scoring/words"
	"traystage/vision/note"
)

// say and said are notes in the words that people read.
func say(n note.Note) string { return words.For("en").Say(n) }

func said(notes []note.Note) string { return strings.Join(words.For("en").SayAll(notes), "\n") }
