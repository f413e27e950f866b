package report

import "time"

// Course is the fitted course of one quantity of a block, and where it goes.
type Course struct {
	Band []Point // the curve and where it may lie, day by day, on beyond the last sample; empty for no trend
	Rate *Rate   // nil for no trend
}

// Point is a fitted mean on one day with its 90 % interval.
type Point struct {
	Day             time.Time
	Mean, Low, High float64
}

// Rate is how fast a quantity changes, in its unit a day.
type Rate struct {
	PerDay, Low, High float64 // Low and High: 90 % interval
	Usual             string  // where a usual rate that it leans on is from; empty when it rests on the samples alone
}

// Window is when a block's window opens and closes, as far as its courses tell.
// The zero Window tells nothing.
type Window struct {
	Opens, Closes Turn
	Notes         []string // what else must be said: that one sample gives no trend, that a rate is a usual one
}

// Turn is a day on which the window opens or closes.
type Turn struct {
	Day       time.Time // zero when it is not known or does not come in time
	Low, High time.Time // 90 % interval of Day; zero is an end left open
	By        string    // what makes it turn, in words: "stage 3.0"
	Why       string    // why there is no day, in words: "met all along"; empty when there is one
}
