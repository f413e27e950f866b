package ledger

import (
	"database/sql"
	"slices"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// This file makes events of the rows of each table.

func (t *teller) blocks() error {
	err := t.each(func(scan func(...any) error) error {
		var id, block int64
		var b scoring.Block
		e := Event{Act: BlockWritten, Block: &b}
		err := scan(&id, &block, &b.Name, &b.Variety, &b.Market, day(&b.Harvest), &b.Set, &b.Note, &e.By, instant(&e.At))
		e.BlockName = t.blockNames[block]
		t.put("block_entry", id, e)
		return err
	}, "SELECT id, block, name, variety, market, harvest, reference_set, note, who, at FROM block_entry ORDER BY id")
	if err != nil {
		return err
	}
	return t.each(func(scan func(...any) error) error {
		var id, block int64
		var retired bool
		e := Event{Act: BlockResumed}
		err := scan(&id, &block, &retired, &e.Why, &e.By, instant(&e.At))
		if retired {
			e.Act = BlockRetired
		}
		e.BlockName = t.blockNames[block]
		t.put("block_retired", id, e)
		return err
	}, "SELECT id, block, retired, why, who, at FROM block_retired ORDER BY id")
}

func (t *teller) picks() error {
	return t.each(func(scan func(...any) error) error {
		var block int64
		var p Pick
		var bins sql.NullFloat64
		var undoes sql.NullInt64
		err := scan(&p.ID, &block, day(&p.Day), &p.Part, &bins, &p.Destination, &p.Note, &undoes, &p.By, instant(&p.At))
		p.Bins = pointer(bins)
		e := Event{Act: BlockPicked, By: p.By, At: p.At, BlockName: t.blockNames[block], Pick: &p}
		row := p.ID
		if undoes.Valid {
			e.Act, e.Why, p.ID, p.Note = PickUndone, p.Note, undoes.Int64, ""
		}
		t.put("pick", row, e)
		return err
	}, "SELECT id, block, day, part, bins, destination, note, undoes, who, at FROM pick ORDER BY id")
}

func (t *teller) samples() error {
	acts := map[State]Act{InForce: SampleWritten, Waiting: SampleWaits, Struck: SampleStruck, Merged: SampleMerged}
	return t.each(func(scan func(...any) error) error {
		var id, sample, block int64
		var state, why sql.NullString
		var merged sql.NullInt64
		var h scoring.Sample
		e := Event{Sample: &h}
		err := scan(&id, &sample, &block, day(&h.Picked), day(&h.Tested), &h.Tester, (*int64)(&h.Wait), &h.Note, &state, &merged, &why, &e.By, instant(&e.At))
		h.Block, e.Act, e.Why = t.blockNames[block], acts[State(state.String)], why.String
		if merged.Valid {
			e.Into = t.samplesBy[merged.Int64].head.Picked
		}
		t.put("sample_entry", id, t.in(e, sample))
		return err
	}, `SELECT e.id, e.sample, coalesce(e.block, s.block), e.picked, e.tested, e.tester, e.wait, e.note, e.state, e.merged, e.why, e.who, e.at
		FROM sample_entry AS e JOIN sample AS s ON s.id = e.sample ORDER BY e.id`)
}

func (t *teller) trays() error {
	return t.each(func(scan func(...any) error) error {
		var id, tray, sample int64
		var struck bool
		e := Event{Act: TrayPlaced}
		err := scan(&id, &tray, &sample, &struck, &e.Why, &e.By, instant(&e.At))
		if struck {
			e.Act = TrayStruck
		}
		t.put("tray_entry", id, t.in(t.on(e, tray), sample))
		return err
	}, "SELECT id, tray, sample, struck, why, who, at FROM tray_entry ORDER BY id")
}

func (t *teller) scorings() error {
	at := map[int64]*ScoredRow{}
	err := t.each(func(scan func(...any) error) error {
		var id, tray int64
		var change, why sql.NullString
		var s ScoredRow
		ref := &s.Reference
		e := Event{Act: TrayScored, Scored: &s}
		err := scan(&id, &tray, &change, &why, &ref.Name, &ref.Version, &ref.Scale.Stained, &ref.Scale.Clear, &ref.Scale.Step,
			&ref.Calibrated, &ref.StainedDensity, &ref.Common.Standard, &ref.Common.Freedom, &s.SetDigest, &s.Program, &e.By, instant(&e.At))
		s.Change, e.Why = Change(change.String), why.String
		at[id] = &s
		t.put("scoring", id, t.on(e, tray))
		return err
	}, `SELECT id, tray, origin, why, set_name, set_version, scale_stained, scale_clear, scale_step,
		calibrated, stained_density, common_standard, common_freedom, set_digest, program, who, at FROM scoring ORDER BY id`)
	if err != nil {
		return err
	}
	return t.each(func(scan func(...any) error) error {
		var scoring int64
		var number int
		var byHand bool
		err := scan(&scoring, &number, &byHand)
		if s := at[scoring]; s != nil {
			s.Numbers = append(s.Numbers, number)
			if byHand {
				s.ByHand = append(s.ByHand, number)
			}
		}
		return err
	}, "SELECT scoring, number, coalesce(by_hand, 0) FROM half ORDER BY id")
}

func (t *teller) reviews() error {
	return t.each(func(scan func(...any) error) error {
		var id, tray int64
		var undone bool
		var origin sql.NullInt64
		var v scoring.Review
		e := Event{Act: CallReviewed, Review: &v}
		err := scan(&id, &tray, &e.Fruit, &undone, &origin, &v.Override, &v.Stage, &v.Why, &v.By, instant(&v.At))
		e.By, e.At, e.Why = v.By, v.At, v.Why
		switch {
		case undone:
			e.Act, e.Review = ReviewUndone, nil
		case origin.Valid:
			e.Act = ReviewCarried
		}
		t.put("review", id, t.on(e, tray))
		return err
	}, `SELECT r.id, s.tray, h.number, coalesce(r.undone, 0), r.origin, r.override, r.stage, r.why, r.who, r.at
		FROM review AS r JOIN half AS h ON h.id = r.half JOIN scoring AS s ON s.id = h.scoring ORDER BY r.id`)
}

func (t *teller) batches() error {
	err := t.each(func(scan func(...any) error) error {
		var id, sample int64
		e := Event{Act: ReadingsEntered}
		err := scan(&id, &sample, &e.By, instant(&e.At))
		b := t.batchesBy[id]
		e.Batch = &b
		t.put("batch", id, t.in(e, sample))
		return err
	}, "SELECT id, sample, who, at FROM batch ORDER BY id")
	if err != nil {
		return err
	}
	struck := map[int64]bool{}
	return t.each(func(scan func(...any) error) error {
		var id, batch, sample int64
		var is bool
		e := Event{Act: ReadingsMoved}
		err := scan(&id, &batch, &sample, &e.Shift, &is, &e.Why, &e.By, instant(&e.At))
		if is && !struck[batch] {
			e.Act = ReadingsStruck
		}
		struck[batch] = is
		b := t.batchesBy[batch]
		e.Batch = &b
		t.put("batch_entry", id, t.in(e, sample))
		return err
	}, "SELECT id, batch, sample, shift, struck, why, who, at FROM batch_entry ORDER BY id")
}

func (t *teller) readings() error {
	var samples []int64
	for id := range t.samplesBy {
		samples = append(samples, id)
	}
	slices.Sort(samples)
	return t.readingsIn(samples, func(sample int64, en entered) {
		e := Event{Act: FruitRead, By: en.by, At: en.at, Fruit: en.Fruit, Reading: &en.Reading}
		if en.struck {
			e.Act, e.Why, e.Reading = FruitStruck, en.Note, nil
		}
		t.put("reading", en.id, t.in(e, sample))
	})
}

func (t *teller) checks() error {
	by := map[int64]*instrument.Check{}
	all, err := t.reader.checks()
	for _, c := range all {
		check := c.Check
		by[c.ID] = &check
		t.put("instrument_check", c.ID, Event{Act: CheckMade, By: c.By, At: c.At, Check: &check})
	}
	if err != nil {
		return err
	}
	return t.each(func(scan func(...any) error) error {
		var id, of int64
		e := Event{Act: CheckStruck}
		err := scan(&id, &of, &e.Why, &e.By, instant(&e.At))
		e.Check = by[of]
		t.put("check_entry", id, e)
		return err
	}, "SELECT id, instrument_check, why, who, at FROM check_entry ORDER BY id")
}

// season tells settings, sheets and devices.
func (t *teller) season() error {
	err := t.each(func(scan func(...any) error) error {
		var id int64
		var block sql.NullInt64
		var value sql.NullString
		var s Setting
		err := scan(&id, &s.Name, &block, &s.Year, &value, &s.By, instant(&s.At))
		s.Block, s.Value = t.blockNames[block.Int64], value.String
		t.put("setting", id, Event{Act: SettingMade, By: s.By, At: s.At, BlockName: s.Block, Setting: &s})
		return err
	}, "SELECT id, name, block, year, value, who, at FROM setting ORDER BY id")
	if err != nil {
		return err
	}
	err = t.each(func(scan func(...any) error) error {
		var id int64
		e := Event{Act: SheetWritten}
		err := scan(&id, &e.Sheet, &e.By, instant(&e.At))
		t.put("sheet", id, e)
		return err
	}, "SELECT id, name, who, at FROM sheet ORDER BY id")
	if err != nil {
		return err
	}
	seen := map[int64]bool{}
	return t.each(func(scan func(...any) error) error {
		var id int64
		var d Device
		e := Event{Act: DevicePaired, Device: &d}
		err := scan(&id, &d.ID, &d.Name, &d.Role, &d.Revoked, &e.Why, &e.By, instant(&e.At))
		switch {
		case d.Revoked:
			e.Act = DeviceRevoked
		case seen[d.ID]:
			e.Act = DeviceChanged
		}
		seen[d.ID] = true
		t.put("device_entry", id, e)
		return err
	}, "SELECT id, device, name, role, revoked, why, who, at FROM device_entry ORDER BY id")
}
