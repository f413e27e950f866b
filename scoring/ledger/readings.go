package ledger

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// Readings are what is entered at one go, such as a sheet.
type Readings struct {
	Block  string
	Picked time.Time // day of the sample
	Source string    // name of the file; empty for readings entered by hand
	// Head is the head of the sample that the readings wait in, where the block
	// has no sample of that day yet; nil refuses such a day.
	Head *scoring.Sample
	All  []instrument.Reading
}

// Entered tells what became of readings.
type Entered struct {
	Batch   int64 // by which they can be struck or moved; 0 when nothing was written
	Added   int   // number of entries that changed something
	Waiting bool  // the sample has no tray yet: they count from its first one on
}

// EnterReadings keeps what was read off fruit of one sample, all of it or none.
// A second entry of a fruit corrects the first: what it names counts from now on,
// and what it leaves nil or empty stays as it was, so that firmness and sugar may
// be entered one after the other. Entries that change nothing are not written.
func (s *Season) EnterReadings(ctx context.Context, by string, r Readings) (Entered, error) {
	return enter(ctx, s, "enter readings", by, func(w writer) (Entered, error) {
		for _, reading := range r.All {
			if err := checkReading(reading); err != nil {
				return Entered{}, err
			}
		}
		sample, err := w.sample(r.Block, r.Picked)
		if r.Head != nil && errors.Is(err, ErrNotFound) {
			head := *r.Head
			head.Block, head.Picked = r.Block, r.Picked
			sample, err = w.addSample(by, head, Waiting)
		}
		if err != nil {
			return Entered{}, err
		}
		return w.putReadings(sample, by, r)
	})
}

// AddReadings enters readings by hand for a sample that is there.
func (s *Season) AddReadings(ctx context.Context, by, block string, picked time.Time, readings ...instrument.Reading) (added int, err error) {
	entered, err := s.EnterReadings(ctx, by, Readings{Block: block, Picked: picked, All: readings})
	return entered.Added, err
}

func (w writer) putReadings(sample int64, by string, r Readings) (Entered, error) {
	before := map[int][]entered{}
	err := w.readingsIn([]int64{sample}, func(_ int64, e entered) { before[e.Fruit] = append(before[e.Fruit], e) })
	if err != nil {
		return Entered{}, err
	}
	row, err := w.sampleRow(sample)
	out := Entered{Waiting: row.state == Waiting}
	for _, reading := range r.All {
		if err != nil {
			return Entered{}, err
		}
		now := append(before[reading.Fruit], entered{Reading: reading})
		if reading == (instrument.Reading{Fruit: reading.Fruit}) || reflect.DeepEqual(counting(before[reading.Fruit]), counting(now)) {
			continue // an empty row of a sheet says nothing of its fruit
		}
		if out.Batch == 0 {
			if out.Batch, err = w.putBatch(sample, by, r.Source); err != nil {
				return Entered{}, err
			}
		}
		before[reading.Fruit] = now
		out.Added++
		err = w.putReading(sample, out.Batch, by, reading)
	}
	return out, err
}

func (w writer) putBatch(sample int64, by, source string) (int64, error) {
	return w.add("batch", w.signed(by, column{"sample", sample}, column{"source", source})...)
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

func (w writer) putReading(sample, batch int64, by string, r instrument.Reading) error {
	columns, err := readingColumns(r)
	if err != nil {
		return err
	}
	columns = append(columns, column{"sample", sample}, column{"batch", batch}, column{"fruit", r.Fruit}, column{"struck", false}, column{"note", r.Note})
	_, err = w.add("reading", w.signed(by, columns...)...)
	return err
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
	return s.do(ctx, "strike readings", by, func(w writer) error {
		if err := reasoned("to strike readings", why); err != nil {
			return err
		}
		sample, err := w.sample(block, picked)
		if err != nil {
			return err
		}
		var before []entered
		err = w.readingsIn([]int64{sample}, func(_ int64, e entered) {
			if e.Fruit == fruit {
				before = append(before, e)
			}
		})
		if err != nil {
			return err
		}
		if len(counting(before)) == 0 {
			return refuse("block %q: readings of fruit %d picked on %s: %w; check the number", block, fruit, picked.Format(dayLayout), ErrNotFound)
		}
		batch, err := w.putBatch(sample, by, "")
		if err != nil {
			return err
		}
		_, err = w.add("reading", w.signed(by, column{"sample", sample}, column{"batch", batch},
			column{"fruit", fruit}, column{"struck", true}, column{"note", why})...)
		return err
	})
}

// entered is one entry of a reading.
type entered struct {
	instrument.Reading
	id     int64 // of its row
	struck bool
	batch  int64
	taken  bool // its batch is struck
	by     string
	at     time.Time
}

// readings gives the entries of each of the samples, in order of fruit and then
// of entry.
func (r reader) readings(samples []int64, f func(sample int64, all []entered)) error {
	var of int64
	var all []entered
	err := r.readingsIn(samples, func(sample int64, e entered) {
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

// readingsIn gives the entries of samples, in order of sample, fruit and entry:
// those that were entered for them, or moved there, and not moved elsewhere.
func (r reader) readingsIn(samples []int64, f func(sample int64, e entered)) error {
	return r.each(func(scan func(...any) error) error {
		var sample int64
		var e entered
		var batch sql.NullInt64
		var sides, groundScale sql.NullString
		var tip, brix, celsius, red, ground sql.NullFloat64
		var compensated sql.NullBool
		err := scan(&e.id, &sample, &e.Fruit, &e.struck, &batch, &e.taken, &sides, &tip, &brix, &celsius, &compensated, &red, &ground, &groundScale, &e.Note, &e.by, instant(&e.at))
		if err != nil {
			return err
		}
		e.batch = batch.Int64
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
	}, `SELECT r.id, coalesce(e.sample, r.sample) AS at_sample, r.fruit + coalesce(e.shift, 0) AS at_fruit, r.struck, r.batch, coalesce(e.struck, 0),
			r.sides, r.tip, r.brix, r.celsius, r.compensated, r.red, r.ground, r.ground_scale, r.note, r.who, r.at
		FROM `+currentReadings+`
		WHERE (r.sample IN (SELECT value FROM json_each(?1))
				OR r.batch IN (SELECT batch FROM batch_entry WHERE sample IN (SELECT value FROM json_each(?1))))
			AND coalesce(e.sample, r.sample) IN (SELECT value FROM json_each(?1))
		ORDER BY at_sample, at_fruit, r.id`, ids(samples))
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
		case e.taken:
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
