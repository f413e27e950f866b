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

// languageKey is under which a command's context holds the tag of the language
// that was asked for.
type languageKey struct{}

// addLanguage gives all commands the flag that says which language they speak.
func addLanguage(root *cobra.Command) {
	root.PersistentFlags().String("language", "", "speak this `LANGUAGE`: "+strings.Join(words.Tags(), ", ")+
		"; that of "+languageVariable+", the season's or English when not given")
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		tag, from := askedLanguage(root)
		if tag != "" && !words.Known(tag) {
			return fault.Usagef("%s %q: is no language known here; there are %s", from, tag, strings.Join(words.Tags(), ", "))
		}
		cmd.SetContext(context.WithValue(cmd.Context(), languageKey{}, tag))
		return nil
	}
}

// askedLanguage is the tag of the language that the user asked for, and where;
// empty for none.
func askedLanguage(root *cobra.Command) (tag, from string) {
	if tag, err := root.PersistentFlags().GetString("language"); err == nil && tag != "" {
		return tag, "--language"
	}
	return os.Getenv(languageVariable), languageVariable
}

// speaking is what a command speaks: what was asked for, else what the season is
// set to, else English. b may be nil.
func speaking(ctx context.Context, b *workbench.Bench) *words.Catalogue {
	if tag, _ := ctx.Value(languageKey{}).(string); tag != "" {
		return words.For(tag)
	}
	if b != nil {
		// A season that cannot be read is told by what the command does with it.
		if set, err := b.Settings(ctx); err == nil && set.Language != "" {
			return words.For(set.Language)
		}
	}
	return words.For(words.Default)
}
