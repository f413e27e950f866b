package workbench

import (
	"math"
	"slices"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// sheetLook is what a sheet is looked at with.
type sheetLook struct {
	Readings
	sheet  sheetEntry
	season []scoring.Sample // of all blocks
	sample scoring.Sample   // of its day; zero when there is none yet
	before scoring.Sample   // the block's sample before; zero when there is none
}

// objections say what looks like a slip in readings that are to be entered.
func (l sheetLook) objections() []note.Note {
	out := l.numbers()
	if l.Whole {
		out = append(out, l.again()...)
		out = append(out, l.ofOther()...)
	}
	if swapped := l.swapped(); len(swapped) > 0 {
		return append(out, swapped...) // far as well, for the same reason
	}
	return append(out, l.far()...)
}

// numbers hold the fruit that were read against the halves of the sample: one may
// be left out on purpose, or be read and not cut, and then somebody says so.
func (l sheetLook) numbers() []note.Note {
	halves := l.sample.Fruit()
	if len(halves) == 0 {
		return nil
	}
	half, row := map[int]bool{}, map[int]bool{}
	highest := 0
	for _, f := range halves {
		half[f.Number], highest = true, max(highest, f.Number)
	}
	var stray, missing []int
	for _, r := range l.sheet.readings {
		row[r.Fruit] = true
		free := r.Fruit < highest // a number that was left free when the tray was stored
		if !half[r.Fruit] && !free && !slices.Contains(l.Uncut, r.Fruit) {
			stray = append(stray, r.Fruit)
		}
	}
	for _, f := range halves {
		if l.Whole && !row[f.Number] {
			missing = append(missing, f.Number)
		}
	}
	var out []note.Note
	if len(stray) > 0 {
		out = append(out, note.New(SheetStray, note.Counts("fruit", stray), note.Count("halves", len(halves))))
	}
	if len(missing) > 0 {
		slices.Sort(missing)
		out = append(out, note.New(SheetMissing, note.Counts("fruit", missing), note.Count("halves", len(halves)), note.Count("rows", len(row))))
	}
	return out
}

// again says that the sample has other readings already: a sheet of another day
// would take their place.
func (l sheetLook) again() []note.Note {
	was := byFruit(l.sample.Readings)
	var changed []int
	for _, r := range l.sheet.readings {
		if old, ok := was[r.Fruit]; ok && contradicts(old, r) {
			changed = append(changed, r.Fruit)
		}
	}
	if len(changed) < 2 {
		return nil // one is a correction
	}
	return []note.Note{note.New(SheetAgain, note.Counts("fruit", changed), note.Day("picked", l.sheet.picked))}
}

func byFruit(readings []instrument.Reading) map[int]instrument.Reading {
	out := map[int]instrument.Reading{}
	for _, r := range readings {
		out[r.Fruit] = r
	}
	return out
}

// contradicts says whether two readings of a fruit name another figure for one thing.
func contradicts(a, b instrument.Reading) bool {
	differ := func(x, y float64, both bool) bool { return both && math.Abs(x-y) > 1e-9 }
	fa, oka := firmness(a)
	fb, okb := firmness(b)
	sa, oks := solids(a)
	sb, okt := solids(b)
	return differ(fa, fb, oka && okb) || differ(sa, sb, oks && okt)
}

// firmness is that of one fruit in lbf.
func firmness(r instrument.Reading) (float64, bool) {
	if r.Firmness == nil {
		return 0, false
	}
	return r.Firmness.Mean(instrument.PoundForce)
}

func solids(r instrument.Reading) (float64, bool) {
	if r.Solids == nil {
		return 0, false
	}
	return r.Solids.Brix, true
}

// fewestEqual is how many fruit must be read alike in firmness and sugar for two
// sheets to be one: chance makes one or two alike, not all.
const fewestEqual = 3

// ofOther says that the sheet is one that another block or day has.
func (l sheetLook) ofOther() []note.Note {
	for _, s := range l.season {
		if s.Block == l.Block && s.Picked.Equal(l.sheet.picked) {
			continue
		}
		was := byFruit(s.Readings)
		equal, both := 0, 0
		for _, r := range l.sheet.readings {
			old, ok := was[r.Fruit]
			if !ok || !measured(old) || !measured(r) {
				continue
			}
			both++
			if !contradicts(old, r) {
				equal++
			}
		}
		if equal >= fewestEqual && equal == both && 2*both > len(l.sheet.readings) {
			return []note.Note{note.New(SheetOfOther, note.Name("block", s.Block), note.Day("picked", s.Picked), note.Count("n", equal))}
		}
	}
	return nil
}

// measured says whether a reading has figures that two fruit seldom share.
func measured(r instrument.Reading) bool {
	_, f := firmness(r)
	_, s := solids(r)
	return f && s
}

// spread is a mean and standard deviation of a few fruit.
type spread struct {
	mean, sd float64
	n        int
}

func spreadOf(readings []instrument.Reading, figure func(instrument.Reading) (float64, bool)) spread {
	var s spread
	var squares float64
	for _, r := range readings {
		x, ok := figure(r)
		if !ok {
			continue
		}
		s.n++
		d := x - s.mean
		s.mean += d / float64(s.n)
		squares += d * (x - s.mean)
	}
	if s.n > 1 {
		s.sd = math.Sqrt(squares / float64(s.n-1))
	}
	return s
}

// How far readings may lie from those of the sample before. Fruit of one block
// differ by about 1.3 lbf and 0.9 °Brix (standard deviation); from week to week the
// mean moves by less than that. Four of these are a slip, or another block.
const (
	usualForceSD  = 1.3 // lbf
	usualSolidsSD = 0.9 // °Brix
	farSDs        = 4.0
)

// distance is how far two means lie apart, in standard deviations of fruit.
func (s spread) distance(to spread, usual float64) float64 {
	return math.Abs(s.mean-to.mean) / max(usual, to.sd)
}

// far says that means lie far from those of the block's sample before.
func (l sheetLook) far() []note.Note {
	var out []note.Note
	now, was := spreadOf(l.sheet.readings, firmness), spreadOf(l.before.Readings, firmness)
	if now.n > 0 && was.n >= fewFruit && now.distance(was, usualForceSD) > farSDs {
		out = append(out, l.farNote(scoring.FirmnessOf, now.mean, was.mean, string(instrument.PoundForce)))
	}
	now, was = spreadOf(l.sheet.readings, solids), spreadOf(l.before.Readings, solids)
	if now.n > 0 && was.n >= fewFruit && now.distance(was, usualSolidsSD) > farSDs {
		out = append(out, l.farNote(scoring.SolidsOf, now.mean, was.mean, "°Brix"))
	}
	return out
}

func (l sheetLook) farNote(q scoring.Quantity, now, was float64, unit string) note.Note {
	return note.New(SheetFar, note.Term("quantity", "quantity", q), note.Figure("now", now, 1, unit), note.Figure("was", was, 1, unit), note.Day("day", l.before.Picked))
}

// swapped says that firmness and sugar look exchanged: the other way round they are
// near those of the block's sample before, or of blocks of the season where it has none.
func (l sheetLook) swapped() []note.Note {
	history := l.before.Readings
	if len(history) < fewFruit {
		for _, s := range l.season {
			history = append(history, s.Readings...)
		}
	}
	unit := unitOf(l.sheet.readings)
	pressed := pressedIn(unit)
	wasF, wasS := spreadOf(history, pressed), spreadOf(history, solids)
	nowF, nowS := spreadOf(l.sheet.readings, pressed), spreadOf(l.sheet.readings, solids)
	if min(wasF.n, wasS.n) < fewFruit || min(nowF.n, nowS.n) < 1 {
		return nil
	}
	usual := instrument.Force{Value: usualForceSD, Unit: instrument.PoundForce}.In(unit)
	straight := nowF.distance(wasF, usual) + nowS.distance(wasS, usualSolidsSD)
	crossed := nowS.distance(wasF, usual) + nowF.distance(wasS, usualSolidsSD)
	if straight < farSDs || crossed > straight/3 {
		return nil
	}
	return []note.Note{note.New(SheetSwapped, note.Figure("force", nowF.mean, 1, ""), note.Figure("brix", nowS.mean, 1, ""),
		note.Figure("was_force", wasF.mean, 1, ""), note.Figure("was_brix", wasS.mean, 1, ""))}
}

// unitOf is the unit that firmness was read in; empty where it was not.
func unitOf(readings []instrument.Reading) instrument.Unit {
	for _, r := range readings {
		if r.Firmness != nil && len(r.Firmness.Sides) > 0 {
			return r.Firmness.Sides[0].Unit
		}
	}
	return ""
}

// pressedIn gives the figure of a firmness as it was written down in a unit: an
// exchanged column has the figures of the other.
func pressedIn(unit instrument.Unit) func(instrument.Reading) (float64, bool) {
	return func(r instrument.Reading) (float64, bool) {
		if unit == "" || unitOf([]instrument.Reading{r}) != unit {
			return 0, false
		}
		return r.Firmness.Mean(unit)
	}
}
