package instrument

import "math"

// Correction says what was done about the temperature of the juice.
type Correction string

const (
	// SelfCorrected: the instrument shows the value at 20 °C.
	SelfCorrected Correction = "corrected by the instrument"
	// Corrected: the value was taken to 20 °C by the table of this package.
	Corrected Correction = "corrected to 20 °C"
	// NoTemperature: nobody knows how warm the juice was; the value is as read.
	NoTemperature Correction = "not corrected: no temperature"
	// OutsideTable: the juice was too cold or too warm, or not a juice; the
	// value is as read.
	OutsideTable Correction = "not corrected: outside 10 to 30 °C or 0 to 30 °Brix"
)

// Counts says whether a value stands for 20 °C.
func (c Correction) Counts() bool { return c == SelfCorrected || c == Corrected }

// At20 gives the soluble solids at 20 °C to the tenth of a °Brix, the
// resolution that OIV-MA-AS2-02 asks of the scale, and what was done for it. A
// value that could not be corrected is the one that was read; for apples at 10
// or 30 °C that is wrong by 0.6 to 0.8 °Brix, and by more beyond.
func (s Solids) At20() (float64, Correction) {
	switch {
	case s.Compensated:
		return tenth(s.Brix), SelfCorrected
	case s.Celsius == nil:
		return tenth(s.Brix), NoTemperature
	}
	add, ok := toAdd(s.Brix, *s.Celsius)
	if !ok {
		return tenth(s.Brix), OutsideTable
	}
	return tenth(s.Brix + add), Corrected
}

// tenth rounds to the tenth, halves away from zero; what lies within a
// millionth of a half is one, as decimals that were added come out.
func tenth(x float64) float64 {
	return math.Round(math.Round(x*1e6)/1e5) / 10
}

// The grid of correction.
const (
	coldest, warmest = 10, 30 // °C, one row each degree
	sweetest         = 30     // °Brix, one column each step
	step             = 5      // °Brix
)

// toAdd is what must be added to a reading to have it at 20 °C, °Brix, linear
// between the entries of the table both ways; false outside of it.
func toAdd(brix, celsius float64) (float64, bool) {
	// Not the other way round: NaN is outside too.
	if !(brix >= 0 && brix <= sweetest && celsius >= coldest && celsius <= warmest) {
		return 0, false
	}
	row, down := cell(celsius-coldest, warmest-coldest)
	column, along := cell(brix/step, sweetest/step)
	at := func(row int) float64 {
		return correction[row][column]*(1-along) + correction[row][column+1]*along
	}
	return at(row)*(1-down) + at(row+1)*down, true
}

// cell finds the interval between grid lines 0 to last that holds x, and where
// in it, [0, 1].
func cell(x float64, last int) (int, float64) {
	i := min(int(x), last-1)
	return i, x - float64(i)
}

// correction is what to add to the reading of a refractometer that shows
// % mass of sucrose at 20 °C, by temperature (rows, 10 to 30 °C) and reading
// (columns, 0 to 30 °Brix in steps of 5), °Brix.
//
// Rows 10 to 17 °C from 10 °Brix up were read in OIV-MA-AS2-02, Evaluation by
// refractometry of the sugar concentration, Table I. All the rest, but the
// zeros at 20 °C, is the International Temperature Correction Table of 1936 (as
// in AOAC 932.14 and ISO 2173) from memory: it lies within 0.02 °Brix of the
// rows read, and its first column within 0.02 of what the refractive index of
// water gives, but it was not held against a print. An error of that size now
// and then turns one tenth into the next.
var correction = [warmest - coldest + 1][sweetest/step + 1]float64{
	{-0.50, -0.54, -0.59, -0.62, -0.65, -0.67, -0.69},
	{-0.46, -0.49, -0.54, -0.57, -0.59, -0.61, -0.63},
	{-0.42, -0.45, -0.49, -0.51, -0.53, -0.55, -0.56},
	{-0.37, -0.40, -0.43, -0.45, -0.47, -0.48, -0.50},
	{-0.33, -0.35, -0.38, -0.39, -0.40, -0.42, -0.43},
	{-0.27, -0.29, -0.32, -0.33, -0.34, -0.35, -0.36},
	{-0.22, -0.24, -0.26, -0.27, -0.28, -0.28, -0.29},
	{-0.17, -0.18, -0.20, -0.20, -0.21, -0.21, -0.22},
	{-0.12, -0.13, -0.13, -0.14, -0.14, -0.14, -0.14},
	{-0.06, -0.06, -0.06, -0.07, -0.07, -0.07, -0.07},
	{0, 0, 0, 0, 0, 0, 0},
	{0.06, 0.07, 0.07, 0.07, 0.07, 0.08, 0.08},
	{0.13, 0.13, 0.14, 0.14, 0.15, 0.15, 0.15},
	{0.19, 0.20, 0.21, 0.22, 0.22, 0.23, 0.23},
	{0.26, 0.27, 0.28, 0.29, 0.30, 0.30, 0.31},
	{0.33, 0.35, 0.36, 0.37, 0.38, 0.38, 0.39},
	{0.40, 0.42, 0.43, 0.44, 0.45, 0.46, 0.47},
	{0.48, 0.50, 0.52, 0.53, 0.54, 0.55, 0.55},
	{0.56, 0.57, 0.60, 0.61, 0.62, 0.63, 0.63},
	{0.64, 0.66, 0.68, 0.69, 0.71, 0.72, 0.72},
	{0.72, 0.74, 0.77, 0.78, 0.79, 0.80, 0.80},
}
