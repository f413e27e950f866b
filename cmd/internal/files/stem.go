package files

import (
	"crypto/sha256"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// longestStem leaves room for an ending and what stands before the stem: names of
// files end at 255 bytes.
const longestStem = 80

// plainName is a name that its stem tells whole, but for capitals.
var plainName = regexp.MustCompile(`^[A-Za-z0-9]+( [A-Za-z0-9]+)*$`)

// reserved are stems that some systems give to devices, and those of the program's
// own files beside which others are written.
var reserved = []string{"con", "prn", "aux", "nul", "com", "lpt", "outlook", "plan"}

// Stem makes a name fit for a file: small letters, digits and dashes. Two names that
// differ in more than capitals have two stems, whatever else a folder holds: what a
// stem cannot tell, such as other letters or a dash in place of a space, is told by
// a few digits made of the whole name.
func Stem(name string) string {
	parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9')
	})
	stem := strings.Join(parts, "-")
	device := strings.TrimRight(stem, "0123456789")
	if plainName.MatchString(name) && len(stem) <= longestStem && !slices.Contains(reserved, device) {
		return stem
	}
	if stem = stem[:min(len(stem), longestStem)]; stem == "" || slices.Contains(reserved, device) {
		stem = strings.Trim("block-"+stem, "-")
	}
	return fmt.Sprintf("%s-%.8x", strings.Trim(stem, "-"), sha256.Sum256([]byte(name)))
}
