package ledger

import (
	"context"
	"database/sql"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strings"
	"time"

	"traystage/scoring/instrument"
)

// AddReadings keeps what was read off fruit of one sample, all of it or none. A
// second entry of a fruit corrects the first: what it names counts from now on,
// and what it leaves nil or empty stays as it was, so that firmness and sugar may
// be entered one after the other. Entries that change nothing are not written;
// added is the number of those that were.
func (s *Season) AddReadings(ctx context.Context, by, block string, picked time.Time, readings ...instrument.Reading) (added int, err error) {
	if err := signedBy(by); err != nil {
		return 0, err
	}
	err = s.write(ctx, func(w writer) error {
		sample, err := w.sample(block, picked)
		if err != nil {
			return err
		}
		for _, reading := range readings {
			if err := checkReading(reading); err != nil {
				return err
			}
			changed, err := w.putReading(sample, by, reading)
			if err != nil {
				return err
			}
			if changed {
				added++
			}
		}
		return nil
	})
	if err != nil {
		return 0, err
	}
	return added, nil
}

func checkReading(r instrument.Reading) error {
	if r.Fruit < 1 {
		return refuse("a reading is of fruit %d; fruit are numbered from 1", r.Fruit)
	}
	var figures []float64
	if r.Firmness != nil {
		if len(r.Firmness.Sides) == 0 {
			return refuse("fruit %d: the firmness has no figure; leave it out, or strike the fruit's readings to take it back", r.Fruit)
		}
		figures = append(figures, r.Firmness.Tip)
		for _, side := range r.Firmness.Sides {
			figures = append(figures, side.Value)
		}
	}
	if r.Solids != nil {
		figures = append(figures, r.Solids.Brix)
		if r.Solids.Celsius != nil {
			figures = append(figures, *r.Solids.Celsius)
		}
	}
	if r.Red != nil {
		figures = append(figures, *r.Red)
	}
	if r.Ground != nil {
		figures = append(figures, r.Ground.Score)
	}
	if slices.ContainsFunc(figures, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }) {
		return refuse("fruit %d: a reading is no number; read it again", r.Fruit)
	}
	return nil
}

func (w writer) putReading(sample int64, by string, r instrument.Reading) (changed bool, err error) {
	if r == (instrument.Reading{Fruit: r.Fruit}) {
		return false, nil // an empty row of a sheet says nothing of its fruit
	}
	var before []entered
	if err := w.readingsWhere("sample = ? AND fruit = ?", []any{sample, r.Fruit}, func(_ int64, e entered) {
		before = append(before, e)
	}); err != nil {
		return false, err
	}
	was, now := counting(before), counting(append(before, entered{Reading: r}))
	if reflect.DeepEqual(was, now) {
		return false, nil
	}
	columns, err := readingColumns(r)
	if err != nil {
		return false, err
	}
	columns = append(columns, column{"sample", sample}, column{"fruit", r.Fruit}, column{"struck", false}, column{"note", r.Note})
	_, err = w.add("reading", w.signed(by, columns...)...)
	return true, err
}

// readingColumns are the columns of what was read; the others stay NULL.
func readingColumns(r instrument.Reading) ([]column, error) {
	var columns []column
	if r.Firmness != nil {
		sides := make([][2]any, len(r.Firmness.Sides))
		for i, side := range r.Firmness.Sides {
			sides[i] = [2]any{side.Value, side.Unit}
		}
		text, err := listText(sides)
		if err != nil {
			return nil, err
		}
		columns = append(columns, column{"sides", text}, column{"tip", r.Firmness.Tip})
	}
	if r.Solids != nil {
		columns = append(columns, column{"brix", r.Solids.Brix}, column{"compensated", r.Solids.Compensated})
		if r.Solids.Celsius != nil {
			columns = append(columns, column{"celsius", *r.Solids.Celsius})
		}
	}
	if r.Red != nil {
		columns = append(columns, column{"red", *r.Red})
	}
	if r.Ground != nil {
		columns = append(columns, column{"ground", r.Ground.Score}, column{"ground_scale", r.Ground.Scale})
	}
	return columns, nil
}

// StrikeReadings takes back all readings of a fruit, such as those of a fruit
// that was mixed up; why becomes the note of the entry. They stay in its history.
func (s *Season) StrikeReadings(ctx context.Context, by, block string, picked time.Time, fruit int, why string) error {
	if err := signedBy(by); err != nil {
		return err
	}
	if strings.TrimSpace(why) == "" {
		return refuse("fruit %d: to strike readings needs a reason; say what was wrong with them", fruit)
	}
	return s.write(ctx, func(w writer) error {
		sample, err := w.sample(block, picked)
		if err != nil {
			return err
		}
		var before []entered
		err = w.readingsWhere("sample = ? AND fruit = ?", []any{sample, fruit}, func(_ int64, e entered) { before = append(before, e) })
		if err != nil {
			return err
		}
		if len(counting(before)) == 0 {
			return refuse("block %q: readings of fruit %d picked on %s: %w; check the number", block, fruit, picked.Format(dayLayout), ErrNotFound)
		}
		_, err = w.add("reading", w.signed(by,
			column{"sample", sample}, column{"fruit", fruit}, column{"struck", true}, column{"note", why})...)
		return err
	})
}

// entered is one entry of a reading.
type entered struct {
	instrument.Reading
	struck bool
	by     string
	at     time.Time
}

// readings gives the entries of each sample of the scope, in order of fruit and
// then of entry.
func (r reader) readings(sc scope, f func(sample int64, all []entered)) error {
	where, args := sc.among("sample")
	var of int64
	var all []entered
	err := r.readingsWhere(where, args, func(sample int64, e entered) {
		if sample != of && len(all) > 0 {
			f(of, all)
			all = nil
		}
		of, all = sample, append(all, e)
	})
	if len(all) > 0 {
		f(of, all)
	}
	return err
}

func (r reader) readingsWhere(where string, args []any, f func(sample int64, e entered)) error {
	return r.each(func(scan func(...any) error) error {
		var sample int64
		var e entered
		var sides, groundScale sql.NullString
		var tip, brix, celsius, red, ground sql.NullFloat64
		var compensated sql.NullBool
		err := scan(&sample, &e.Fruit, &e.struck, &sides, &tip, &brix, &celsius, &compensated, &red, &ground, &groundScale, &e.Note, &e.by, instant(&e.at))
		if err != nil {
			return err
		}
		if sides.Valid {
			e.Firmness = &instrument.Firmness{Tip: tip.Float64}
			if e.Firmness.Sides, err = sidesOf(sides.String); err != nil {
				return err
			}
		}
		if brix.Valid {
			e.Solids = &instrument.Solids{Brix: brix.Float64, Celsius: pointer(celsius), Compensated: compensated.Bool}
		}
		e.Red = pointer(red)
		if ground.Valid {
			e.Ground = &instrument.Ground{Score: ground.Float64, Scale: groundScale.String}
		}
		f(sample, e)
		return nil
	}, `SELECT sample, fruit, struck, sides, tip, brix, celsius, compensated, red, ground, ground_scale, note, who, at
		FROM reading WHERE `+where+" ORDER BY sample, fruit, id", args...)
}

func pointer(x sql.NullFloat64) *float64 {
	if !x.Valid {
		return nil
	}
	return &x.Float64
}

// sidesOf reads what readingColumns wrote.
func sidesOf(text string) ([]instrument.Force, error) {
	var pairs [][2]json.RawMessage
	if err := json.Unmarshal([]byte(text), &pairs); err != nil {
		return nil, err
	}
	sides := make([]instrument.Force, len(pairs))
	for i, pair := range pairs {
		if err := json.Unmarshal(pair[0], &sides[i].Value); err != nil {
			return nil, err
		}
		if err := json.Unmarshal(pair[1], &sides[i].Unit); err != nil {
			return nil, err
		}
	}
	return sides, nil
}

// counting gives the readings that count after all entries, in order of fruit.
// Entries come in order of fruit and then of entry.
func counting(all []entered) []instrument.Reading {
	var out []instrument.Reading
	for _, e := range all {
		last := len(out) - 1
		switch {
		case last < 0 || out[last].Fruit != e.Fruit:
			if !e.struck {
				out = append(out, e.Reading)
			}
		case e.struck:
			out = out[:last]
		default:
			correct(&out[last], e.Reading)
		}
	}
	return out
}

// correct puts what a later entry names in the place of what was there.
func correct(r *instrument.Reading, later instrument.Reading) {
	if later.Firmness != nil {
		r.Firmness = later.Firmness
	}
	if later.Solids != nil {
		r.Solids = later.Solids
	}
	if later.Red != nil {
		r.Red = later.Red
	}
	if later.Ground != nil {
		r.Ground = later.Ground
	}
	if later.Note != "" {
		r.Note = later.Note
	}
}
