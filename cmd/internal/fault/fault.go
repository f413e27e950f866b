// Package fault holds the kinds of errors that the program tells apart: wrong
// use, an error with a hint on what to do, and several errors at once. Any other
// error says that something could not be done.
package fault

import (
	"errors"
	"fmt"
)

// Usage is something that cannot be carried out as it was asked for.
type Usage struct{ Err error }

func (e Usage) Error() string { return e.Err.Error() }

func (e Usage) Unwrap() error { return e.Err }

// Usagef makes a Usage of words.
func Usagef(format string, args ...any) error { return Usage{fmt.Errorf(format, args...)} }

// AsUsage takes an error, if there is one, for wrong use.
func AsUsage(err error) error {
	if err == nil {
		return nil
	}
	return Usage{err}
}

// Hinted is an error with a second line that says what to do.
type Hinted struct {
	Err  error
	Hint string
}

func (e Hinted) Error() string { return e.Err.Error() }

func (e Hinted) Unwrap() error { return e.Err }

// WithHint puts a hint to an error.
func WithHint(err error, hint string) error { return Hinted{err, hint} }

// Several are errors to be told one by one.
type Several []error

func (e Several) Error() string { return errors.Join(e...).Error() }

func (e Several) Unwrap() []error { return e }

// Err is nil where there are none.
func (e Several) Err() error {
	if len(e) == 0 {
		return nil
	}
	return e
}
