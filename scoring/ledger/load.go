package ledger

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"slices"
	"time"

	"traystage/scoring"
)

// Load gives the samples of a block in order of the days they were picked, with
// everything that counts now: trays as they were last scored, the last review of
// each call, readings with their corrections. Reports are as they were when they
// were stored, to the last bit; their summaries are made anew.
func (s *Season) Load(ctx context.Context, block string) ([]scoring.Sample, error) {
	var samples []scoring.Sample
	err := s.read(ctx, func(r reader) error {
		id, err := r.block(block)
		if err != nil {
			return err
		}
		samples, err = r.samples(scope{block: id, whole: true})
		return err
	})
	return samples, err
}

// LoadAll gives the samples of all blocks, by block and day, as far as an
// outlook needs them: of each half its number, call and review, but not where it
// lies, its zones, the reasons of its call and the remarks on it; and no
// summaries of trays, as an outlook sums up whole samples.
func (s *Season) LoadAll(ctx context.Context) ([]scoring.Sample, error) {
	var samples []scoring.Sample
	err := s.read(ctx, func(r reader) error {
		var err error
		samples, err = r.samples(scope{})
		return err
	})
	return samples, err
}

// scope is how much is read: one block, or all where block is 0; whole halves
// or only their calls.
type scope struct {
	block int64
	whole bool
}

func (r reader) samples(sc scope) ([]scoring.Sample, error) {
	var samples []scoring.Sample
	var order []int64
	at := map[int64]int{} // place in samples by id
	where := "true"
	if sc.block != 0 {
		where = everOfBlock + " AND s.block = ?1"
	}
	err := r.each(func(scan func(...any) error) error {
		var id int64
		var s scoring.Sample
		err := scan(&id, &s.Block, day(&s.Picked), day(&s.Tested), &s.Tester, (*int64)(&s.Wait), &s.Note)
		at[id], order = len(samples), append(order, id)
		samples = append(samples, s)
		return err
	}, `SELECT s.sample, b.name, s.picked, s.tested, s.tester, s.wait, s.note
		FROM `+currentSamples+` AS s JOIN `+currentBlocks+` AS b ON b.block = s.block
		WHERE s.state IS NULL AND `+where+` ORDER BY b.name COLLATE NOCASE, s.picked`, sc.block)
	if err != nil {
		return nil, err
	}
	trays, err := r.scoringsIn(order, sc.whole)
	if err != nil {
		return nil, err
	}
	for _, t := range trays {
		s := &samples[at[t.sample]]
		if sc.whole {
			t.report.Summary = scoring.Summarize(t.report.Fruit, t.report.Reference, t.report.Summary.Wanted)
		}
		s.Trays = append(s.Trays, t.report)
	}
	for i := range samples {
		slices.SortStableFunc(samples[i].Trays, byNumber)
	}
	return samples, r.readings(order, func(sample int64, all []entered) {
		samples[at[sample]].Readings = counting(all)
	})
}

// byNumber orders trays by the lowest number of their fruit.
func byNumber(a, b scoring.Report) int {
	lowest := func(r scoring.Report) int {
		return slices.MinFunc(r.Fruit, func(a, b scoring.Fruit) int { return cmp.Compare(a.Number, b.Number) }).Number
	}
	return cmp.Compare(lowest(a), lowest(b))
}

// scored is one scoring of a tray, as a report.
type scored struct {
	id, tray, sample int64 // sample is the one that the tray is in now
	digest           string
	change           Change
	why              string // of the change
	by               string // initials
	at               time.Time
	report           scoring.Report
	margins          map[int]Margin
	halves           []int64 // ids, in order of report.Fruit
	reviews          []int64 // ids of the rows that the reviews were given in; 0 without one
}

// scoringsIn gives the scorings that count of the trays of samples, in the order
// in which they were written.
func (r reader) scoringsIn(samples []int64, whole bool) ([]*scored, error) {
	var scorings []int64
	err := r.each(func(scan func(...any) error) error {
		var id int64
		err := scan(&id)
		scorings = append(scorings, id)
		return err
	}, "SELECT s.id FROM "+currentTrays+` WHERE t.id IN (SELECT tray FROM tray_entry WHERE sample IN (SELECT value FROM json_each(?1)))
		AND e.sample IN (SELECT value FROM json_each(?1)) AND NOT e.struck`, ids(samples))
	if err != nil {
		return nil, err
	}
	return r.scoringsOf(scorings, whole)
}

// lastScoring gives the scoring of a tray that counts.
func (r reader) lastScoring(t trayRow) (*scored, error) {
	var id int64
	if err := r.one("SELECT max(id) FROM scoring WHERE tray = ?", []any{t.id}, &id); err != nil {
		return nil, fmt.Errorf("photo %s: %w: it was never scored; %s", t.hash, ErrDamaged, advice[ErrDamaged])
	}
	all, err := r.scoringsOf([]int64{id}, true)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// scoringsOf gives scorings with their halves, by id.
func (r reader) scoringsOf(of []int64, whole bool) ([]*scored, error) {
	var all []*scored
	byID := map[int64]*scored{}
	err := r.each(func(scan func(...any) error) error {
		t := &scored{margins: map[int]Margin{}}
		p := &t.report
		ref := &p.Reference
		var origin, why sql.NullString
		err := scan(&t.id, &t.tray, &t.sample, &t.digest, &p.PhotoHash, &p.Orchard, &p.Block, &p.Variety, &p.Photo, &p.Width, &p.Height,
			moment{&p.Taken, cameraLayout}, &ref.Name, &ref.Version, &ref.Scale.Stained, &ref.Scale.Clear, &ref.Scale.Step,
			&ref.Calibrated, &ref.StainedDensity, &ref.Common.Standard, &ref.Common.Freedom,
			&p.Summary.Wanted, notes{&p.Remarks}, list[scoring.Suspect]{&p.Suspects}, &p.Program, &origin, &why, &t.by, instant(&t.at))
		t.change, t.why = Change(origin.String), why.String
		all, byID[t.id] = append(all, t), t
		return err
	}, `SELECT s.id, t.id, e.sample, s.set_digest, t.hash, s.orchard, s.block_name, s.variety, s.photo_name, s.width, s.height,
			s.taken, s.set_name, s.set_version, s.scale_stained, s.scale_clear, s.scale_step,
			s.calibrated, s.stained_density, s.common_standard, s.common_freedom, s.wanted, s.remarks, coalesce(s.suspects, 'null'), s.program, s.origin, s.why, s.who, s.at
		FROM scoring AS s JOIN tray AS t ON t.id = s.tray JOIN tray_entry AS e ON e.id = (SELECT max(id) FROM tray_entry WHERE tray = t.id)
		WHERE s.id IN (SELECT value FROM json_each(?)) ORDER BY s.id`, ids(of))
	if err != nil {
		return nil, err
	}
	if whole {
		err = r.wholeHalves(byID, of)
	} else {
		err = r.calls(byID, of)
	}
	if err != nil {
		return nil, err
	}
	for _, t := range all {
		if len(t.report.Fruit) == 0 {
			return nil, fmt.Errorf("photo %q: %w: its halves are gone; %s", t.report.Photo, ErrDamaged, advice[ErrDamaged])
		}
	}
	return all, r.lastReviews(byID, of)
}

// wholeHalves reads all that is known of halves into their reports.
func (r reader) wholeHalves(byID map[int64]*scored, of []int64) error {
	return r.each(func(scan func(...any) error) error {
		var id, of int64
		var f scoring.Fruit
		var low, high sql.NullFloat64
		var outline []byte
		err := scan(&id, &of, &f.Number, &f.Call.Stage, &f.Call.Low, &f.Call.High, &f.Call.Between[0], &f.Call.Between[1], &f.Call.Borderline, &f.Call.Worth,
			&f.Clipped, oneNote{&f.Unscored}, &f.Stained, &low, &high, &f.Masked, &f.Place.Centre[0], &f.Place.Centre[1], &f.Place.Radius,
			list[float64]{&f.Zones}, list[float64]{&f.Weights}, notes{&f.Call.Reasons}, notes{&f.Remarks}, &f.ByHand, &outline)
		if err != nil {
			return err
		}
		if f.Place.Outline, err = unpackPoints(outline); err != nil {
			return err
		}
		t := byID[of]
		t.addHalf(id, f)
		if low.Valid {
			t.margins[f.Number] = Margin{low.Float64, high.Float64}
		}
		return nil
	}, `SELECT h.id, h.scoring, h.number, h.stage, h.low, h.high, h.between_from, h.between_to, h.borderline, h.worth,
			h.clipped, h.unscored, h.stained, h.stained_low, h.stained_high, h.masked, h.centre_x, h.centre_y, h.radius,
			h.zones, h.weights, h.reasons, h.remarks, coalesce(h.by_hand, 0), o.points
		FROM half AS h JOIN outline AS o ON o.half = h.id WHERE h.scoring IN (SELECT value FROM json_each(?)) ORDER BY h.id`, ids(of))
}

// calls reads what LoadAll gives of halves.
func (r reader) calls(byID map[int64]*scored, of []int64) error {
	return r.each(func(scan func(...any) error) error {
		var id, of int64
		var f scoring.Fruit
		err := scan(&id, &of, &f.Number, &f.Call.Stage, &f.Call.Low, &f.Call.High, &f.Call.Borderline, &f.Clipped, oneNote{&f.Unscored}, &f.Stained, &f.Masked, &f.ByHand)
		if err != nil {
			return err
		}
		byID[of].addHalf(id, f)
		return nil
	}, `SELECT h.id, h.scoring, h.number, h.stage, h.low, h.high, h.borderline, h.clipped, h.unscored, h.stained, h.masked, coalesce(h.by_hand, 0)
		FROM half AS h WHERE h.scoring IN (SELECT value FROM json_each(?)) ORDER BY h.id`, ids(of))
}

func (t *scored) addHalf(id int64, f scoring.Fruit) {
	t.halves, t.report.Fruit, t.reviews = append(t.halves, id), append(t.report.Fruit, f), append(t.reviews, 0)
}

// lastReviews gives each half the review that counts.
func (r reader) lastReviews(byID map[int64]*scored, of []int64) error {
	return r.each(func(scan func(...any) error) error {
		var half, of, origin int64
		var review scoring.Review
		err := scan(&half, &of, &origin, &review.Override, &review.Stage, &review.Why, &review.By, instant(&review.At))
		if err != nil {
			return err
		}
		t := byID[of]
		i, _ := slices.BinarySearch(t.halves, half)
		t.report.Fruit[i].Review, t.reviews[i] = &review, origin
		return nil
	}, `SELECT h.id, h.scoring, o.id, o.override, o.stage, o.why, o.who, o.at
		FROM half AS h JOIN review AS r ON r.id = (SELECT max(id) FROM review WHERE half = h.id)
		JOIN review AS o ON o.id = coalesce(r.origin, r.id)
		WHERE h.scoring IN (SELECT value FROM json_each(?)) AND (r.origin IS NOT NULL OR NOT coalesce(r.undone, 0))`, ids(of))
}
