package ledger

import (
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"maps"
	"math"
	"slices"
	"strings"
)

// What is stored is sealed: the last row that a transaction writes holds a digest
// of all rows it added, and one of itself that covers the seal before. A byte that
// changes later no longer goes with its digest, and a row that is added or taken
// away past the program is one without a seal, or a seal without its row.
//
// A digest covers the columns of a row that are not NULL, each with its name, so
// that later migrations may add columns that earlier rows leave NULL. They may
// change nothing that is there.

// stretch is the rows of one table that one transaction added.
type stretch struct {
	first, last int64
	digest      string // SHA-256 of the rows, hexadecimal
}

func (s stretch) MarshalJSON() ([]byte, error) {
	return json.Marshal([]any{s.first, s.last, s.digest})
}

func (s *stretch) UnmarshalJSON(text []byte) error {
	var parts []json.RawMessage
	if err := json.Unmarshal(text, &parts); err != nil {
		return err
	}
	if len(parts) != 3 {
		return fmt.Errorf("a stretch of rows has %d parts", len(parts))
	}
	return errors.Join(json.Unmarshal(parts[0], &s.first), json.Unmarshal(parts[1], &s.last), json.Unmarshal(parts[2], &s.digest))
}

// seal seals the rows that were added.
func (w writer) seal() error {
	rows := map[string]stretch{}
	for _, row := range w.rows.all {
		s, ok := rows[row.table]
		switch {
		case !ok:
			s = stretch{first: row.id, last: row.id}
		case row.id == s.last+1:
			s.last = row.id
		default:
			return fmt.Errorf("row %d of %s: %w: it does not follow row %d; %s", row.id, row.table, ErrDamaged, s.last, advice[ErrDamaged])
		}
		rows[row.table] = s
	}
	return w.sealRows(rows)
}

// sealRows writes the seal of stretches whose digests are not known yet.
func (w writer) sealRows(rows map[string]stretch) error {
	for table, s := range rows {
		var err error
		if s.digest, _, err = w.digestRows(table, s.first, s.last); err != nil {
			return err
		}
		rows[table] = s
	}
	text, err := json.Marshal(rows)
	if err != nil {
		return err
	}
	var id int64
	var before []byte
	err = w.one("SELECT id, digest FROM seal ORDER BY id DESC LIMIT 1", nil, &id, &before)
	if err := ignoring(err, sql.ErrNoRows); err != nil {
		return err
	}
	_, err = w.tx.ExecContext(w.ctx, "INSERT INTO seal (id, rows, digest, at) VALUES (?, ?, ?, ?)",
		id+1, string(text), digestSeal(before, id+1, string(text), w.at), w.at)
	return err
}

// digestSeal is the digest of a seal.
func digestSeal(before []byte, id int64, rows, at string) []byte {
	h := sha256.New()
	h.Write(before)
	put(h, 'i', binary.BigEndian.AppendUint64(nil, uint64(id)))
	put(h, 't', []byte(rows))
	put(h, 't', []byte(at))
	return h.Sum(nil)
}

// digestRows is the digest of the rows of a table from first to last, with how
// many there are.
func (r reader) digestRows(table string, first, last int64) (digest string, n int64, err error) {
	rows, err := r.tx.QueryContext(r.ctx, "SELECT * FROM "+table+" WHERE rowid BETWEEN ? AND ? ORDER BY rowid", first, last)
	if err != nil {
		return "", 0, err
	}
	defer rows.Close()
	names, err := rows.Columns()
	if err != nil {
		return "", 0, err
	}
	values, into := make([]any, len(names)), make([]any, len(names))
	for i := range values {
		into[i] = &values[i]
	}
	h := sha256.New()
	for ; rows.Next(); n++ {
		if err := rows.Scan(into...); err != nil {
			return "", n, errors.Join(errRow, err)
		}
		put(h, 'r', []byte(table))
		for i, name := range names {
			if err := putValue(h, name, values[i]); err != nil {
				return "", n, errors.Join(errRow, err)
			}
		}
	}
	return hex.EncodeToString(h.Sum(nil)), n, rows.Err()
}

// putValue adds a value to a digest, with the name of its column; NULL adds nothing.
func putValue(h hash.Hash, name string, value any) error {
	if value == nil {
		return nil
	}
	put(h, 'c', []byte(name))
	switch v := value.(type) {
	case int64:
		put(h, 'i', binary.BigEndian.AppendUint64(nil, uint64(v)))
	case float64:
		put(h, 'f', binary.BigEndian.AppendUint64(nil, math.Float64bits(v)))
	case string:
		put(h, 't', []byte(v))
	case []byte:
		put(h, 'b', v)
	default:
		return fmt.Errorf("column %s is kept as %T", name, value)
	}
	return nil
}

// put adds bytes to a digest, with their kind and number.
func put(h hash.Hash, kind byte, b []byte) {
	var head [9]byte
	head[0] = kind
	binary.BigEndian.PutUint64(head[1:], uint64(len(b)))
	h.Write(head[:])
	h.Write(b)
}

// sealAll seals the rows that were there before there were seals.
func sealAll(w writer) error {
	objects, err := schemaOf(w.ctx, w.tx)
	if err != nil {
		return err
	}
	rows := map[string]stretch{}
	for _, table := range tablesOf(objects) {
		var s stretch
		if err := w.one("SELECT coalesce(min(rowid), 0), coalesce(max(rowid), 0) FROM "+table, nil, &s.first, &s.last); err != nil {
			return err
		}
		if s.last > 0 {
			rows[table] = s
		}
	}
	return w.sealRows(rows)
}

// checkSeals finds rows that are not as they were sealed.
func (s *Season) checkSeals(r reader) ([]Finding, error) {
	c := sealCheck{reader: r, next: map[string]int64{}}
	type sealRow struct {
		id       int64
		rows, at string
		digest   []byte
	}
	var seals []sealRow
	err := r.each(func(scan func(...any) error) error {
		var row sealRow
		err := scan(&row.id, &row.rows, &row.digest, &row.at)
		seals = append(seals, row)
		return err
	}, "SELECT id, rows, digest, at FROM seal ORDER BY id")
	if err != nil {
		return nil, err
	}
	var before []byte
	for i, row := range seals {
		if row.id != int64(i+1) || string(digestSeal(before, row.id, row.rows, row.at)) != string(row.digest) {
			c.find(fmt.Sprintf("seal %d, of %s, does not follow the one before: a byte of it has changed, or seals are missing", row.id, row.at))
		}
		before = row.digest
		if err := c.rows(row.rows, row.at); err != nil {
			return nil, err
		}
	}
	return c.found, c.uncovered()
}

// sealCheck goes through seals in their order.
type sealCheck struct {
	reader
	next  map[string]int64 // the row of a table that the next seal must begin with, less one
	found []Finding
}

func (c *sealCheck) find(what string) {
	c.found = append(c.found, Finding{databaseName, what, advice[ErrDamaged]})
}

// rows checks the rows of one seal.
func (c *sealCheck) rows(text, at string) error {
	var rows map[string]stretch
	if err := json.Unmarshal([]byte(text), &rows); err != nil {
		c.find(fmt.Sprintf("the seal of %s cannot be read", at))
		return nil
	}
	known := sealedTables()
	for _, table := range slices.Sorted(maps.Keys(rows)) {
		s := rows[table]
		if !slices.Contains(known, table) {
			c.find(fmt.Sprintf("the seal of %s is on %q, which is no table", at, table))
			continue
		}
		digest, n, err := c.digestRows(table, s.first, s.last)
		if err != nil {
			return err
		}
		switch {
		case n != s.last-s.first+1, s.first != c.next[table]+1:
			c.find(fmt.Sprintf("rows %d to %d of %s, written %s: %d of them are there", s.first, s.last, table, at, n))
		case digest != s.digest:
			c.find(fmt.Sprintf("rows %d to %d of %s, written %s: a byte of them has changed", s.first, s.last, table, at))
		}
		c.next[table] = max(c.next[table], s.last)
	}
	return nil
}

// uncovered finds rows after the last sealed ones.
func (c *sealCheck) uncovered() error {
	for _, table := range sealedTables() {
		var n int64
		if err := c.one("SELECT count(*) FROM "+table+" WHERE rowid > ? OR rowid < 1", []any{c.next[table]}, &n); err != nil {
			return err
		}
		if n > 0 {
			c.find(fmt.Sprintf("%d rows of %s were written by another program, or their seal is gone", n, table))
		}
	}
	return nil
}

// sealedTables are the tables whose rows are sealed.
func sealedTables() []string { return tablesOf(expectedSchema()) }

func tablesOf(objects map[string]string) []string {
	var out []string
	for key := range objects {
		if name, ok := strings.CutPrefix(key, "table "); ok && name != "seal" {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}
