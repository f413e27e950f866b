package instrument

import (
	"math"
	"testing"
)

func celsius(x float64) *float64 { return &x }

func TestAt20(t *testing.T) {
	for _, c := range []struct {
		s    Solids
		want float64
		done Correction
	}{
		{Solids{Brix: 12.4, Celsius: celsius(20)}, 12.4, Corrected},
		{Solids{Brix: 10, Celsius: celsius(15)}, 9.7, Corrected}, // -0.32
		{Solids{Brix: 15, Celsius: celsius(10)}, 14.4, Corrected},
		{Solids{Brix: 15, Celsius: celsius(30)}, 15.8, Corrected}, // +0.78
		// Half way each way: (0.36+0.37+0.43+0.44)/4 = 0.40.
		{Solids{Brix: 12.5, Celsius: celsius(25.5)}, 12.9, Corrected},
		{Solids{Brix: 30, Celsius: celsius(30)}, 30.8, Corrected},
		{Solids{Brix: 0, Celsius: celsius(10)}, -0.5, Corrected},
		{Solids{Brix: 12.35, Celsius: celsius(15), Compensated: true}, 12.4, SelfCorrected},
		{Solids{Brix: 12.4, Compensated: true}, 12.4, SelfCorrected},
		{Solids{Brix: 12.4, Celsius: celsius(2), Compensated: true}, 12.4, SelfCorrected},
		{Solids{Brix: 12.4}, 12.4, NoTemperature},
		{Solids{Brix: 12.4, Celsius: celsius(math.Nextafter(10, 0))}, 12.4, OutsideTable},
		{Solids{Brix: 12.4, Celsius: celsius(math.Nextafter(30, 31))}, 12.4, OutsideTable},
		{Solids{Brix: math.Nextafter(30, 31), Celsius: celsius(20)}, 30, OutsideTable},
		{Solids{Brix: -0.1, Celsius: celsius(20)}, -0.1, OutsideTable},
		{Solids{Brix: 12.4, Celsius: celsius(math.NaN())}, 12.4, OutsideTable},
	} {
		got, done := c.s.At20()
		if math.Abs(got-c.want) > 1e-9 || done != c.done {
			t.Errorf("%v: %v, %s, want %v, %s", c.s, got, done, c.want, c.done)
		}
		if done.Counts() != (done == Corrected || done == SelfCorrected) {
			t.Errorf("%s counts: %v", done, done.Counts())
		}
	}
}

// Warm juice reads low and sweeter juice reads higher: what is corrected must
// rise with both, or two readings could change places.
func TestCorrectionRises(t *testing.T) {
	for warm := 10.0; warm <= 29.5; warm += 0.5 {
		for brix := 0.0; brix <= 29.5; brix += 0.5 {
			here, _ := toAdd(brix, warm)
			if warmer, _ := toAdd(brix, warm+0.5); warmer <= here {
				t.Errorf("%v °Brix at %v °C: %v to add, %v half a degree above", brix, warm, here, warmer)
			}
			if sweeter, _ := toAdd(brix+0.5, warm); brix+0.5+sweeter <= brix+here {
				t.Errorf("%v °Brix at %v °C: %v to add, %v half a °Brix above", brix, warm, here, sweeter)
			}
		}
	}
}
