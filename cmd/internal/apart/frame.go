package apart

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"

	"traystage/vision"
)

// job is what a child is asked to do.
type job struct {
	Verb    string         `json:"verb"`
	Options vision.Options `json:"options"`
	Side    int            `json:"side,omitempty"` // of a picture: its long side at most, px
}

const (
	measure = "measure" // body: a photo; the answer's head has its tray
	picture = "picture" // body: a photo; the answer's body is the photo upright, as JPEG
)

// answer is what a child says of a job, and once unasked when it is ready.
type answer struct {
	Ready  bool         `json:"ready,omitempty"`
	Tray   *vision.Tray `json:"tray,omitempty"`
	Reason reason       `json:"reason,omitempty"` // why it could not
	Text   string       `json:"text,omitempty"`   // the same in words
}

const (
	longestHead = 16 << 20  // a tray of forty halves takes 300 kB
	longestBody = 256 << 20 // larger than any photo that is taken in
)

// writeFrame sends one frame.
func writeFrame(w io.Writer, head any, body []byte) error {
	text, err := json.Marshal(head)
	if err != nil {
		return err
	}
	for _, part := range [][]byte{text, body} {
		if err := binary.Write(w, binary.BigEndian, uint32(len(part))); err != nil {
			return err
		}
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// readFrame takes one frame in; io.EOF says that there is no more.
func readFrame(r io.Reader, head any) (body []byte, err error) {
	text, err := readPart(r, longestHead)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(text, head); err != nil {
		return nil, fmt.Errorf("frame: %w", err)
	}
	body, err = readPart(r, longestBody)
	if err == io.EOF {
		err = io.ErrUnexpectedEOF
	}
	return body, err
}

func readPart(r io.Reader, longest uint32) ([]byte, error) {
	var n uint32
	if err := binary.Read(r, binary.BigEndian, &n); err != nil {
		return nil, err
	}
	if n > longest {
		return nil, fmt.Errorf("frame: %d bytes, more than %d", n, longest)
	}
	var part bytes.Buffer // grows with what comes, whatever the length said
	if _, err := io.CopyN(&part, r, int64(n)); err != nil {
		return nil, io.ErrUnexpectedEOF
	}
	return part.Bytes(), nil
}
