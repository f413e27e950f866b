package larkfield

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"time"

	"traystage/refimages/painter"
)

// course is how a block ripens.
type course struct {
	half       time.Time // the middle of the scale is reached
	pace       float64   // steepness of the S-curve of the stage, per day
	firmness   float64   // on the first of September, lbf
	softening  float64   // lbf per day
	solids     float64   // on the first of September, °Brix
	sweetening float64   // °Brix per day
}

// spread is how far apart the fruit of a block are along the S-curve (standard
// deviation of the logit).
const spread = 0.55

// stage is the stage, to the tenth, of a fruit that is ahead of its block's
// middle by a number of logits.
func (c course) stage(on time.Time, ahead float64) float64 {
	x := c.pace*days(on, c.half) + ahead
	s := painter.StageStained + (painter.StageClear-painter.StageStained)/(1+math.Exp(-x))
	return math.Round(10*s) / 10
}

func (c course) firm(on time.Time) float64 { return c.firmness - c.softening*days(on, september) }

func (c course) sweet(on time.Time) float64 { return c.solids + c.sweetening*days(on, september) }

var september = day(2026, time.September, 1)

func days(on, from time.Time) float64 { return on.Sub(from).Hours() / 24 }

// visit is one sample taken, and what went wrong with it.
type visit struct {
	on      time.Time
	fruit   int
	by      string
	oneSide bool // the tester pressed one side only
	bruised bool // one fruit was bruised, and far too soft
}

// Samples lists the samples of the season in order of day, those of one day in
// order of the blocks.
func Samples() []Sample {
	var out []Sample
	for on := day(2026, time.August, 20); !on.After(Today); on = on.AddDate(0, 0, 1) {
		for i, b := range Blocks() {
			for n, v := range b.visits {
				if v.on.Equal(on) {
					out = append(out, b.sample(v, int64(100*(i+1)+n)))
				}
			}
		}
	}
	return out
}

func (b Block) sample(v visit, seed int64) Sample {
	r := rand.New(rand.NewPCG(uint64(seed), 5))
	stages := make([]float64, v.fruit)
	for i := range stages {
		stages[i] = b.course.stage(v.on, spread*r.NormFloat64())
	}
	s := Sample{
		Block: b.Name, Picked: v.on, Tester: v.by, Stages: stages,
		Photo:    fmt.Sprintf("%s_%s.jpg", strings.ReplaceAll(strings.ToLower(b.Name), " ", "-"), v.on.Format("2006-01-02")),
		Readings: b.sheet.text(b.course, v, r), Compensated: !b.sheet.warm,
		// On Thursdays nobody thought of it.
		Checked: v.on.Weekday() != time.Thursday,
	}
	s.Tray = layOut(seed, stages, b.family)
	s.Tray.Tray, s.Tray.Variety = b.tray, b.skin
	s.Tray.Taken = v.on.Add(time.Duration(8*60+r.IntN(180)) * time.Minute)
	return s
}
