package ledger

import (
	"cmp"
	"encoding/json"
	"slices"
)

// seals are those that cover the rows of each table, in their order: they tell the order in
// which rows of several tables were written, whatever clocks said.
type seals map[string][]sealed

// sealed says up to which row of a table a seal goes.
type sealed struct{ last, seal int64 }

// seals reads which rows the seals cover.
func (r reader) seals() (seals, error) {
	out := seals{}
	err := r.each(func(scan func(...any) error) error {
		var id int64
		var text string
		var rows map[string]stretch
		if err := scan(&id, &text); err != nil {
			return err
		}
		err := json.Unmarshal([]byte(text), &rows)
		for table, s := range rows {
			out[table] = append(out[table], sealed{s.last, id})
		}
		return err
	}, "SELECT id, rows FROM seal ORDER BY id")
	return out, err
}

// of is the number of the seal of a row; 0 where there is none. Rows that were there before
// there were seals share one.
func (s seals) of(table string, row int64) int64 {
	i, _ := slices.BinarySearchFunc(s[table], row, func(s sealed, row int64) int { return cmp.Compare(s.last, row) })
	if i == len(s[table]) {
		return 0
	}
	return s[table][i].seal
}
