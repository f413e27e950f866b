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

// among limits a query to samples of the scope; column names the sample's id.
func (sc scope) among(column string) (string, []any) {
	if sc.block == 0 {
		return "true", nil
	}
	return column + " IN (SELECT id FROM sample WHERE block = ?)", []any{sc.block}
}

func (r reader) samples(sc scope) ([]scoring.Sample, error) {
	var samples []scoring.Sample
	at := map[int64]int{} // place in samples by id
	where, args := sc.among("s.sample")
	err := r.each(func(scan func(...any) error) error {
		var id int64
		var s scoring.Sample
		err := scan(&id, &s.Block, day(&s.Picked), day(&s.Tested), &s.Tester, (*int64)(&s.Wait), &s.Note)
		at[id] = len(samples)
		samples = append(samples, s)
		return err
	}, `SELECT s.sample, b.name, s.picked, s.tested, s.tester, s.wait, s.note
		FROM current_sample AS s JOIN current_block AS b ON b.block = s.block
		WHERE `+where+` ORDER BY b.name COLLATE NOCASE, s.picked`, args...)
	if err != nil {
		return nil, err
	}
	trays, err := r.scorings(sc)
	if err != nil {
		return nil, err
	}
	for _, t := range trays {
		if len(t.report.Fruit) == 0 {
			return nil, fmt.Errorf("photo %q: %w: its halves are gone; %s", t.report.Photo, ErrDamaged, advice[ErrDamaged])
		}
		s := &samples[at[t.sample]]
		if sc.whole {
			t.report.Summary = scoring.Summarize(t.report.Fruit, t.report.Reference, t.report.Summary.Wanted)
		}
		s.Trays = append(s.Trays, t.report)
	}
	for i := range samples {
		slices.SortStableFunc(samples[i].Trays, byNumber)
	}
	return samples, r.readings(sc, func(sample int64, all []entered) {
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
	id, sample int64
	digest     string
	by         string // initials
	at         time.Time
	report     scoring.Report
	margins    map[int]Margin
	halves     []int64 // ids, in order of report.Fruit
}

// lastScorings joins each tray t with the scoring s of it that counts.
const lastScorings = "tray AS t JOIN scoring AS s ON s.id = (SELECT max(id) FROM scoring WHERE tray = t.id)"

// scorings gives the scorings of the scope that count now, in the order in
// which the trays were stored.
func (r reader) scorings(sc scope) ([]*scored, error) {
	where, args := sc.among("t.sample")
	return r.scoringsWhere(lastScorings, where, args, sc.whole)
}

// lastScoring gives the scoring of a tray that counts.
func (r reader) lastScoring(t trayRow) (*scored, error) {
	all, err := r.scoringsWhere(lastScorings, "t.id = ?", []any{t.id}, true)
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("photo %s: %w: it was never scored; %s", t.hash, ErrDamaged, advice[ErrDamaged])
	}
	return all[0], nil
}

// scoringsWhere gives scorings with their halves; from names the tables t and s.
func (r reader) scoringsWhere(from, where string, args []any, whole bool) ([]*scored, error) {
	var all []*scored
	byID := map[int64]*scored{}
	err := r.each(func(scan func(...any) error) error {
		t := &scored{margins: map[int]Margin{}}
		p := &t.report
		ref := &p.Reference
		err := scan(&t.id, &t.sample, &t.digest, &p.PhotoHash, &p.Orchard, &p.Block, &p.Variety, &p.Photo, &p.Width, &p.Height,
			moment{&p.Taken, cameraLayout}, &ref.Name, &ref.Version, &ref.Scale.Stained, &ref.Scale.Clear, &ref.Scale.Step,
			&ref.Calibrated, &ref.StainedDensity, &ref.Common.Standard, &ref.Common.Freedom,
			&p.Summary.Wanted, list[scoring.Remark]{&p.Remarks}, &p.Program, &t.by, instant(&t.at))
		all, byID[t.id] = append(all, t), t
		return err
	}, `SELECT s.id, t.sample, s.set_digest, t.hash, s.orchard, s.block_name, s.variety, s.photo_name, s.width, s.height,
			s.taken, s.set_name, s.set_version, s.scale_stained, s.scale_clear, s.scale_step,
			s.calibrated, s.stained_density, s.common_standard, s.common_freedom, s.wanted, s.remarks, s.program, s.who, s.at
		FROM `+from+" WHERE "+where+" ORDER BY s.id", args...)
	if err != nil {
		return nil, err
	}
	if whole {
		err = r.wholeHalves(byID, from, where, args)
	} else {
		err = r.calls(byID, from, where, args)
	}
	if err != nil {
		return nil, err
	}
	return all, r.lastReviews(byID, from, where, args)
}

// wholeHalves reads all that is known of halves into their reports.
func (r reader) wholeHalves(byID map[int64]*scored, from, where string, args []any) error {
	return r.each(func(scan func(...any) error) error {
		var id, of int64
		var f scoring.Fruit
		var low, high sql.NullFloat64
		var outline []byte
		err := scan(&id, &of, &f.Number, &f.Call.Stage, &f.Call.Low, &f.Call.High, &f.Call.Between[0], &f.Call.Between[1], &f.Call.Borderline, &f.Call.Worth,
			&f.Clipped, &f.Unscored, &f.Stained, &low, &high, &f.Masked, &f.Place.Centre[0], &f.Place.Centre[1], &f.Place.Radius,
			list[float64]{&f.Zones}, list[float64]{&f.Weights}, list[string]{&f.Call.Reasons}, list[scoring.Remark]{&f.Remarks}, &outline)
		if err != nil {
			return err
		}
		if f.Place.Outline, err = unpackPoints(outline); err != nil {
			return err
		}
		t := byID[of]
		t.halves, t.report.Fruit = append(t.halves, id), append(t.report.Fruit, f)
		if low.Valid {
			t.margins[f.Number] = Margin{low.Float64, high.Float64}
		}
		return nil
	}, `SELECT h.id, h.scoring, h.number, h.stage, h.low, h.high, h.between_from, h.between_to, h.borderline, h.worth,
			h.clipped, h.unscored, h.stained, h.stained_low, h.stained_high, h.masked, h.centre_x, h.centre_y, h.radius,
			h.zones, h.weights, h.reasons, h.remarks, o.points
		FROM `+from+" JOIN half AS h ON h.scoring = s.id JOIN outline AS o ON o.half = h.id WHERE "+where+" ORDER BY h.id", args...)
}

// calls reads what LoadAll gives of halves.
func (r reader) calls(byID map[int64]*scored, from, where string, args []any) error {
	return r.each(func(scan func(...any) error) error {
		var id, of int64
		var f scoring.Fruit
		err := scan(&id, &of, &f.Number, &f.Call.Stage, &f.Call.Low, &f.Call.High, &f.Call.Borderline, &f.Clipped, &f.Unscored, &f.Stained, &f.Masked)
		if err != nil {
			return err
		}
		t := byID[of]
		t.halves, t.report.Fruit = append(t.halves, id), append(t.report.Fruit, f)
		return nil
	}, `SELECT h.id, h.scoring, h.number, h.stage, h.low, h.high, h.borderline, h.clipped, h.unscored, h.stained, h.masked
		FROM `+from+" JOIN half AS h ON h.scoring = s.id WHERE "+where+" ORDER BY h.id", args...)
}

// lastReviews gives each half its last review.
func (r reader) lastReviews(byID map[int64]*scored, from, where string, args []any) error {
	return r.each(func(scan func(...any) error) error {
		var half, of int64
		var review scoring.Review
		err := scan(&half, &of, &review.Override, &review.Stage, &review.Why, &review.By, instant(&review.At))
		if err != nil {
			return err
		}
		t := byID[of]
		i, _ := slices.BinarySearch(t.halves, half)
		t.report.Fruit[i].Review = &review
		return nil
	}, `SELECT h.id, h.scoring, r.override, r.stage, r.why, r.who, r.at
		FROM `+from+` JOIN half AS h ON h.scoring = s.id
		JOIN review AS r ON r.id = (SELECT max(id) FROM review WHERE half = h.id) WHERE `+where, args...)
}
