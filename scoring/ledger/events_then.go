package ledger

import "time"

// course is what things, by their ids, were one after the other: what is told of an earlier
// time is told as it was then.
type course[T any] map[int64][]since[T]

type since[T any] struct {
	at    time.Time
	value T
}

// at gives what something was at a time; what it was first where it was not there yet.
func (c course[T]) at(id int64, when time.Time) (value T) {
	for i, s := range c[id] {
		if i == 0 || !s.at.After(when) {
			value = s.value
		}
	}
	return value
}

// courseOf reads the course of all things from rows of an id, a value and a time.
func courseOf[T any](r reader, into func(*T) any, query string) (course[T], error) {
	out := course[T]{}
	err := r.each(func(scan func(...any) error) error {
		var id int64
		var s since[T]
		err := scan(&id, into(&s.value), instant(&s.at))
		out[id] = append(out[id], s)
		return err
	}, query)
	return out, err
}
