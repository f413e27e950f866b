package scoring

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"traystage/scoring/instrument"
	"traystage/scoring/table"
)

// rateColumns head a table of usual rates.
var rateColumns = []string{"variety", "quantity", "unit", "per day", "spread", "blocks", "seasons"}

// RatesTable writes usual rates as CSV, one row each, as ReadRates reads them.
func RatesTable(rates []UsualRate) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	_ = w.Write(rateColumns) // a buffer takes everything
	for _, r := range rates {
		_ = w.Write([]string{
			r.Variety, string(r.Quantity), r.Unit, strconv.FormatFloat(r.PerDay, 'f', 4, 64), strconv.FormatFloat(r.Spread, 'f', 3, 64),
			strconv.Itoa(r.Blocks), strconv.Itoa(r.Seasons),
		})
	}
	w.Flush()
	return out.Bytes()
}

// ReadRates reads a table of usual rates under the headings variety, quantity,
// unit, per day, spread, blocks, seasons. name is told in errors, with the line.
func ReadRates(r io.Reader, name string) ([]UsualRate, error) {
	read, err := table.Read(r)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(read.Rows) == 0 || !slices.Equal(read.Rows[0].Cells, rateColumns) {
		return nil, fmt.Errorf("%s: not a table of usual rates; its first line is %q", name, strings.Join(rateColumns, ","))
	}
	var out []UsualRate
	for _, row := range read.Rows[1:] {
		if len(row.Cells) != len(rateColumns) {
			return nil, fmt.Errorf("%s:%d: %d cells where there are %d headings", name, row.Line, len(row.Cells), len(rateColumns))
		}
		rate, err := readRate(row.Cells)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, row.Line, err)
		}
		out = append(out, rate)
	}
	return out, nil
}

func readRate(record []string) (UsualRate, error) {
	r := UsualRate{Variety: strings.TrimSpace(record[0]), Quantity: Quantity(record[1]), Unit: record[2]}
	figure := func(at int) float64 {
		v, err := strconv.ParseFloat(strings.TrimSpace(record[at]), 64)
		if err != nil || math.IsInf(v, 0) {
			return math.NaN()
		}
		return v
	}
	r.PerDay, r.Spread = figure(3), figure(4)
	blocks, seasons := figure(5), figure(6)
	switch {
	case r.Variety == "":
		return r, fmt.Errorf("no variety is named")
	case r.Quantity != StageOf && r.Quantity != FirmnessOf && r.Quantity != SolidsOf:
		return r, fmt.Errorf("%q has no usual rate; write %s, %s or %s", record[1], StageOf, FirmnessOf, SolidsOf)
	case !(math.Abs(r.PerDay) > 0 && math.Abs(r.PerDay) <= 10):
		return r, fmt.Errorf("%q is no rate a day; write a number that is not 0", record[3])
	case !(r.Spread > 0 && r.Spread <= 2):
		return r, fmt.Errorf("%q is no spread; write a number above 0 and up to 2, such as 0.3 for a third", record[4])
	case !(blocks >= 0 && seasons >= 0):
		return r, fmt.Errorf("blocks and seasons are whole numbers")
	}
	r.Blocks, r.Seasons = int(blocks), int(seasons)
	return r, r.checkDirection()
}

// checkDirection refuses a rate that no fruit ripens with.
func (r UsualRate) checkDirection() error {
	switch r.Quantity {
	case FirmnessOf:
		if _, err := instrument.ParseUnit(r.Unit); err != nil {
			return err
		}
		if r.PerDay > 0 {
			return fmt.Errorf("firmness falls: write %g", -r.PerDay)
		}
	case SolidsOf:
		if r.PerDay < 0 {
			return fmt.Errorf("soluble solids rise: write %g", -r.PerDay)
		}
	default:
		stained, clear, ok := Standard{Scale: r.Unit}.ends()
		if !ok {
			return fmt.Errorf("%q is no scale of stages; write it as 1-8", r.Unit)
		}
		if r.PerDay*(clear-stained) < 0 {
			return fmt.Errorf("on the scale %s stages go to %g: write %g", r.Unit, clear, -r.PerDay)
		}
	}
	return nil
}
