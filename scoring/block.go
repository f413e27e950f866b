package scoring

import (
	"time"

	"traystage/calibrate"
	"traystage/scoring/instrument"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Quantity names something that is known of every fruit of a sample.
type Quantity string

const (
	StageOf    Quantity = "stage"
	StainedOf  Quantity = "stained share"
	ClearOf    Quantity = "clear share"
	FirmnessOf Quantity = "firmness"
	SolidsOf   Quantity = "soluble solids"
	RedOf      Quantity = "red colour"
	GroundOf   Quantity = "ground colour"
	StreifOf   Quantity = "Streif index"
)

// Row is one fruit of a sample.
type Row struct {
	Fruit   int
	Half    *Fruit              // nil when no photo was taken
	Reading *instrument.Reading // nil when nothing was read

	// What counts in the statistics, in their units; nil where it is not known.
	Firmness *float64 // mean of its sides
	Solids   *float64 // at 20 °C, °Brix
	Red      *float64 // per cent
	Ground   *float64 // score on the sample's scale
	Streif   *float64
}

// Statistic describes one quantity over the fruit of a sample.
type Statistic struct {
	Quantity  Quantity
	Unit      string  // "lbf", "°Brix", "%", "1-4 card", "kgf, 1-10"
	N         int     // fruit it was known of, 1 or more
	Mean      float64 // unrounded
	SD        float64 // sample standard deviation, divisor N-1; without meaning below N 2
	Low, High float64 // 90 % interval of the block's mean from Student's t; without meaning below N 2
	Outlier   *Outlier

	common float64 // standard uncertainty that all samples on a set share
}

// HasInterval says whether SD, Low and High mean anything.
func (s Statistic) HasInterval() bool { return s.N >= 2 }

// Streif is the Streif index of a sample, firmness / (soluble solids × stage),
// in two ways: the index of the three means, which published windows are held
// against, and the mean of the index of each fruit, which shows the spread.
type Streif struct {
	Unit  instrument.Unit // of the firmness in it
	Scale calibrate.Scale // of the stages in it

	OfMeans     float64
	HasInterval bool      // false when a mean has none: Low and High mean nothing
	Low, High   float64   // 90 % interval of OfMeans
	OfFruit     Statistic // N is the number of fruit of which all three are known

	standard, common float64 // standard uncertainties of OfMeans: from sampling, and shared by all samples on a set
}

// Series is one quantity through the season, to be drawn and followed.
type Series struct {
	Quantity      Quantity
	Unit          string    // as of a Statistic; of stages their scale, such as "1-8"
	Points        []DayMean // one for each sample that knows it, by day
	Opens, Closes Limit     // what the block's standard asks of it, in the order in which fruit pass them

	Trend   *trend.Trend // its course through the season; nil for none, see NoTrend, and for colours
	NoTrend note.Note    // why there is no trend where there could be one

	standards []float64 // standard uncertainties of the points, from their samples alone
	common    float64   // and that which they share
}

// DayMean is one sample's mean of a quantity.
type DayMean struct {
	Day         time.Time // midnight UTC of the day the fruit were taken
	N           int       // fruit behind it, 1 or more
	Mean        float64
	HasInterval bool    // false for one fruit: Low and High mean nothing
	Low, High   float64 // 90 % interval
}

// Look is a fruit worth looking at again.
type Look struct {
	Fruit  int
	Turns  bool    // its call alone could turn the verdict
	Shift  float64 // the most that its call could move the mean, stages, 0 or more
	Reason []note.Note
}

// Standing is how a block stood on the day of one sample.
type Standing struct {
	Day        time.Time // midnight UTC of the day the fruit were taken
	Scale      calibrate.Scale
	Stage      Summary
	Statistics []Statistic
	Verdict    Verdict
	Window     *trend.Window // as forecast then, on the day of the sample; nil as in BlockReport
	Season     []Series      // what the forecast was made from
}

// Photo is one tray photo that a report was made from.
type Photo struct {
	Name  string
	Hash  string // SHA-256, hexadecimal; may be empty
	Taken time.Time
}

// Origin is what a block report was made from, so that it can be made again.
type Origin struct {
	Sets    []Reference // each set and version once, in the order of the trays
	Photos  []Photo
	Program string    // name and version
	Day     time.Time // the day that the report was made for, midnight UTC
}

// BlockReport is what one block's samples say on one day, ready to be rendered.
// It is the report of a block's decision; Report is that of one photo.
type BlockReport struct {
	Orchard string
	Block   Block
	Sample  *Sample // the last one taken up to the day; nil when there is none: then all below but Verdict, Warnings and Origin is empty
	Rows    []Row   // in order of fruit number

	Scale      calibrate.Scale // of the stages
	Stage      Summary
	Stained    Statistic   // stained share of the flesh, per cent; N is 0 when no half was measured
	Statistics []Statistic // of the quantities that were read: firmness, solids, red, ground
	Streif     *Streif     // nil when it cannot be had

	Verdict  Verdict       // on the day of the report
	Window   *trend.Window // of the block's own market, on the day of the report; nil without a standard or a trend
	Now      State         // Verdict's state
	NowSure  bool          // Verdict's sureness
	Before   *Standing     // the sample before; nil for the first one
	Season   []Series      // every quantity that was read, up to the last sample
	Looks    []Look        // those that could turn the verdict first
	Checks   []instrument.Check
	Warnings []note.Note // most weighty first
	Origin   Origin
}
