package ledger

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

func BenchmarkOpen(b *testing.B) {
	s := fullSeason(b)
	s.Close()
	for b.Loop() {
		s, err := Open(b.Context(), s.Dir())
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.Blocks(b.Context()); err != nil {
			b.Fatal(err)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

// A whole program that opens a season, looks at its blocks and ends; beside one
// that only starts and ends.
func BenchmarkOpenInNewProgram(b *testing.B) {
	s := fullSeason(b)
	s.Close()
	for _, work := range []string{"nothing", "open"} {
		b.Run(work, func(b *testing.B) {
			for b.Loop() {
				cmd := exec.Command(os.Args[0])
				cmd.Env = append(os.Environ(), childWork+"="+work+"\n"+s.Dir())
				if out, err := cmd.CombinedOutput(); err != nil {
					b.Fatalf("%v: %s", err, out)
				}
			}
		})
	}
}

func BenchmarkStoreTray(b *testing.B) {
	s := newSeason(b)
	photo := photoOf(1, 4<<20) // as a phone makes it
	n := 0
	for b.Loop() {
		tray := trayOf(n, 1+20*n, 20)
		tray.Photo = append(photo, fmt.Sprint(n)...)
		tray.Report.PhotoHash = ""
		store(b, s, tray, Stored)
		n++
	}
}

// bigSeason is one of 200 blocks with 10 samples of 20 fruit, each with readings
// and one half in four reviewed. It is made at once and without photos.
func bigSeason(b *testing.B) *Season {
	b.Helper()
	s, err := Create(b.Context(), filepath.Join(b.TempDir(), "larkfield"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	err = s.write(b.Context(), func(w writer) error {
		for n := range 200 {
			name := fmt.Sprintf("Block %03d", n)
			id, err := w.add("block", column{"id", nil})
			if err != nil {
				return err
			}
			if err := w.putBlock(id, "ab", scoring.Block{Name: name, Variety: "Gala"}); err != nil {
				return err
			}
			for day := range 10 {
				if err := addBigSample(w, name, 10*n+day); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return s
}

func addBigSample(w writer, name string, n int) error {
	sample, err := w.addSample("ab", scoring.Sample{Block: name, Picked: picked.AddDate(0, 0, n%10)}, InForce)
	if err != nil {
		return err
	}
	tray := trayOf(n, 1, 20)
	if _, err := w.putTray(trayNow{row: trayRow{hash: hashOf(tray.Photo), file: fmt.Sprint(n)}}, sample, tray); err != nil {
		return err
	}
	batch, err := w.putBatch(sample, "ab", "")
	if err != nil {
		return err
	}
	celsius, red := 18.5, 60.0
	for fruit := 1; fruit <= 20; fruit++ {
		err := w.putReading(sample, batch, "ab", instrument.Reading{
			Fruit:    fruit,
			Firmness: &instrument.Firmness{Sides: []instrument.Force{{Value: 7.2, Unit: instrument.KilogramForce}, {Value: 7.4, Unit: instrument.KilogramForce}}, Tip: 11},
			Solids:   &instrument.Solids{Brix: 11.4, Celsius: &celsius},
			Red:      &red,
			Ground:   &instrument.Ground{Score: 2, Scale: "1-4 card"},
		})
		if err != nil {
			return err
		}
	}
	var halves []int64
	err = w.each(func(scan func(...any) error) error {
		var id int64
		err := scan(&id)
		halves = append(halves, id)
		return err
	}, "SELECT id FROM half WHERE number % 4 = 0 AND scoring = (SELECT max(id) FROM scoring)")
	for _, half := range halves {
		if err == nil {
			_, err = w.add("review", w.signed("ef", column{"half", half}, column{"override", true}, column{"stage", 3.5}, column{"why", "the rim is bruised"})...)
		}
	}
	return err
}

func BenchmarkBigSeason(b *testing.B) {
	s := bigSeason(b)
	b.Run("LoadAll", func(b *testing.B) {
		for b.Loop() {
			samples, err := s.LoadAll(b.Context())
			if err != nil || len(samples) != 2000 {
				b.Fatal(len(samples), err)
			}
			last := samples[len(samples)-1]
			if len(last.Fruit()) != 20 || len(last.Readings) != 20 || !last.Fruit()[3].Overridden() {
				b.Fatalf("%+v", last)
			}
		}
	})
	b.Run("Load", func(b *testing.B) {
		for b.Loop() {
			var samples []scoring.Sample
			samples, err := s.Load(b.Context(), "Block 100")
			if err != nil || len(samples) != 10 {
				b.Fatal(len(samples), err)
			}
		}
	})
	b.Run("Open", func(b *testing.B) {
		for b.Loop() {
			again, err := Open(b.Context(), s.Dir())
			if err != nil {
				b.Fatal(err)
			}
			again.Close()
		}
	})
}
