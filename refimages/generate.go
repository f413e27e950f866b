//go:build ignore

// Command generate paints the reference set and the tray photos anew:
//
//	go run generate.go set     writes builtin-1-8.json
//	go run generate.go trays   writes the photos and truths of testdata/trays
//	go run generate.go season  writes the photos of the invented season
package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"traystage/calibrate"
	"traystage/refimages/internal/builtin"
	"traystage/refimages/internal/trays"
	"traystage/refimages/larkfield"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 1 && args[0] == "set":
		var buf bytes.Buffer
		if err := calibrate.Encode(&buf, builtin.Paint()); err != nil {
			return err
		}
		return os.WriteFile("builtin-1-8.json", buf.Bytes(), 0o644)
	case len(args) == 1 && args[0] == "trays":
		dir := filepath.Join("..", "testdata", "trays")
		for _, t := range trays.All() {
			photo, truth, err := t.Paint()
			if err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(dir, t.Name+".jpg"), photo, 0o644); err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(dir, t.Name+".json"), truth, 0o644); err != nil {
				return err
			}
		}
		return nil
	case len(args) == 1 && args[0] == "season":
		return larkfield.Paint(func(name string, jpeg []byte) error {
			return os.WriteFile(filepath.Join("larkfield", "photos", name), jpeg, 0o644)
		})
	}
	return fmt.Errorf("say what to paint: set, trays or season")
}
