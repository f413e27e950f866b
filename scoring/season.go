package scoring

import (
	"time"

	"traystage/scoring/instrument"
)

// Block is a part of the orchard that is picked as one.
type Block struct {
	Name    string    // as the grower calls it; unique in a season
	Variety string    // cultivar
	Market  string    // what the fruit is meant for, as a standard names it; may be empty
	Harvest time.Time // expected harvest, midnight UTC of the day; zero when not known
	Set     string    // name of the reference set to call on; empty for the built-in one
	Note    string
}

// Sample is the fruit taken from one block on one day, with all that was
// found on them.
type Sample struct {
	Block  string    // name of the block
	Picked time.Time // midnight UTC of the day the fruit were taken
	Tested time.Time // midnight UTC of the day they were tested; zero for the same day
	Tester string    // initials
	// Wait is the time between staining and the photo; zero when not recorded.
	Wait     time.Duration
	Trays    []Report             // one for each photo, fruit numbered as in Readings
	Readings []instrument.Reading // at most one a fruit, in order of number
	Note     string
}

// Fruit gives the halves of all trays of the sample in order of their number.
func (s Sample) Fruit() []Fruit {
	var out []Fruit
	for _, t := range s.Trays {
		out = append(out, t.Fruit...)
	}
	return out
}

// Review is what a person did with a call: let it stand (confirm), or put
// another stage in its place (override). Calls are never changed; the last
// review counts.
type Review struct {
	Override bool
	Stage    float64 // the person's own stage; without meaning unless Override
	By       string  // initials
	At       time.Time
	Why      string // may be empty for a confirmation
}
