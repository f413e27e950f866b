package ledger

import (
	"context"
	"slices"
	"time"
)

// MergeSamples makes one of two samples of a block: trays and readings of the
// one picked on from go into the one picked on into. Where numbers of theirs
// are taken there, all of them go on after the last one; shift is what was added.
func (s *Season) MergeSamples(ctx context.Context, by, block string, from, into time.Time, why string) (shift int, err error) {
	return enter(ctx, s, "merge samples", by, func(w writer) (int, error) {
		if err := reasoned("to merge samples", why); err != nil {
			return 0, err
		}
		a, err := w.sample(block, from)
		if err != nil {
			return 0, err
		}
		b, err := w.sample(block, into)
		if err != nil {
			return 0, err
		}
		if a == b {
			return 0, refuse("block %q: the sample of %s cannot be merged with itself; name another day", block, from.Format(dayLayout))
		}
		return w.merge(a, b, by, why)
	})
}

func (w writer) merge(from, into int64, by, why string) (int, error) {
	shift, err := w.mergeShift(from, into)
	if err != nil {
		return 0, err
	}
	trays, err := w.traysIn(from)
	if err != nil {
		return 0, err
	}
	for _, t := range trays {
		numbers := numbersIn(t.last.report)
		for i := range numbers {
			numbers[i] += shift
		}
		if err := w.moveTray(t, into, numbers, by, why); err != nil {
			return 0, err
		}
	}
	batches, err := w.batchesIn(from)
	if err != nil {
		return 0, err
	}
	for _, b := range batches {
		b.sample, b.shift = into, b.shift+shift
		if err := w.putBatchEntry(b, by, why); err != nil {
			return 0, err
		}
	}
	row, err := w.sampleRow(from)
	if err != nil {
		return 0, err
	}
	row.state, row.merged = Merged, into
	if err := w.putSample(row, by, why); err != nil || len(trays) == 0 {
		return shift, err
	}
	return shift, w.setState(into, InForce, by, why)
}

// mergeShift is 0 where halves and readings of two samples have no number in
// common, else the highest number of the second one.
func (w writer) mergeShift(from, into int64) (int, error) {
	common, highest := false, 0
	for _, numbers := range []func(int64) ([]int, error){w.halfNumbers, w.readNumbers} {
		a, err := numbers(from)
		if err != nil {
			return 0, err
		}
		b, err := numbers(into)
		if err != nil {
			return 0, err
		}
		common = common || slices.ContainsFunc(a, func(n int) bool { return slices.Contains(b, n) })
		highest = max(highest, slices.Max(append(b, 0)))
	}
	if !common {
		return 0, nil
	}
	return highest, nil
}

func (w writer) halfNumbers(sample int64) (out []int, err error) {
	taken, err := w.numbersOf(sample, 0)
	for n := range taken {
		out = append(out, n)
	}
	return out, err
}

func (w writer) readNumbers(sample int64) (out []int, err error) {
	err = w.readingsIn([]int64{sample}, func(_ int64, e entered) {
		if !e.taken {
			out = append(out, e.Fruit)
		}
	})
	return out, err
}
