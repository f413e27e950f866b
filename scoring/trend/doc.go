// Package trend turns a block's samples of one season into how fast it ripens,
// the day on which it reaches a target, the window between which it should be
// picked, and when to sample next.
//
// The steps:
//
//  1. A Sample is the mean of one quantity on one day and how sure it is. A
//     Course says how that quantity runs: Stage between the ends of its scale,
//     Falling in a line for firmness, Rising in one for soluble solids, Index by
//     parts of itself for the Streif index.
//  2. Fit lays the course through the samples and gives a Trend. Two days with
//     samples are the least; one day's give ErrNoTrend, unless a Prior tells a
//     usual rate, which is then marked wherever it is used. Hold keeps what was
//     read once, and lets its age widen the doubt.
//  3. Trend.Forecast gives the day on which the block's true mean reaches a
//     target, with its 90 % interval; Trend.At and Trend.Rate give mean and rate
//     on a day.
//  4. Between joins trends to a Window: the last of what opens it, the first of
//     what closes it, and how a day stands to it. State, chance and days come from
//     one computation at one moment, the beginning of the day.
//  5. Next says when the next sample is due, FruitFor how many fruit it takes.
//
// How a forecast comes about. A block ages at a rate of its own; the weather
// hurries it on or holds it back, and passes (drift). Progress follows age in one
// of several shapes (link); near the ends of a scale the mean that is read lags
// behind, since no fruit reads beyond them (cut). All fruit of a day share an
// error. What is held of pace, shape and errors before there are samples is in
// belief.go, with its sources; the samples weigh every combination (branch), and
// a day is forecast from the chance that the block is beyond the target on it,
// summed over all. No random numbers are drawn: the same samples give the same
// day.
//
// The error that all samples share, such as plates that sit a little high, leaves
// the rate alone: it moves the target, and is summed over as well.
//
// An interval may be open at an end: the samples cannot rule out that the target
// was reached long before them, or will not be reached within Horizon days. That
// is a zero time.Time, never an infinite or far-off date.
//
// How well it does is measured on simulated seasons whose truth is known; see
// TestForecastsHold and TestForecastsOfOtherLaws.
//
// Days are time.Time; midnight UTC stands for a day. Values are on the scale or
// in the unit they were given in, and unrounded. The package is plain numbers: it
// knows no file, and no clock but the day that it is handed.
package trend
