package instrument

import (
	"errors"
	"io"

	"traystage/scoring/table"
	"traystage/vision/note"
)

// readTable reads the rows of a sheet that are not blank, whatever it was saved as.
func readTable(in io.Reader) ([]table.Row, []note.Note, error) {
	t, err := table.Read(in)
	var bad *table.Error
	if errors.As(err, &bad) {
		return nil, nil, &FileError{Faults: []Fault{{Row: bad.Row, Text: bad.Text}}}
	}
	if err != nil {
		return nil, nil, err
	}
	var remarks []note.Note
	if t.Western {
		remarks = append(remarks, note.New("sheet.windows_1252"))
	}
	if len(t.Others) > 0 {
		remarks = append(remarks, note.New("sheet.one_of_several", note.Name("sheet", t.Sheet), note.Names("others", t.Others)))
	}
	return t.Rows, remarks, nil
}
