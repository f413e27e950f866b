package table

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Words are the words and numbers of a heading in small letters, without accents:
// "Fermeté côté 1" is fermete, cote, 1. The signs # and % count as letters.
func Words(heading string) []string {
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(strings.ReplaceAll(strings.ToLower(heading), "ß", "ss")))
	return strings.FieldsFunc(plain, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '#' && r != '%'
	})
}
