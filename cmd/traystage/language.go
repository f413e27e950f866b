package main

import (
	"context"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/words"
)

// languageVariable names the language that commands speak where --language does
// not.
const languageVariable = "TRAYSTAGE_LANGUAGE"

// languageKey is under which a command's context holds its language.
type languageKey struct{}

// language is what a command speaks: what was asked for, else what the season is
// set to once it is open, else English.
type language struct {
	tag   string
	asked string // for; empty where nobody did
}

// withLanguage gives the context of a command a language that is not known yet.
func withLanguage(ctx context.Context) (context.Context, *language) {
	l := &language{}
	return context.WithValue(ctx, languageKey{}, l), l
}

// words are those of the language.
func (l *language) words() *words.Catalogue { return words.For(l.tag) }

// addLanguage gives all commands the flag that says which language they speak.
func addLanguage(root *cobra.Command, l *language) {
	root.PersistentFlags().StringVar(&l.tag, "language", "", "speak this `LANGUAGE`: "+strings.Join(words.Tags(), ", ")+
		"; that of "+languageVariable+", the season's or English when not given")
	root.PersistentPreRunE = func(*cobra.Command, []string) error {
		from := "--language"
		if l.tag == "" {
			l.tag, from = os.Getenv(languageVariable), languageVariable
		}
		if tag := l.tag; tag != "" && !words.Known(tag) {
			l.tag = ""
			return fault.Usagef("%s %q: is no language known here; there are %s", from, tag, strings.Join(words.Tags(), ", "))
		}
		l.asked = l.tag
		return nil
	}
}

// speakOf lets a command speak as the season is set, where nobody asked for a
// language. A season that cannot be read is told by what the command does with it.
func speakOf(ctx context.Context, b *workbench.Bench) {
	l, ok := ctx.Value(languageKey{}).(*language)
	if !ok || l.tag != "" {
		return
	}
	if set, err := b.Settings(ctx); err == nil {
		l.tag = set.Language
	}
}

// askedFor is the tag of the language that was asked for; empty where nobody did.
func askedFor(ctx context.Context) string {
	if l, ok := ctx.Value(languageKey{}).(*language); ok {
		return l.asked
	}
	return ""
}

// speaking is what a command speaks.
func speaking(ctx context.Context) *words.Catalogue {
	l, _ := ctx.Value(languageKey{}).(*language)
	if l == nil {
		return words.For(words.Default)
	}
	return l.words()
}
