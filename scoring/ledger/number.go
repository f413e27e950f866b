package ledger

import (
	"maps"
	"slices"

	"traystage/scoring"
)

// Numbering says how the halves of a tray are numbered, in reading order.
type Numbering struct {
	First int // number of the first half; 0: go on after the last half of the sample
	// Without are the numbers of fruit that have no half on a photo, such as
	// those that were not cut: they are left free.
	Without []int
	// Last says that no other photo comes, so that each of Without must lie between the halves
	// of this one, or from Since on where earlier photos go before; 0 for none.
	Last  bool
	Since int
}

// highestNumber is far beyond what one sample holds.
const highestNumber = 1_000_000

// numbers gives count numbers from first on.
func (n Numbering) numbers(first, count int) []int {
	out := make([]int, 0, count)
	for number := first; len(out) < count; number++ {
		if !slices.Contains(n.Without, number) {
			out = append(out, number)
		}
	}
	return out
}

// settle gives the numbers for count halves of a tray in a sample.
func (r reader) settle(n Numbering, sample, tray int64, count int) ([]int, error) {
	if n.First < 0 || n.First > highestNumber {
		return nil, refuse("fruit are numbered from 1 to %d; %d is none of these", highestNumber, n.First)
	}
	if n.First > 0 {
		return n.leaving(n.First, count)
	}
	taken, err := r.numbersOf(sample, tray)
	if err != nil {
		return nil, err
	}
	return n.leaving(1+slices.Max(append(slices.Collect(maps.Keys(taken)), 0)), count)
}

// leaving gives count numbers from first on; it is refused where a number that is to be left
// free is none of those that are passed.
func (n Numbering) leaving(first, count int) ([]int, error) {
	numbers := n.numbers(first, count)
	if !n.Last || count == 0 {
		return numbers, nil
	}
	if n.Since > 0 {
		first = min(first, n.Since)
	}
	last := slices.Max(numbers)
	for _, w := range n.Without {
		if w < first || w > last {
			return nil, refuse("fruit %d: is not among those of the photo, which are numbered from %d to %d; check the number, or leave it out: nothing follows it", w, first, last)
		}
	}
	return numbers, nil
}

// numbersOf gives the numbers that halves of a sample have, each with the name
// of its photo; those of one tray are left out.
func (r reader) numbersOf(sample, but int64) (map[int]string, error) {
	taken := map[int]string{}
	err := r.each(func(scan func(...any) error) error {
		var number int
		var photo string
		err := scan(&number, &photo)
		taken[number] = photo
		return err
	}, `SELECT h.number, s.photo_name FROM `+currentTrays+` JOIN half AS h ON h.scoring = s.id
		WHERE t.id IN (SELECT tray FROM tray_entry WHERE sample = ?1) AND e.sample = ?1 AND NOT e.struck AND t.id <> ?2`, sample, but)
	return taken, err
}

// numbersFree refuses fruit numbers that other trays of the sample have.
func (r reader) numbersFree(photo string, sample, tray int64, numbers []int) error {
	taken, err := r.numbersOf(sample, tray)
	if err != nil {
		return err
	}
	var both []int
	for _, n := range numbers {
		if _, ok := taken[n]; ok {
			both = append(both, n)
		}
	}
	if len(both) == 0 {
		return nil
	}
	slices.Sort(both)
	return refuse("photo %q: fruit %s: %w by %q of the same sample; number the fruit of this tray from %d",
		photo, scoring.Numbers(both), ErrTaken, taken[both[0]], slices.Max(slices.Collect(maps.Keys(taken)))+1)
}

// numbered gives a tray whose fruit have these numbers.
func (t Tray) numbered(numbers []int) Tray {
	fruit, margins := slices.Clone(t.Report.Fruit), map[int]Margin{}
	for i, n := range numbers {
		if m, ok := t.Margins[fruit[i].Number]; ok {
			margins[n] = m
		}
		fruit[i].Number = n
	}
	t.Report.Fruit, t.Margins = fruit, margins
	return t
}

// numbers are those of the fruit of a report, in its order.
func numbersIn(r scoring.Report) []int {
	out := make([]int, len(r.Fruit))
	for i, f := range r.Fruit {
		out[i] = f.Number
	}
	return out
}
