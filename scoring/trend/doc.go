// Package trend turns a block's samples of one season into how fast it ripens,
// the day on which it reaches a target, the window between which it should be
// picked, and when to sample next.
//
// The steps:
//
//  1. A Sample is the mean of one quantity on one day and how sure it is. A
//     Course says along which curve that quantity runs: Stage an S-curve between
//     the ends of its scale, Falling a straight line for firmness, Rising one for
//     soluble solids.
//  2. Fit lays the course through the samples and gives a Trend. Two days with
//     samples are the least; one day's give ErrNoTrend, unless a Prior tells a
//     usual rate, which is then marked wherever it is used.
//  3. Trend.Forecast gives the day on which the block's true mean reaches a
//     target, with its 90 % interval; Trend.At and Trend.Rate give mean and rate
//     on a day.
//  4. Between joins forecasts to a Window: the last of what opens it, the first
//     of what closes it, and how a day stands to it.
//  5. Next says when the next sample is due, FruitFor how many fruit it takes.
//
// How an interval comes about. The curve has two unknowns, level and slope; their
// uncertainty follows from that of the samples, and grows with the distance from
// them. Two things more cannot be settled by a handful of samples: how much
// samples scatter beyond their own fruit, and how much a mean at an end of its
// scale reads inside it. For these the curve is fitted under a range of
// suppositions, each of which counts as much as it makes the samples likely
// (type supposition). A day is forecast from the chance that the curve lies
// beyond the target on it, under all of them.
//
// An interval may be open at an end: the samples cannot rule out that the target
// was reached long before them, or will not be reached within Horizon days. That
// is a zero time.Time, never an infinite or far-off date. It happens with two
// samples, and when all lie so near the stained end that they tell no rate.
//
// How well it does is measured on simulated seasons whose truth is known; see
// TestForecastHolds, and TestForecastOfOtherShapes for what becomes of it when
// the truth is no logistic curve.
//
// Days are time.Time; midnight UTC stands for a day. Values are on the scale or
// in the unit they were given in, and unrounded. The package is plain numbers: it
// knows no file, and no clock but the day that it is handed.
package trend
