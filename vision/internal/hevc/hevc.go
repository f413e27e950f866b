package hevc

import (
	"bytes"
	"errors"
)

var (
	// ErrDamaged is what a picture is that does not end where its data do, or holds what there cannot be.
	ErrDamaged = errors.New("a part of the coded picture is wrong or lost")
	// ErrUnknown says that a picture is coded by tools that are not read here.
	ErrUnknown = errors.New("coded in a way that is not read here")
)

// Kinds of units (H.265, table 7-1).
const (
	firstIDR     = 19
	lastIDR      = 20
	lastCoded    = 31
	sequenceUnit = 33
	pictureUnit  = 34
	unitHead     = 2 // bytes
)

func kindOf(unit []byte) byte { return unit[0] >> 1 & 63 }

// Size reads what size a unit states pictures to be coded in, in luma samples; stated is false where
// it is no sequence parameter set. ok is false where it cannot be read.
func Size(unit []byte) (width, height int, stated, ok bool) {
	if len(unit) < unitHead || kindOf(unit) != sequenceUnit {
		return 0, 0, false, false
	}
	var p parameters
	r := &bits{b: unescaped(unit[unitHead:])}
	p.readSize(r)
	return p.width, p.height, true, !r.short && p.width > 0 && p.height > 0
}

// Whole reads the units of one picture, parameters among them, to their end. It gives nil where
// the picture is whole, else ErrDamaged or ErrUnknown.
func Whole(units [][]byte) error {
	var sps, pps []byte
	var coded [][]byte
	for _, u := range units {
		if startsWithin(u) {
			return ErrDamaged
		}
		if len(u) < unitHead {
			continue
		}
		only := &sps
		switch kind := kindOf(u); {
		case kind <= lastCoded:
			coded = append(coded, u)
			continue
		case kind == pictureUnit:
			only = &pps
		case kind != sequenceUnit:
			continue
		}
		if *only != nil && !bytes.Equal(*only, u) {
			return ErrUnknown // which of the two counts
		}
		*only = u
	}
	if sps == nil || pps == nil || len(coded) == 0 {
		return ErrDamaged
	}
	var p parameters
	if !p.readSPS(sps[unitHead:]) || !p.readPPS(pps[unitHead:]) {
		return ErrUnknown
	}
	pic := newPicture(&p)
	for _, u := range coded {
		if kind := kindOf(u); kind < firstIDR || kind > lastIDR {
			return ErrUnknown
		}
		if err := pic.read(unescaped(u[unitHead:])); err != nil {
			return err
		}
	}
	if pic.done != len(pic.slice) {
		return ErrDamaged
	}
	return nil
}
