package trend_test

import (
	"fmt"
	"time"

	"traystage/calibrate"
	"traystage/scoring/trend"
)

func Example() {
	day := func(d int) time.Time { return time.Date(2026, time.September, d, 0, 0, 0, 0, time.UTC) }
	samples := func(standard float64, values ...float64) []trend.Sample {
		var out []trend.Sample
		for i, v := range values {
			out = append(out, trend.Sample{Day: day(1 + 7*i), Value: v, Standard: standard, N: 20})
		}
		return out
	}
	scale := calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}
	stage, err := trend.Fit(trend.Stage(scale), samples(0.2, 1.5, 2.0, 3.1), trend.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	firmness, err := trend.Fit(trend.Falling(), samples(0.25, 19.1, 18.4, 17.5), trend.Options{}) // lbf
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := trend.Between(
		[]trend.Criterion{{Name: "stage", Target: 4, Trend: stage}},
		[]trend.Criterion{{Name: "stage", Target: 6, Trend: stage}, {Name: "firmness", Target: 16, Trend: firmness}},
		day(15))
	if err != nil {
		fmt.Println(err)
		return
	}
	show := func(what string, e trend.Edge) {
		fmt.Printf("%s with the %s on %s (%s to %s)\n", what, e.By,
			e.Day.Format("2 Jan"), e.Low.Format("2 Jan"), e.High.Format("2 Jan"))
	}
	fmt.Printf("%.1f stages a day\n", stage.Rate(day(15)).Value)
	fmt.Println(w.State)
	show("opens", w.Opens)
	show("closes", w.Closes)
	fmt.Println("next sample", trend.Next(day(15), day(22), w).Format("2 Jan"))
	// Output:
	// 0.2 stages a day
	// not open yet
	// opens with the stage on 19 Sep (16 Sep to 25 Sep)
	// closes with the firmness on 24 Sep (19 Sep to 2 Oct)
	// next sample 18 Sep
}
