// Package refimages holds the reference set that comes with the program, so that
// a tray can be scored before the grower has calibrated a set of their own. Where the
// set comes from and what is published about its scale is in SOURCES.md.
package refimages

import (
	"bytes"
	_ "embed"
	"fmt"

	"traystage/calibrate"
)

//go:generate go run generate.go set
//go:generate go run generate.go trays
//go:generate go run generate.go season

//go:embed builtin-1-8.json
var builtinFile []byte

// BuiltinName is the name of the set that Builtin gives.
const BuiltinName = "builtin-1-8"

// Builtin is the reference set for the scale 1 (all stained) to 8 (clear), with
// one painted plate for each whole stage. Every call gives a set of its own.
func Builtin() (calibrate.Set, error) {
	s, err := calibrate.Decode(bytes.NewReader(builtinFile))
	if err != nil {
		return calibrate.Set{}, fmt.Errorf("built-in reference set: %w", err)
	}
	return s, nil
}
