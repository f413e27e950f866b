package instrument

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"traystage/scoring/table"
	"traystage/vision/note"
)

// mostFruit is the highest number of a fruit; beyond it a figure has slipped
// into the wrong column.
const mostFruit = 9999

// entry reads the rows of one file.
type entry struct {
	opt     Options
	columns columns
	faults  *FileError
	remarks []note.Note
	noUnit  bool // that firmness has no unit was told
}

// row is one fruit of a file, its date as written.
type row struct {
	line       int
	block, day string
	reading    Reading
}

// readRow reads one row; what is wrong in it is listed among the faults, and
// left out of what it gives.
func (e *entry) readRow(rec table.Row) row {
	out := row{line: rec.Line}
	if text := e.misshapen(rec); text != "" {
		e.faults.add(Fault{Row: rec.Line, Text: text})
		return out
	}
	for _, c := range e.columns.all {
		cell := rec.Cells[c.at]
		var err error
		switch c.kind {
		case fruitColumn:
			out.reading.Fruit, err = parseFruit(cell)
		case blockColumn:
			out.block, err = cell, needed(cell, "which block the fruit is from")
		case dayColumn:
			if err = needed(cell, "the day the fruit was picked"); err == nil {
				out.day = cell
			}
		case redColumn:
			out.reading.Red, err = e.red(cell)
		case groundColumn:
			out.reading.Ground, err = e.ground(cell, c)
		case noteColumn:
			out.reading.Note = cell
		}
		e.check(rec, c, err)
	}
	out.reading.Firmness = e.firmness(rec)
	out.reading.Solids = e.solids(rec)
	return out
}

// misshapen says why cells cannot be told to stand below their headings.
func (e *entry) misshapen(rec table.Row) string {
	n, width := len(rec.Cells), e.columns.width
	switch {
	case n > width && !(table.Row{Cells: rec.Cells[width:]}).Blank():
		return fmt.Sprintf("has %d cells below %d headings; write decimals with a point, or part the cells by semicolons", n, width)
	case n < width:
		return fmt.Sprintf("has %d cells below %d headings; keep the separators of blank cells", n, width)
	}
	return ""
}

func (e *entry) check(rec table.Row, c column, err error) {
	if err != nil {
		e.faults.add(Fault{rec.Line, c.heading, err.Error()})
	}
}

// cell gives what stands in the column of a kind, blank where there is none.
func (e *entry) cell(rec table.Row, k kind) (string, column) {
	c, ok := e.columns.find(k)
	if !ok || left(rec.Cells[c.at]) {
		return "", c
	}
	return rec.Cells[c.at], c
}

// left says whether a cell was left out, blank or with a dash.
func left(cell string) bool {
	switch strings.ToLower(cell) {
	case "", "-", "–", "—", "n/a", "na":
		return true
	}
	return false
}

func needed(cell, what string) error {
	if left(cell) {
		return fmt.Errorf("is blank; write %s in every row", what)
	}
	return nil
}

func parseFruit(cell string) (int, error) {
	n, err := strconv.Atoi(strings.TrimPrefix(cell, "#"))
	switch {
	case cell == "":
		return 0, errors.New("the fruit has no number; write the one of its half on the tray")
	case err != nil:
		return 0, fmt.Errorf("%q is not the number of a fruit; number them 1, 2, 3, and leave other rows out", cell)
	case n < 1 || n > mostFruit:
		return 0, fmt.Errorf("fruit %d lies outside 1 to %d; number the fruit of each sample from 1", n, mostFruit)
	}
	return n, nil
}

// firmness reads the sides of a fruit; nil when none was pressed, or a fault was
// listed.
func (e *entry) firmness(rec table.Row) *Firmness {
	named, c := e.cell(rec, unitColumn)
	unit, err := e.namedUnit(named)
	e.check(rec, c, err)
	out := Firmness{}
	for _, c := range e.columns.all {
		if err != nil || c.kind != sideColumn || left(rec.Cells[c.at]) {
			continue
		}
		sides, bad := e.side(rec.Cells[c.at], unit, c)
		e.check(rec, c, bad)
		out.Sides = append(out.Sides, sides...)
	}
	if len(out.Sides) == 0 {
		return nil
	}
	if out.Tip, c, err = e.tip(rec); err != nil {
		e.check(rec, c, err)
		return nil
	}
	for _, side := range out.Sides {
		if side.Unit != out.Sides[0].Unit {
			e.faults.add(Fault{Row: rec.Line, Text: fmt.Sprintf("one side is in %s and one in %s; write both in one unit", out.Sides[0].Unit, side.Unit)})
			return nil
		}
	}
	return &out
}

// namedUnit reads the unit in a row's own column, empty where it is blank.
func (e *entry) namedUnit(cell string) (Unit, error) {
	if cell == "" {
		return "", nil
	}
	unit, pressure, err := parseUnit(cell)
	if pressure {
		e.remarks = note.Once(append(e.remarks, note.New(taken))...)
	}
	return unit, err
}

// side reads what one column of firmness holds: a side, or several parted by
// slashes.
func (e *entry) side(cell string, named Unit, c column) ([]Force, error) {
	if named != "" && c.unit != "" && named != c.unit {
		return nil, fmt.Errorf("the row is in %s and the heading in %s; leave one of them out", named, c.unit)
	}
	unit := named
	if unit == "" {
		unit = c.unit
	}
	fixed := unit
	if unit == "" {
		unit = e.opt.Unit
	}
	if _, written := splitUnit(withoutSlash(cell)); unit == "" && written == "" {
		return nil, e.unitless()
	}
	f, err := ParseFirmness(cell, unit)
	if err != nil {
		return nil, err
	}
	if fixed != "" && f.Sides[0].Unit != fixed {
		return nil, fmt.Errorf("%q is not in %s as its column is; write all in one unit", cell, fixed)
	}
	if withoutSlash(cell) != cell {
		e.remarks = note.Once(append(e.remarks, note.New(taken))...)
	}
	if e.opt.Implausible {
		return f.Sides, nil
	}
	return f.Sides, f.Plausible()
}

// unitless tells only once that the unit of firmness is not known.
func (e *entry) unitless() error {
	if e.noUnit {
		return nil
	}
	e.noUnit = true
	return errors.New("the unit of firmness is not known; write it in the heading, as in firmness 1 (lbf), or give it with the file")
}

// tip gives the diameter of the tip that a row's fruit was pressed with.
func (e *entry) tip(rec table.Row) (float64, column, error) {
	tip := e.opt.Tip
	if tip == 0 {
		tip = AppleTip
	}
	cell, c := e.cell(rec, tipColumn)
	if cell != "" {
		var err error
		if tip, err = ParseTip(cell); err != nil {
			return 0, c, err
		}
	}
	if e.opt.AnyTip {
		return tip, c, nil
	}
	return tip, c, CheckTip(tip)
}

func (e *entry) solids(rec table.Row) *Solids {
	cell, c := e.cell(rec, brixColumn)
	if cell == "" {
		return nil
	}
	s, err := ParseSolids(cell)
	if err != nil {
		e.check(rec, c, err)
		return nil
	}
	s.Compensated = e.opt.Compensated
	if warmth, w := e.cell(rec, warmthColumn); warmth != "" {
		if _, unit := splitUnit(warmth); unit == "" && w.fahrenheit {
			warmth += "F"
		}
		celsius, err := parseCelsius(warmth)
		e.check(rec, w, err)
		if s.Celsius != nil {
			e.check(rec, w, fmt.Errorf("the temperature stands beside the °Brix too, %q; leave one of them out", cell))
		}
		s.Celsius = &celsius
	}
	if !e.opt.Implausible {
		e.check(rec, c, s.Plausible())
	}
	return &s
}

func (e *entry) red(cell string) (*float64, error) {
	if left(cell) {
		return nil, nil
	}
	x, err := ParseNumber(strings.TrimSuffix(cell, "%"))
	if err != nil {
		return nil, err
	}
	if !e.opt.Implausible {
		err = redLimits.check("red colour", x)
	}
	return &x, err
}

func (e *entry) ground(cell string, c column) (*Ground, error) {
	if left(cell) {
		return nil, nil
	}
	scale := c.scale
	if scale == "" {
		scale = e.opt.Scale
	}
	x, err := ParseNumber(cell)
	if err != nil {
		return nil, fmt.Errorf("%q is not a score of a scale; write it like 2.5", cell)
	}
	g := Ground{Score: x, Scale: scale}
	if !e.opt.Implausible {
		err = g.Plausible()
	}
	return &g, err
}
