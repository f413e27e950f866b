package report

import (
	"fmt"
	"math"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

func day(month time.Month, d int) time.Time { return time.Date(2026, month, d, 0, 0, 0, 0, time.UTC) }

// visit is one sample of an invented block: fruit whose stages, firmness
// and soluble solids lie around a middle.
type visit struct {
	on                 time.Time
	stage, firm, sweet float64
	bare, blank        bool // bare: no readings; blank: nothing could be scored
	fruit              int  // 0 for twelve
}

// offsets spread the fruit of a sample around its middle; they add up to 0.
var offsets = []float64{-0.9, 0.4, 0.05, -0.35, 0.7, -0.2, 0.3, -0.6, 1.1, 0.15, -0.45, -0.2}

func (v visit) sample(block string) scoring.Sample {
	tray := larkfield()
	tray.Block, tray.Fruit, tray.Remarks = block, nil, nil
	tray.Photo, tray.Taken = fmt.Sprintf("north-3_%s.jpg", v.on.Format(time.DateOnly)), v.on.Add(9*time.Hour)
	s := scoring.Sample{Block: block, Picked: v.on, Tester: "hm", Wait: 3 * time.Minute}
	if v.fruit == 0 {
		v.fruit = len(offsets)
	}
	for i := range v.fruit {
		o := offsets[i%len(offsets)]
		half := scored(i+1, math.Round(10*(v.stage+o))/10)
		half.Call.Between = [2]float64{math.Floor(half.Call.Stage), math.Floor(half.Call.Stage) + 1}
		if v.blank {
			half = scoring.Fruit{Number: i + 1, Unscored: note.New(scoring.NoFlesh)}
		}
		tray.Fruit = append(tray.Fruit, half)
		if v.bare {
			continue
		}
		red, warmth := 60+20*o, 21.5
		s.Readings = append(s.Readings, instrument.Reading{
			Fruit: i + 1, Red: &red,
			Firmness: &instrument.Firmness{Tip: 11, Sides: []instrument.Force{
				{Value: math.Round(10*(v.firm-o))/10 + 0.2, Unit: instrument.PoundForce}, {Value: math.Round(10*(v.firm-o)) / 10, Unit: instrument.PoundForce},
			}},
			Solids: &instrument.Solids{Brix: math.Round(10*(v.sweet+o/2)) / 10, Celsius: &warmth},
			Ground: &instrument.Ground{Score: 2.5 + o/2, Scale: "1-4 card"},
		})
	}
	s.Trays = []scoring.Report{tray}
	return s
}

var standards = []scoring.Standard{
	{
		Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: scoring.At(2), Closes: scoring.At(4), Table: "invented standards", Line: 2,
		Firmness: scoring.Range{From: scoring.At(16)}, FirmnessUnit: instrument.PoundForce, Solids: scoring.Range{From: scoring.At(11)},
		Streif: scoring.Range{From: scoring.At(0.1), To: scoring.At(0.6)}, StreifUnit: instrument.PoundForce,
		Source: "invented for this test", Note: "not for use in an orchard",
	},
	{
		Variety: "Gala", Market: "fresh", Scale: "1-8", Opens: scoring.At(4), Closes: scoring.At(6.5), Table: "invented standards", Line: 3,
		Firmness: scoring.Range{From: scoring.At(14)}, FirmnessUnit: instrument.PoundForce, Source: "invented for this test",
	},
}

var checks = []instrument.Check{
	{Instrument: "refractometer 1", Kind: instrument.ZeroWater, Day: day(time.September, 14), By: "hm", Expected: 0, Shown: 0.1},
	{Instrument: "penetrometer 1", Kind: instrument.CheckWeight, Day: day(time.September, 14), By: "hm", Expected: 10, Shown: 10.1, Unit: instrument.PoundForce},
}

var north3 = scoring.Block{Name: "North 3", Variety: "Gala", Market: "long CA", Harvest: day(time.September, 12)}

func season() []scoring.Sample {
	last := visit{on: day(time.September, 14), stage: 3.3, firm: 17.1, sweet: 11.9}.sample("North 3")
	look := &last.Trays[0].Fruit[3]
	look.Call.Borderline, look.Call.Reasons = true, []note.Note{note.New("photo.glare")}
	last.Trays[0].Fruit[5].Review = &scoring.Review{By: "hm", At: day(time.September, 14).Add(10 * time.Hour)}
	last.Trays[0].Fruit[8].Review = &scoring.Review{Override: true, Stage: 4.1, By: "jo", At: day(time.September, 14).Add(11 * time.Hour), Why: "the stain runs along the core"}
	last.Readings[6].Note = "bruised; \"soft\" on one side"
	return []scoring.Sample{
		visit{on: day(time.August, 31), stage: 1.95, firm: 19, sweet: 10.4}.sample("North 3"),
		visit{on: day(time.September, 7), stage: 2.5, firm: 18.2, sweet: 11.2}.sample("North 3"),
		last,
	}
}

// northBlock is the report on an invented block with everything in it.
func northBlock(t testing.TB) Block {
	t.Helper()
	r, err := scoring.Assess(north3, season(), standards, checks, scoring.Options{
		Orchard: "Larkfield", Today: day(time.September, 16), Program: "traystage 0.1.0",
	})
	if err != nil {
		t.Fatal(err)
	}
	return Block{BlockReport: r, Trays: []Picture{{Name: "north-3_2026-09-14.jpg", Bytes: dot(80)}}}
}
