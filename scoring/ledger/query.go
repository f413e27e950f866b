package ledger

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

// reader reads in one transaction.
type reader struct {
	ctx context.Context
	tx  *sql.Tx
}

// writer reads and adds rows in one transaction; at is the time of all of them.
type writer struct {
	reader
	at   string
	rows *added
}

// added are the rows that a transaction added, in their order.
type added struct{ all []rowOf }

type rowOf struct {
	table string
	id    int64
}

// What counts now. The program never asks a view of the file, which somebody
// else may have made.
const (
	currentBlocks = `(SELECT * FROM block_entry AS e WHERE id = (SELECT max(id) FROM block_entry WHERE block = e.block))`

	// Of samples; of all states. Its block is the one it belongs to now.
	currentSamples = `(SELECT e.sample, coalesce(e.block, s.block) AS block, e.picked, e.tested, e.tester, e.wait, e.note, e.state, e.merged, e.why, e.at, e.who
		FROM sample_entry AS e JOIN sample AS s ON s.id = e.sample
		WHERE e.id = (SELECT max(id) FROM sample_entry WHERE sample = e.sample))`

	// Limits samples s to those that belong, or belonged, to the block ?1: for
	// queries that then ask where they belong now.
	everOfBlock = `s.sample IN (SELECT id FROM sample WHERE block = ?1 UNION SELECT sample FROM sample_entry WHERE block = ?1)`

	// Each tray t with the entry e that says where it belongs and the scoring s
	// that counts.
	currentTrays = `tray AS t
		JOIN tray_entry AS e ON e.id = (SELECT max(id) FROM tray_entry WHERE tray = t.id)
		JOIN scoring AS s ON s.id = (SELECT max(id) FROM scoring WHERE tray = t.id)`

	// Each reading r with the entry e that says where its batch belongs, if one does.
	currentReadings = `reading AS r LEFT JOIN batch_entry AS e ON e.id = (SELECT max(id) FROM batch_entry WHERE batch = r.batch)`
)

// each calls f for every row that a query gives; f scans it.
func (r reader) each(f func(scan func(...any) error) error, query string, args ...any) error {
	rows, err := r.tx.QueryContext(r.ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows.Scan); err != nil {
			return errors.Join(errRow, err)
		}
	}
	return rows.Err()
}

// errRow says that a row holds what this program would not have written.
var errRow = errors.New("a row cannot be read")

// one scans the only row of a query; sql.ErrNoRows when there is none.
func (r reader) one(query string, args []any, into ...any) error {
	return r.tx.QueryRowContext(r.ctx, query, args...).Scan(into...)
}

// column is a value for a column of the row to be added.
type column struct {
	name  string
	value any
}

// add adds a row of at least one column and gives its id.
func (w writer) add(table string, columns ...column) (int64, error) {
	names, values := make([]string, len(columns)), make([]any, len(columns))
	for i, c := range columns {
		names[i], values[i] = c.name, c.value
	}
	query := fmt.Sprintf("INSERT INTO %s (%s) VALUES (?%s)", table, strings.Join(names, ", "), strings.Repeat(", ?", len(columns)-1))
	result, err := w.tx.ExecContext(w.ctx, query, values...)
	if err != nil {
		return 0, err
	}
	id, err := result.LastInsertId()
	w.rows.all = append(w.rows.all, rowOf{table, id})
	return id, err
}

// signed are the columns that say when a row was written and by whom.
func (w writer) signed(who string, columns ...column) []column {
	return append(columns, column{"at", w.at}, column{"who", who})
}

const (
	dayLayout = "2006-01-02"
	// cameraLayout is a time by a clock whose zone nobody knows.
	cameraLayout = "2006-01-02T15:04:05.999999999"
)

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339Nano) }

// optional is a time as text; NULL for the zero time.
func optional(t time.Time, layout string) sql.NullString {
	return sql.NullString{String: t.Format(layout), Valid: !t.IsZero()}
}

// moment scans a time written in a layout; NULL is the zero time.
type moment struct {
	to     *time.Time
	layout string
}

func (m moment) Scan(value any) error {
	switch v := value.(type) {
	case nil:
		*m.to = time.Time{}
		return nil
	case string:
		t, err := time.Parse(m.layout, v)
		*m.to = t
		return err
	}
	return fmt.Errorf("a time is kept as %T", value)
}

func day(t *time.Time) moment     { return moment{t, dayLayout} }
func instant(t *time.Time) moment { return moment{t, time.RFC3339Nano} }

// list scans a list kept as JSON.
type list[T any] struct{ to *[]T }

func (l list[T]) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("a list is kept as %T", value)
	}
	*l.to = nil
	if text == "null" {
		return nil
	}
	return json.Unmarshal([]byte(text), l.to)
}

// listText is a list as JSON. Numbers come back to the last bit.
func listText[T any](l []T) (string, error) {
	text, err := json.Marshal(l)
	return string(text), err
}

// ids are row ids as a JSON list, for json_each.
func ids(all []int64) string {
	text, err := listText(all)
	if err != nil || all == nil {
		return "[]"
	}
	return text
}
