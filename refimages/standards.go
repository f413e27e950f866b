package refimages

import (
	"bytes"
	_ "embed"
	"io"
)

//go:embed standards.csv
var standardsFile []byte

// StandardsName is what reports call the table that Standards gives.
const StandardsName = "published standards"

// Standards is the table of published standards, as scoring.ReadStandards reads
// it: a text that a grower can save, edit and give back as a table of their own.
// Where its rows come from is in SOURCES.md. Every call gives a reader of its own.
func Standards() io.Reader { return bytes.NewReader(standardsFile) }
