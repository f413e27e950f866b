package workbench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
)

// bigSeason makes a season of so many blocks with ten samples of twenty fruit
// each, without looking at photos.
func bigSeason(b *testing.B, blocks int) *ledger.Season {
	b.Helper()
	s, err := ledger.Create(b.Context(), filepath.Join(b.TempDir(), "season"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	r := rand.New(rand.NewPCG(1, 2))
	first := time.Date(2026, 8, 10, 0, 0, 0, 0, time.UTC)
	for n := range blocks {
		block := scoring.Block{Name: fmt.Sprint("Block ", n), Variety: "Gala", Market: "long CA", Harvest: first.AddDate(0, 0, 30)}
		if err := s.AddBlock(b.Context(), "hm", block); err != nil {
			b.Fatal(err)
		}
		for i := range 10 {
			fillSample(b, s, block.Name, first.AddDate(0, 0, 4*i), 0.12*(float64(4*i)-25+10*r.Float64()), r)
		}
	}
	return s
}

// fillSample stores one tray and its readings.
func fillSample(b *testing.B, s *ledger.Season, block string, picked time.Time, logit float64, r *rand.Rand) {
	b.Helper()
	photo := fmt.Appendf(nil, "%s %s", block, picked)
	report := scoring.Report{
		Photo: "tray.jpg", Width: 4000, Height: 3000, Taken: picked, Program: "traystage test",
		Reference: scoring.Reference{Name: "gala", Version: "1", Scale: calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}, Calibrated: true, StainedDensity: 0.2},
	}
	var readings []instrument.Reading
	for n := 1; n <= 20; n++ {
		stage := 1 + 7/(1+math.Exp(-logit-0.5*r.NormFloat64()))
		report.Fruit = append(report.Fruit, scoring.Fruit{
			Number: n, Call: calibrate.Call{Stage: stage, Low: stage - 0.3, High: stage + 0.3}, Stained: 1 - (stage-1)/7,
			Zones: make([]float64, 5), Weights: make([]float64, 5), Place: scoring.Place{Outline: make([]scoring.Point, 120)},
		})
		firm := 18 - logit + 0.8*r.NormFloat64()
		readings = append(readings, instrument.Reading{Fruit: n,
			Firmness: &instrument.Firmness{Sides: []instrument.Force{{Value: firm, Unit: "lbf"}, {Value: firm + 0.2, Unit: "lbf"}}, Tip: instrument.AppleTip},
			Solids:   &instrument.Solids{Brix: 11 + logit/2 + r.NormFloat64(), Compensated: true},
		})
	}
	tray := ledger.Tray{Block: block, Picked: picked, By: "hm", Head: &scoring.Sample{Tester: "hm"}, Photo: photo, Report: report, SetDigest: "digest"}
	if _, err := s.StoreTray(b.Context(), tray); err != nil {
		b.Fatal(err)
	}
	if _, err := s.AddReadings(b.Context(), "hm", block, picked, readings...); err != nil {
		b.Fatal(err)
	}
}

// The outlook on 200 blocks, and the report on one of them without pictures.
func BenchmarkBigSeason(b *testing.B) {
	bench := &Bench{Season: bigSeason(b, 200), Program: "traystage test"}
	opt := scoring.Options{Today: time.Date(2026, 9, 20, 0, 0, 0, 0, time.UTC)}
	b.Run("outlook", func(b *testing.B) {
		for b.Loop() {
			if _, err := bench.Outlook(b.Context(), opt); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("report", func(b *testing.B) {
		for b.Loop() {
			if _, err := bench.Report(b.Context(), "Block 7", opt); err != nil {
				b.Fatal(err)
			}
		}
	})
}
