package main

import (
	"os"

	"traystage/scoring/words"
)

// language is what the command speaks: that of TRAYSTAGE_LANGUAGE, such as "es",
// or else English.
func language() *words.Catalogue { return words.For(os.Getenv("TRAYSTAGE_LANGUAGE")) }
