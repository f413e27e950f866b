package calibrate

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"traystage/vision/note"
)

const (
	// Format names the files that Encode writes. Decode reads these and older
	// ones: firstFormat knew nothing but plates, secondFormat kept doubts in words.
	// Sets that hold nothing newer are still written so: a version has one text,
	// and so one digest, for ever.
	Format       = "traystage reference set 3"
	secondFormat = "traystage reference set 2"
	firstFormat  = "traystage reference set 1"
	// formatStem opens the format line of every version of the format.
	formatStem = "traystage reference set "
	// maxFile bounds what Decode reads, in bytes: 80 MB holds the largest set
	// with all its pictures.
	maxFile = 80 << 20
	maxName = 64
)

// file is the layout of one version on disk.
type file struct {
	Format string `json:"format"`
	Digest string `json:"digest,omitempty"`
	Set
}

// format is the oldest format that can hold the set.
func (s Set) format() string {
	newer := func(p Plate) bool { return p.Sectors != nil || p.Origin != nil }
	coded := func(n note.Note) bool { return n.Code != note.Said }
	switch {
	case slices.ContainsFunc(s.Graded, func(g Graded) bool { return slices.ContainsFunc(g.Seen.Doubts, coded) }):
		return Format
	case len(s.Graded) > 0, slices.ContainsFunc(s.Plates, newer):
		return secondFormat
	}
	return firstFormat
}

// Encode writes the set as indented JSON with the digest of its content, by
// which Decode tells a file edited by hand. A set that Validate refuses is not written.
func Encode(w io.Writer, s Set) error {
	digest, err := s.Digest()
	if err != nil {
		return err
	}
	text, err := render(file{s.format(), digest, s})
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return err
}

// Digest is the SHA-256 of the version's content, in hexadecimal: of its file
// without the digest itself.
func (s Set) Digest() (string, error) {
	if err := s.Validate(); err != nil {
		return "", err
	}
	text, err := render(file{Format: s.format(), Set: s})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}

func isDigest(s string) bool {
	b, err := hex.DecodeString(s)
	return err == nil && len(b) == sha256.Size && s == strings.ToLower(s)
}

// brokenList is a list of numbers spread over lines. A line break inside
// a JSON text is always written \n, so that no text can look like one.
var brokenList = regexp.MustCompile(`\[\n[-+.0-9eE,\s]+\]`)

// render is the one way in which a set is written. Each list of numbers
// stands on one line, to be read as a profile.
func render(f file) ([]byte, error) {
	text, err := json.MarshalIndent(f, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be written: %w", f.title(), err)
	}
	text = brokenList.ReplaceAllFunc(text, func(list []byte) []byte {
		inner := bytes.Join(bytes.Fields(list[1:len(list)-1]), []byte(" "))
		return slices.Concat([]byte("["), inner, []byte("]"))
	})
	return append(text, '\n'), nil
}

// Decode reads a set that Encode wrote. It refuses a file of another format,
// one with fields it does not know, one whose set is not valid, and one that
// differs by a single byte from what Encode wrote.
func Decode(r io.Reader) (Set, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return Set{}, fmt.Errorf("reference set: %w", err)
	}
	if len(text) > maxFile {
		return Set{}, fmt.Errorf("reference set: the file is larger than %d MB: not a reference set", maxFile>>20)
	}
	if err := checkFormat(text); err != nil {
		return Set{}, fmt.Errorf("reference set: %w", err)
	}
	f, err := parse(text)
	if err != nil {
		return Set{}, fmt.Errorf("reference set: %w", err)
	}
	if err := f.checkUntouched(text); err != nil {
		return Set{}, fmt.Errorf("%s: %w", f.title(), err)
	}
	return f.Set, nil
}

// checkFormat reads the format alone, so that a file of another version is
// told as such, not by its first unknown field.
func checkFormat(text []byte) error {
	var head struct {
		Format string `json:"format"`
	}
	if err := json.Unmarshal(text, &head); err != nil {
		return fmt.Errorf("not a whole JSON file: %w", err)
	}
	switch {
	case head.Format == Format, head.Format == secondFormat, head.Format == firstFormat:
		return nil
	case strings.HasPrefix(head.Format, formatStem):
		return fmt.Errorf("its format is %q, this traystage reads %q: use the traystage that wrote it", head.Format, Format)
	}
	return fmt.Errorf("not a reference set: its format is not %q", Format)
}

func parse(text []byte) (file, error) {
	var f file
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return file{}, fmt.Errorf("not as traystage writes it: %w", err)
	}
	return f, nil
}

// checkUntouched tells a changed content from a changed layout.
func (f file) checkUntouched(text []byte) error {
	digest, err := f.Set.Digest()
	if err != nil {
		return err
	}
	if digest != f.Digest {
		return errors.New("edited by hand: its digest does not fit; make a new version with `traystage refs add` or restore the file")
	}
	f.Format = f.Set.format()
	same, err := render(f)
	if err != nil {
		return err
	}
	if !bytes.Equal(same, text) {
		return errors.New("its layout was changed by another program: restore the file")
	}
	return nil
}

// ValidateName says whether a set may be called so: letters, digits, dash,
// underscore and dot, beginning with a letter or digit, so that it can be part
// of a file name anywhere.
func ValidateName(name string) error {
	if name == "" {
		return errors.New("the set has no name")
	}
	if len(name) > maxName || !plainName.MatchString(name) {
		return fmt.Errorf("the name %q cannot be used: take up to %d letters (a to z), digits, dash, underscore and dot, a letter or digit first", name, maxName)
	}
	return nil
}

var plainName = regexp.MustCompile(`^[A-Za-z0-9][-A-Za-z0-9_.]*$`)

// FileName is the name of the file that holds the version, such as
// gala.v3.json, without a folder.
func FileName(name string, version int) string { return fmt.Sprintf("%s.v%d.json", name, version) }
