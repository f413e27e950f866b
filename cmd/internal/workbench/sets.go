package workbench

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/refimages"
	"traystage/vision"
)

// KeptSet is a version of a reference set and the file it is kept in.
type KeptSet struct {
	Set  calibrate.Set
	File string
	Near []NearPlates // of a new set
}

// Sets gives the newest version of every set, the built-in one first. Sets that
// cannot be read are the error; the others are given all the same.
func (b *Bench) Sets(context.Context) ([]calibrate.Set, error) {
	builtin, err := refimages.Builtin()
	if err != nil {
		return nil, err
	}
	all, err := b.Shelf.all()
	if err != nil {
		return nil, err
	}
	sets := []calibrate.Set{builtin}
	var failed fault.Several
	for _, name := range slices.Sorted(maps.Keys(all)) {
		set, err := b.Shelf.Set(name)
		if err != nil {
			failed = append(failed, err)
			continue
		}
		sets = append(sets, set)
	}
	return sets, failed.Err()
}

// NewSet makes the first version of a set from one photo of halves of known stage.
func (b *Bench) NewSet(ctx context.Context, name string, scale calibrate.Scale, note string, g GradedPhoto) (KeptSet, error) {
	if err := checkNewName(name); err != nil {
		return KeptSet{}, err
	}
	// One of the name behind the season's shelf is another set, which this one comes before.
	if own, err := b.Shelf.own(); err != nil {
		return KeptSet{}, err
	} else if len(own[name]) > 0 {
		return KeptSet{}, fmt.Errorf("reference set %q: exists already; add to it with traystage refs add, or choose another name", name)
	}
	tray, err := b.graded(ctx, g, calibrate.Set{StainedDensity: vision.DefaultStainedDensity, Scale: scale})
	if err != nil {
		return KeptSet{}, err
	}
	plates, err := tray.plates()
	if err != nil {
		return KeptSet{}, fmt.Errorf("%s: %w", g.Photo.Name, err)
	}
	set, err := calibrate.New(name, scale, vision.DefaultStainedDensity, plates...)
	if err != nil {
		return KeptSet{}, tray.told(err)
	}
	set.Note = note
	kept, err := b.Shelf.keep(set)
	kept.Near = nearPlates(set)
	return kept, err
}

// CheckSetName refuses a name that no new set may have.
func CheckSetName(name string) error { return checkNewName(name) }

// Grade makes the next version of a set with the graded halves of a photo. The
// suspects are grades of that photo that look misread.
func (b *Bench) Grade(ctx context.Context, name string, repeat calibrate.Repeat, g GradedPhoto) (KeptSet, []calibrate.Suspect, error) {
	set, err := b.extensible(name)
	if err != nil {
		return KeptSet{}, nil, err
	}
	tray, err := b.graded(ctx, g, set)
	if err != nil {
		return KeptSet{}, nil, err
	}
	next, err := set.Grade(repeat, tray.halves()...)
	if errors.Is(err, calibrate.ErrGradedBefore) {
		return KeptSet{}, nil, fault.WithHint(fmt.Errorf("%s: %w", g.Photo.Name, err), "--correct puts the new grades in their place, --again keeps them as a second reading")
	}
	if err != nil {
		return KeptSet{}, nil, tray.told(err)
	}
	kept, err := b.Shelf.keep(next)
	if err != nil {
		return KeptSet{}, nil, err
	}
	suspects, err := calibrate.Suspects(next)
	return kept, slices.DeleteFunc(suspects, func(s calibrate.Suspect) bool { return s.Photo != tray.hash }), err
}

// extensible finds the set that is to be added to: the newest version of one of
// the user's own.
func (b *Bench) extensible(name string) (calibrate.Set, error) {
	if name == refimages.BuiltinName {
		return calibrate.Set{}, fmt.Errorf("reference set %q: the built-in set is not added to; make your own with traystage refs new", name)
	}
	if plain, version := splitVersion(name); version > 0 {
		return calibrate.Set{}, fault.Usagef("%q: add makes the next version of a set; name it without a version: %s", name, plain)
	}
	if err := calibrate.ValidateName(name); err != nil {
		return calibrate.Set{}, fault.Usage{Err: err}
	}
	return b.Shelf.Set(name)
}

// SetCheck is what a check of a set found.
type SetCheck struct {
	Set   calibrate.Set
	Check calibrate.Check
	Fresh []calibrate.Graded // halves of the tray that it was tried on
}

// CheckSet tells whether a set can be trusted: by itself, on a graded tray that it
// does not hold (nil for none), and against an older set ("" for none). step, if given, is
// told how many parts of the work are done.
func (b *Bench) CheckSet(ctx context.Context, name string, tray *GradedPhoto, against string, step func(done, of int)) (SetCheck, error) {
	set, err := b.Shelf.Set(name)
	if err != nil {
		return SetCheck{}, err
	}
	c, err := calibrate.CheckSet(ctx, set, step)
	if err != nil {
		return SetCheck{}, err
	}
	out := SetCheck{Set: set}
	if tray != nil {
		graded, err := b.graded(ctx, *tray, set)
		if err != nil {
			return SetCheck{}, err
		}
		out.Fresh = graded.halves()
		if err := c.AddTray(set, out.Fresh); err != nil {
			return SetCheck{}, fmt.Errorf("%s: %w", tray.Photo.Name, err)
		}
	}
	if against != "" {
		older, err := b.Shelf.Set(against)
		if err != nil {
			return SetCheck{}, err
		}
		if err := c.AddDrift(set, older); err != nil {
			return SetCheck{}, err
		}
	}
	out.Check = c
	return out, nil
}

// Conversion tells which stages of one set go with those of another.
type Conversion struct {
	From, To calibrate.Set
	Lines    []calibrate.Conversion
}

// Convert calls the halves of the same photos on two sets.
func (b *Bench) Convert(ctx context.Context, from, to string, photos []Photo) (Conversion, error) {
	var c Conversion
	var err error
	if c.From, err = b.Shelf.Set(from); err != nil {
		return c, err
	}
	if c.To, err = b.Shelf.Set(to); err != nil {
		return c, err
	}
	var halves []calibrate.Observation
	for _, photo := range photos {
		_, tray, err := b.measure(ctx, photo, optionsOf(c.From))
		if err != nil {
			return c, err
		}
		for _, h := range tray.Halves {
			if callable(h) {
				halves = append(halves, observe(h))
			}
		}
	}
	c.Lines, err = calibrate.Convert(c.From, c.To, halves)
	return c, err
}

// keep fits the set, so that one that cannot call stages is never kept, and writes it.
func (s Shelf) keep(set calibrate.Set) (KeptSet, error) {
	if _, err := calibrate.Fit(set); err != nil {
		return KeptSet{}, fmt.Errorf("reference set %q: %w", set.Name, err)
	}
	if set.Version > 1 { // beside the version it was made from
		held, _, err := s.holding(set.Name)
		if err != nil {
			return KeptSet{}, err
		}
		s = held
	}
	path, err := s.add(set)
	return KeptSet{Set: set, File: path}, err
}

// BuiltinSet is the name and version of the built-in set.
func BuiltinSet() (name string, version int, err error) {
	set, err := refimages.Builtin()
	return set.Name, set.Version, err
}
