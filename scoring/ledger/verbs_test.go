package ledger

import (
	"context"
	"fmt"
	"slices"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// round is what one round of all verbs works on: a block of its own.
type round struct {
	n      int
	block  string
	pick   int64
	batch  int64
	device int64
	photos []Tray // stored, in this order
	ctx    context.Context
}

func newRound(ctx context.Context, n int) *round {
	r := &round{n: n, block: fmt.Sprintf("Block %d", n), ctx: ctx}
	for i := range 3 {
		t := trayOf(3*n+i+5000, 1, 4)
		t.Block, t.Report.Block, t.Head = r.block, r.block, &scoring.Sample{Tester: "cd"}
		t.Number = &Numbering{}
		r.photos = append(r.photos, t)
	}
	return r
}

func (r *round) hash(i int) string { return r.photos[i].Report.PhotoHash }

// report is the report on one of the trays, as it now stands.
func (r *round) report(s *Season, i int) (scoring.Report, error) {
	samples, err := s.Load(r.ctx, r.block)
	for _, sample := range samples {
		for _, t := range sample.Trays {
			if t.PhotoHash == r.hash(i) {
				return t, nil
			}
		}
	}
	return scoring.Report{}, fmt.Errorf("tray %d is not there: %v", i, err)
}

func nextDay(n int) time.Time { return picked.AddDate(0, 0, n) }

// verb is one thing that writes to a season.
type verb struct {
	name string
	do   func(r *round, s *Season) error
}

// verbs are all that write to a season, in an order in which each can be done
// once more in every round.
var verbs = []verb{
	{"add block", func(r *round, s *Season) error {
		return s.AddBlock(r.ctx, "ab", scoring.Block{Name: r.block, Variety: "Gala", Market: "long store"})
	}},
	{"change block", func(r *round, s *Season) error {
		return s.ChangeBlock(r.ctx, "ab", r.block, scoring.Block{Name: r.block, Variety: "Fuji", Harvest: picked})
	}},
	{"store tray", func(r *round, s *Season) error { _, err := s.StoreTray(r.ctx, r.photos[0]); return err }},
	{"store tray", func(r *round, s *Season) error { _, err := s.StoreTray(r.ctx, r.photos[1]); return err }},
	{"review", func(r *round, s *Season) error { return r.review(s, scoring.Review{By: "ef"}) }},
	{"review", func(r *round, s *Season) error {
		return r.review(s, scoring.Review{By: "ef", Override: true, Stage: 3.5, Why: "the rim is brown"})
	}},
	{"undo review", func(r *round, s *Season) error { return s.UndoReview(r.ctx, "ef", r.hash(0), 2, "slip") }},
	{"store tray", func(r *round, s *Season) error {
		again := r.photos[0]
		again.Report.Reference.Version, again.SetDigest = "3", hashOf([]byte("gala 3"))
		_, err := s.StoreTray(r.ctx, again)
		return err
	}},
	{"add sample", func(r *round, s *Season) error {
		return s.AddSample(r.ctx, "ab", scoring.Sample{Block: r.block, Picked: nextDay(1), Tester: "cd"})
	}},
	{"move tray", func(r *round, s *Season) error {
		_, err := s.MoveTray(r.ctx, "ab", r.hash(1), Destination{Block: r.block, Picked: nextDay(1)}, "the other day")
		return err
	}},
	{"renumber tray", func(r *round, s *Season) error {
		_, err := s.RenumberTray(r.ctx, "ab", r.hash(1), Numbering{First: 1, Without: []int{3}}, "fruit 3 was not cut")
		return err
	}},
	{"revise tray", func(r *round, s *Season) error {
		found := trayOf(r.n, 6, 1).Report.Fruit[0]
		_, err := s.ReviseTray(r.ctx, "ab", r.hash(1), Revision{Strike: []int{4}, Add: []Addition{{Fruit: found, Before: 2}}}, "a knife")
		return err
	}},
	{"strike tray", func(r *round, s *Season) error { return s.StrikeTray(r.ctx, "ab", r.hash(1), "wrong photo") }},
	{"restore tray", func(r *round, s *Season) error { return s.RestoreTray(r.ctx, "ab", r.hash(1), "right after all") }},
	{"change sample", func(r *round, s *Season) error {
		return s.ChangeSample(r.ctx, "ab", r.block, nextDay(1), scoring.Sample{Block: r.block, Picked: nextDay(2), Tester: "gh", Wait: time.Minute}, "slip")
	}},
	{"enter readings", func(r *round, s *Season) error {
		red := 60.0
		e, err := s.EnterReadings(r.ctx, "ab", Readings{Block: r.block, Picked: nextDay(3), Source: "sheet.csv", Head: &scoring.Sample{},
			All: []instrument.Reading{{Fruit: 1, Red: &red}, {Fruit: 2, Solids: &instrument.Solids{Brix: 11.5}}}})
		r.batch = e.Batch
		return err
	}},
	{"move batch", func(r *round, s *Season) error {
		return s.MoveBatch(r.ctx, "ab", r.batch, r.block, nextDay(2), 1, "of the day before")
	}},
	{"strike batch", func(r *round, s *Season) error { return s.StrikeBatch(r.ctx, "ab", r.batch, "twice") }},
	{"restore batch", func(r *round, s *Season) error { return s.RestoreBatch(r.ctx, "ab", r.batch, "once") }},
	{"strike readings", func(r *round, s *Season) error {
		return s.StrikeReadings(r.ctx, "ab", r.block, nextDay(2), 2, "mixed up")
	}},
	{"merge samples", func(r *round, s *Season) error {
		_, err := s.MergeSamples(r.ctx, "ab", r.block, nextDay(2), picked, "one day")
		return err
	}},
	{"strike sample", func(r *round, s *Season) error { return s.StrikeSample(r.ctx, "ab", r.block, picked, "wrong block") }},
	{"restore sample", func(r *round, s *Season) error { return s.RestoreSample(r.ctx, "ab", r.block, picked, "right block") }},
	{"pick block", func(r *round, s *Season) (err error) {
		bins := 12.5
		r.pick, err = s.PickBlock(r.ctx, "ab", r.block, Pick{Day: nextDay(9), Bins: &bins, Destination: "room 4"})
		return err
	}},
	{"undo pick", func(r *round, s *Season) error { return s.UndoPick(r.ctx, "ab", r.pick, "other block") }},
	{"retire block", func(r *round, s *Season) error { return s.RetireBlock(r.ctx, "ab", r.block, "grubbed up") }},
	{"resume block", func(r *round, s *Season) error { return s.ResumeBlock(r.ctx, "ab", r.block, "half of it stands") }},
	{"add check", func(r *round, s *Season) error {
		return s.AddCheck(r.ctx, instrument.Check{Instrument: fmt.Sprint("R", r.n), Kind: instrument.ZeroWater, Day: picked, By: "ab"})
	}},
	{"strike check", func(r *round, s *Season) error {
		all, err := s.KeptChecks(r.ctx)
		if err != nil {
			return err
		}
		mine := slices.IndexFunc(all, func(c KeptCheck) bool { return c.Instrument == fmt.Sprint("R", r.n) })
		return s.StrikeCheck(r.ctx, "ab", all[mine].ID, "tap water")
	}},
	{"put sheet", func(r *round, s *Season) error {
		return s.PutSheet(r.ctx, "ab", StandardsSheet, fmt.Sprint("row ", r.n))
	}},
	{"set", func(r *round, s *Season) error {
		return s.Set(r.ctx, "ab", Setting{Name: FullBloom, Block: r.block, Year: 2026, Value: "2026-04-20"})
	}},
	{"pair device", func(r *round, s *Season) (err error) {
		r.device, err = s.PairDevice(r.ctx, "ab", Device{Name: "phone", Role: "tester", Token: hashOf([]byte(r.block))})
		return err
	}},
	{"change device", func(r *round, s *Season) error { return s.ChangeDevice(r.ctx, "ab", r.device, "old phone", "") }},
	{"revoke device", func(r *round, s *Season) error { return s.RevokeDevice(r.ctx, "ab", r.device, "lost") }},
}

func (r *round) review(s *Season, review scoring.Review) error {
	seen, err := r.report(s, 0)
	if err != nil {
		return err
	}
	return s.Review(r.ctx, seen, 2, review)
}

// all does every verb, each told to after it is done.
func (r *round) all(s *Season, done func(verb, sending string)) error {
	for i, v := range verbs {
		sending := fmt.Sprintf("%d-%d", r.n, i)
		if err := v.do(r, s.With(Beside{Sending: sending, Anyway: "I know"})); err != nil {
			return fmt.Errorf("%s: %w", v.name, err)
		}
		done(v.name, sending)
	}
	return nil
}
