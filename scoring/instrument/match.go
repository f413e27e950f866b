package instrument

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Match holds the fruit that were read against the halves on the trays of
// their sample, numbered from 1: every half must have its row, blank or not, and
// every row its half. The error names both numbers and what is left over.
func Match(readings []Reading, halves int) error {
	seen := make(map[int]bool, len(readings))
	var over, without []int
	for _, r := range readings {
		if r.Fruit < 1 || r.Fruit > halves {
			over = append(over, r.Fruit)
		}
		seen[r.Fruit] = true
	}
	for n := 1; n <= halves; n++ {
		if !seen[n] {
			without = append(without, n)
		}
	}
	slices.Sort(over)
	var left []string
	if len(over) > 0 {
		left = append(left, fmt.Sprintf("no half for fruit %s", numbers(over)))
	}
	if len(without) > 0 {
		left = append(left, fmt.Sprintf("no row for half %s", numbers(without)))
	}
	if len(left) == 0 {
		return nil
	}
	return fmt.Errorf("%d fruit were read and %d halves lie on the trays: %s; number the fruit as they lie, and leave a row blank where nothing was read",
		len(readings), halves, strings.Join(left, ", "))
}

// numbers lists numbers as people write them: "3", "3 and 7", "3, 7 and 9",
// runs of three and more as "3 to 5".
func numbers(sorted []int) string {
	var words []string
	for i := 0; i < len(sorted); {
		end := i
		for end+1 < len(sorted) && sorted[end+1] == sorted[end]+1 {
			end++
		}
		if end-i >= 2 {
			words = append(words, fmt.Sprintf("%d to %d", sorted[i], sorted[end]))
			i = end + 1
			continue
		}
		words = append(words, strconv.Itoa(sorted[i]))
		i++
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
