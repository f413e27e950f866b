package trend

import (
	"math/rand/v2"
	"testing"
)

// What an outlook asks of one block: three trends and a window.
func BenchmarkBlock(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	one := shapes[0].newSeason(r)
	var firm, sweet []Sample
	for i := range 10 {
		d := float64(-3 * i)
		firm = append(firm, Sample{onDay(d), 17 - 0.12*d + 0.2*r.NormFloat64(), 0.3, 20})
		sweet = append(sweet, Sample{onDay(d), 12 + 0.1*d + 0.2*r.NormFloat64(), 0.2, 20})
		if i >= len(one.samples) {
			one.samples = append(one.samples, Sample{onDay(d), one.mean(d), 0.2, 20})
		}
	}
	for b.Loop() {
		stage, _ := Fit(Stage(oneToEight), one.samples, Options{Common: 0.2})
		firmness, _ := Fit(Falling(), firm, Options{Common: 0.5})
		solids, _ := Fit(Rising(), sweet, Options{})
		_, err := Between([]Criterion{{Name: "stage", Target: 4, Trend: stage}, {Name: "soluble solids", Target: 12, Trend: solids}}, []Criterion{{Name: "stage", Target: 6, Trend: stage}, {Name: "firmness", Target: 15, Trend: firmness}}, start)
		if err != nil {
			b.Fatal(err)
		}
	}
}
