package calibrate

import (
	"bytes"
	"errors"
	"fmt"
	"image/jpeg"
	"math"
	"strings"
	"time"
	"unicode/utf8"
)

const (
	// rise is how much more stained a plate may be than one nearer the stained
	// end. A total is measured to about 0.006, a difference of two to 0.0085;
	// this is 2.4 times that, and a finer order cannot be seen.
	rise = 0.02
	// sameStage is how far apart the totals of two plates of one stage may lie.
	// Graders repeat themselves to about half a stage of eight (common
	// practice, no source), which is 0.07 of the face on a straight scale.
	sameStage = 0.10
	// tooNear is how far apart two different stages must lie at least, in
	// stages: a thousand times finer than any grader writes.
	tooNear = 1e-4
	// weightSlack lets weights be written with three or four decimals.
	weightSlack = 0.002

	maxPlates      = 200
	maxZones       = 20
	maxSectors     = 72
	maxText        = 2000    // characters of a note or source
	maxPicture     = 1 << 18 // bytes: 256 KB
	maxPictureSide = 2048    // pixels: beyond it the picture is not a small one
	maxDensity     = 3       // optical density: a thousandth of the light, as good as black
)

// Validate says what is wrong with the set, naming the plates by their place
// in it, from 1.
func (s Set) Validate() error {
	for _, check := range []func() error{s.checkHead, s.checkPlates, s.checkOrder, s.checkGraded} {
		if err := check(); err != nil {
			return fmt.Errorf("%s: %w", s.title(), err)
		}
	}
	return nil
}

func (s Set) checkHead() error {
	if err := ValidateName(s.Name); err != nil {
		return err
	}
	if s.Version < 1 {
		return errors.New("versions are counted from 1")
	}
	if s.Parent != "" && !isDigest(s.Parent) {
		return errors.New("parent is not the digest of a version")
	}
	if (s.Parent != "") != (s.Version > 1) {
		return errors.New("each version but the first has the digest of its parent: make versions with Next")
	}
	if !(s.StainedDensity >= 0 && s.StainedDensity <= maxDensity) {
		return fmt.Errorf("a stained density of %g is outside 0 to %d: 0.2 is usual", s.StainedDensity, maxDensity)
	}
	if err := checkText("note", s.Note); err != nil {
		return err
	}
	return s.Scale.Validate()
}

func checkText(what, text string) error {
	if n := utf8.RuneCountInString(text); n > maxText {
		return fmt.Errorf("the %s has %d characters: keep it under %d", what, n, maxText)
	}
	if !utf8.ValidString(text) {
		return fmt.Errorf("the %s is not valid text", what)
	}
	return nil
}

func (s Set) checkPlates() error {
	if len(s.Plates) < 2 {
		return fmt.Errorf("%d plates: a set needs at least two, of different stages", len(s.Plates))
	}
	if len(s.Plates) > maxPlates {
		return fmt.Errorf("%d plates: a set holds up to %d", len(s.Plates), maxPlates)
	}
	for i, p := range s.Plates {
		if err := p.check(s.Scale); err != nil {
			return fmt.Errorf("%s: %w", s.plate(i), err)
		}
		if n, first := len(p.Zones), len(s.Plates[0].Zones); n != first {
			return fmt.Errorf("%s has %d zones where plate 1 has %d: measure all with the same number", s.plate(i), n, first)
		}
	}
	return nil
}

// check says what is wrong with the plate by itself.
func (p Plate) check(scale Scale) error {
	if !scale.Contains(p.Stage) {
		return fmt.Errorf("its stage is not on the scale from %g to %g", scale.Stained, scale.Clear)
	}
	if err := checkProfile(p.Stained, p.Zones, p.Weights, p.Sectors); err != nil {
		return err
	}
	if err := checkText("source", p.Source); err != nil {
		return err
	}
	if err := p.Origin.check(); err != nil {
		return err
	}
	return checkPicture(p.Picture)
}

// check looks at where a plate was taken from; nil is all right.
func (o *Origin) check() error {
	if o == nil {
		return nil
	}
	if err := checkPlace(o.Photo, o.Half); err != nil {
		return err
	}
	return ValidateInitials(o.By)
}

// checkTime looks at when a stage was given; empty is all right.
func checkTime(when string) error {
	if when == "" {
		return nil
	}
	if _, err := time.Parse(time.RFC3339, when); err != nil {
		return fmt.Errorf("when its stage was given, %q, is no time such as 2026-09-14T08:31:00+02:00", when)
	}
	return nil
}

// checkProfile looks at what was measured on a half.
func checkProfile(stained float64, zones, weights, sectors []float64) error {
	if !isFraction(stained) {
		return fmt.Errorf("stained fraction %g is outside 0 to 1", stained)
	}
	if n := len(zones); n == 0 || n > maxZones {
		return fmt.Errorf("%d zones: there are 1 to %d", n, maxZones)
	}
	if len(weights) != len(zones) {
		return fmt.Errorf("%d weights for %d zones: each zone has one", len(weights), len(zones))
	}
	sum := 0.0
	for i := range zones {
		if !isFraction(zones[i]) || !isFraction(weights[i]) {
			return fmt.Errorf("zone %d: stained fraction %g and weight %g must lie in 0 to 1", i+1, zones[i], weights[i])
		}
		sum += weights[i]
	}
	if math.Abs(sum-1) > weightSlack {
		return fmt.Errorf("the weights add up to %.4f, not to 1", sum)
	}
	return checkSectors(sectors)
}

// checkSectors looks at the bearings; none is all right.
func checkSectors(sectors []float64) error {
	if n := len(sectors); n%quarters != 0 || n > maxSectors {
		return fmt.Errorf("%d sectors: their number is a multiple of %d, up to %d", n, quarters, maxSectors)
	}
	if !areFractions(sectors) {
		return fmt.Errorf("its sectors %v must lie in 0 to 1", sectors)
	}
	return nil
}

func isFraction(v float64) bool { return v >= 0 && v <= 1 }

// checkPicture looks at the header alone: what is shown is decoded elsewhere.
func checkPicture(picture []byte) error {
	if len(picture) == 0 {
		return nil
	}
	if len(picture) > maxPicture {
		return fmt.Errorf("its picture has %d bytes: keep it under %d (256 KB)", len(picture), maxPicture)
	}
	head, err := jpeg.DecodeConfig(bytes.NewReader(picture))
	if err != nil {
		return fmt.Errorf("its picture is not a JPEG: %w", err)
	}
	if head.Width > maxPictureSide || head.Height > maxPictureSide {
		return fmt.Errorf("its picture is %d by %d pixels: keep it within %d", head.Width, head.Height, maxPictureSide)
	}
	return nil
}

// checkOrder wants the plates by stage and, within what can be seen, by stain.
func (s Set) checkOrder() error {
	var wrong []string
	note := func(i, j int, how string) {
		wrong = append(wrong, fmt.Sprintf("%s, stained %.2f, %s %s, stained %.2f", s.plate(j), s.Plates[j].Stained, how, s.plate(i), s.Plates[i].Stained))
	}
	for j := 1; j < len(s.Plates); j++ {
		if err := s.checkStages(j-1, j); err != nil {
			return err
		}
		i := s.leastStainedBefore(j)
		if i >= 0 && s.Plates[j].Stained > s.Plates[i].Stained+rise {
			note(i, j, "is more stained than")
		}
		for i := j - 1; i >= 0 && s.Plates[i].Stage == s.Plates[j].Stage; i-- {
			if math.Abs(s.Plates[i].Stained-s.Plates[j].Stained) > sameStage {
				note(i, j, "contradicts")
			}
		}
	}
	if s.Plates[0].Stage == s.Plates[len(s.Plates)-1].Stage {
		return fmt.Errorf("all plates have stage %g: a set needs two stages or more", s.Plates[0].Stage)
	}
	if wrong != nil {
		return fmt.Errorf("plates out of order: %s: check their stages", strings.Join(wrong, "; "))
	}
	return nil
}

// checkStages looks at the stages of two neighbours.
func (s Set) checkStages(i, j int) error {
	a, b := s.Plates[i].Stage, s.Plates[j].Stage
	further := s.Scale.position(b) - s.Scale.position(a)
	if further < 0 {
		return fmt.Errorf("%s stands after %s: plates stand from stage %g to stage %g", s.plate(j), s.plate(i), s.Scale.Stained, s.Scale.Clear)
	}
	if a != b && further < tooNear {
		return fmt.Errorf("%s and %s have almost the same stage: give both the same", s.plate(i), s.plate(j))
	}
	return nil
}

// leastStainedBefore is the least stained plate of an earlier stage than that
// of plate j, or -1.
func (s Set) leastStainedBefore(j int) int {
	least := -1
	for i, p := range s.Plates[:j] {
		if p.Stage != s.Plates[j].Stage && (least < 0 || p.Stained < s.Plates[least].Stained) {
			least = i
		}
	}
	return least
}

// plate names plate i in errors.
func (s Set) plate(i int) string { return fmt.Sprintf("plate %d (stage %g)", i+1, s.Plates[i].Stage) }
