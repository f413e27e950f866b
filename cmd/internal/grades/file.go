package grades

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"traystage/calibrate"
	"traystage/scoring/table"
)

// columns are the places of what is read from each row.
type columns struct {
	grades []gradeColumn
	half   int // -1 where halves are not numbered
	by     int // -1 where rows do not name their grader
	width  int // fields that a row may have
}

// gradeColumn is a column of stages; by heads one of several graders.
type gradeColumn struct {
	at int
	by string
}

// oneGrader are the columns of a file with one stage a row.
func oneGrader(stage, half, width int) columns {
	return columns{grades: []gradeColumn{{at: stage}}, half: half, by: -1, width: width}
}

// ParseFile reads a file of stages in reading order, one a row: in its
// only column, else in that headed stage, where one headed half may number
// them and one headed by may name the grader of each. Several graders stand in
// rows of the same half, or each in a column headed with their initials beside
// one headed half. The file may be delimited text or a workbook, see package table. What could
// be read in two ways, such as decimal commas among commas, is refused. Errors
// name the row.
func ParseFile(b []byte) ([]Grading, error) {
	t, err := table.Read(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	if len(t.Rows) == 0 {
		return nil, errNoStages
	}
	first := t.Rows[0]
	headed := strings.ContainsFunc(strings.Join(first.Cells, ""), unicode.IsLetter)
	if len(first.Cells) == 1 {
		// Whatever the only column is headed, it holds the stages.
		from := 1
		if headed {
			from, t.Rows = first.Line+1, t.Rows[1:]
		}
		return oneGrader(0, -1, 1).read(filled(t.Rows, from))
	}
	if headed {
		c, err := findColumns(first)
		if err != nil {
			return nil, err
		}
		return c.read(filled(t.Rows[1:], first.Line+1))
	}
	// Without a heading 1,5 may be the stage 5 of half 1 or the stage 1.5.
	if n := len(first.Cells); n != 2 || t.Comma == ',' {
		return nil, fmt.Errorf("row %d: has %d columns and no heading; put half and stage above, or write one stage a row and 1.5 for one and a half", first.Line, n)
	}
	return oneGrader(1, 0, 2).read(t.Rows)
}

// filled puts blank rows back where some were left out: they are halves that were not graded.
func filled(rows []table.Row, next int) []table.Row {
	var out []table.Row
	for _, r := range rows {
		for ; next < r.Line; next++ {
			out = append(out, table.Row{Line: next})
		}
		out = append(out, r)
		next = r.Line + 1 + strings.Count(strings.Join(r.Cells, ""), "\n")
	}
	return out
}

var errNoStages = errors.New("holds no stages; write one a row, in reading order")

// Words that head a column, alone or among others as in "Starch stage (1-8)", without accents: after the
// English ones German, French, Spanish and Italian ones.
var (
	stageWords = []string{"stage", "grade", "starch", "index",
		"stufe", "stadium", "starke", "starkeindex", "starkewert", "stade", "amidon", "indice", "estadio", "almidon", "stadio", "amido"}
	halfWords = []string{"half", "fruit", "apple", "number", "no", "nr",
		"halfte", "frucht", "apfel", "nummer", "moitie", "pomme", "numero", "mitad", "fruto", "fruta", "manzana", "meta", "frutto", "mela"}
	byWords = []string{"by", "grader", "initials",
		"von", "bewerter", "kurzel", "par", "notateur", "initiales", "por", "evaluador", "iniciales", "valutatore", "iniziali"}
)

func findColumns(header table.Row) (columns, error) {
	c := columns{half: -1, by: -1, width: len(header.Cells)}
	var others []int
	for i, h := range header.Cells {
		switch {
		case hasWord(h, stageWords):
			if len(c.grades) > 0 {
				return c, fmt.Errorf("row %d: the columns %q and %q both look like stages; keep one of them", header.Line, header.Cells[c.grades[0].at], h)
			}
			c.grades = append(c.grades, gradeColumn{at: i})
		case hasWord(h, halfWords) && c.half < 0:
			c.half = i
		case hasWord(h, byWords) && c.by < 0:
			c.by = i
		default:
			others = append(others, i)
		}
	}
	if len(c.grades) == 0 && c.half >= 0 && c.by < 0 {
		if err := c.findGraders(header, others); err != nil {
			return c, err
		}
	}
	if len(c.grades) == 0 {
		return c, fmt.Errorf("row %d: no column is headed stage, there are %q; rename the one that holds the stages", header.Line, header.Cells)
	}
	return c, nil
}

// findGraders takes the columns beside that of the halves for one a grader.
func (c *columns) findGraders(header table.Row, others []int) error {
	for _, i := range others {
		by := strings.TrimSpace(header.Cells[i])
		if by == "" {
			continue // as a sheet leaves beside a table
		}
		if err := calibrate.ValidateInitials(by); err != nil {
			return fmt.Errorf("row %d: no column is headed stage, and %q heads none of a grader: %w", header.Line, by, err)
		}
		if slices.ContainsFunc(c.grades, func(g gradeColumn) bool { return g.by == by }) {
			return fmt.Errorf("row %d: two columns are headed %q; add a second reading by one grader on its own, with --again", header.Line, by)
		}
		c.grades = append(c.grades, gradeColumn{i, by})
	}
	return nil
}

func hasWord(heading string, words []string) bool {
	return slices.ContainsFunc(table.Words(heading), func(w string) bool { return slices.Contains(words, w) })
}

func (c columns) read(rows []table.Row) ([]Grading, error) {
	var t gradeTable
	for _, row := range rows {
		if row.Blank() {
			if c.half < 0 { // else a half that was not graded has its number
				t.next()
			}
			continue
		}
		if err := c.readRow(row, &t); err != nil {
			return nil, fmt.Errorf("row %d: %w", row.Line, err)
		}
	}
	if t.halves == 0 {
		return nil, errNoStages
	}
	return t.gradings, nil
}

func (c columns) readRow(row table.Row, t *gradeTable) error {
	n := len(row.Cells)
	for _, g := range c.grades {
		if g.at >= n {
			return fmt.Errorf("has %d columns and the stage should be in column %d; fill in the row", n, g.at+1)
		}
	}
	if n > c.width && !(table.Row{Cells: row.Cells[c.width:]}).Blank() {
		return fmt.Errorf("has %d columns and row 1 has %d; write decimals with a point, or part columns by semicolons", n, c.width)
	}
	if err := c.readHalf(row, t); err != nil {
		return err
	}
	for _, g := range c.grades {
		by := g.by
		if c.by >= 0 && c.by < n {
			by = strings.TrimSpace(row.Cells[c.by])
		}
		if err := calibrate.ValidateInitials(by); err != nil {
			return err
		}
		stage, err := parseStage(row.Cells[g.at])
		if err != nil {
			return err
		}
		if err := t.put(by, stage); err != nil {
			return err
		}
	}
	return nil
}

// readHalf goes on to the half of the row. Where rows name their grader, several
// may be of one half.
func (c columns) readHalf(row table.Row, t *gradeTable) error {
	due := t.halves + 1
	if c.half >= 0 {
		number := strings.TrimSpace(row.Cells[c.half])
		v, err := strconv.Atoi(number)
		if err == nil && c.by >= 0 && v == t.halves && v > 0 {
			return nil
		}
		if err != nil || v != due {
			return fmt.Errorf("half %q where half %d is due; list the halves in reading order, blank where not graded", number, due)
		}
	}
	t.next()
	return nil
}

// gradeTable gathers the stages of each grader, as many for each as there are halves.
type gradeTable struct {
	halves   int
	gradings []Grading
}

// next begins a half, which nobody has graded yet.
func (t *gradeTable) next() {
	t.halves++
	for i := range t.gradings {
		t.gradings[i].Stages = append(t.gradings[i].Stages, NotGraded)
	}
}

// put writes down what a grader says of the last half.
func (t *gradeTable) put(by string, stage float64) error {
	i := slices.IndexFunc(t.gradings, func(g Grading) bool { return g.By == by })
	if i < 0 {
		stages := make([]float64, t.halves)
		for k := range stages {
			stages[k] = NotGraded
		}
		i = len(t.gradings)
		t.gradings = append(t.gradings, Grading{by, stages})
	}
	last := &t.gradings[i].Stages[t.halves-1]
	if !math.IsNaN(*last) {
		return fmt.Errorf("half %d is graded twice by %q; keep one of the two", t.halves, by)
	}
	*last = stage
	return nil
}
