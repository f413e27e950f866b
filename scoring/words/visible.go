package words

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Visible writes out what would steer a terminal or a page instead of being seen on it: control
// characters, marks that turn the direction of writing, and bytes that are no text, such as come with
// the name of a file. They come out as \u202e or \xff. Line ends, tabs and what joins letters stay, and
// so does the mark at the start that says a text is in UTF-8. JSON means the same after it as before.
func Visible(text string) string {
	if strings.IndexFunc(text, steers) < 0 && utf8.ValidString(text) {
		return text
	}
	var out strings.Builder
	for i, r := range text {
		_, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&out, `\x%02x`, text[i])
		case !steers(r), r == '\r' && strings.HasPrefix(text[i:], "\r\n"), r == '\ufeff' && i == 0:
			out.WriteString(text[i : i+size])
		case r > 0xFFFF:
			a, b := utf16.EncodeRune(r)
			fmt.Fprintf(&out, `\u%04x\u%04x`, a, b)
		default:
			fmt.Fprintf(&out, `\u%04x`, r)
		}
	}
	return out.String()
}

// steers is true for characters that are not seen and change what is.
func steers(r rune) bool {
	switch r {
	case '\n', '\t', '\u200c', '\u200d':
		return false
	case '\u2028', '\u2029':
		return true
	}
	return unicode.In(r, unicode.Cc, unicode.Cf)
}

// Terminal is a writer that makes everything Visible on its way to w. What is written to it in one go
// is a text of its own.
func Terminal(w io.Writer) io.Writer { return visible{w} }

type visible struct{ w io.Writer }

func (s visible) Write(p []byte) (int, error) {
	if _, err := io.WriteString(s.w, Visible(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}
