package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"traystage/scoring"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// WriteJSON writes the figures of one report as an object, of several (or none)
// as an array, on one line; in is the language of its words.
//
// Every name is always there. What is not known is null: the stage and stained
// fraction of a half that was not scored, the interval of one whose stage a
// person gave, the mean of no fruit, the interval and SD of one, the capture
// time of a photo without one. Lists are never null. Fractions and stages have
// three decimals, pixels one; the scale goes from its stained to its clear end.
func WriteJSON(w io.Writer, in *words.Catalogue, reports ...scoring.Report) error {
	if len(reports) == 1 {
		return writeJSON(w, newObject(penOf(in), reports[0]))
	}
	return WriteJSONList(w, in, reports...)
}

// WriteJSONList is WriteJSON as an array also for one report, for callers that
// asked for several and got fewer.
func WriteJSONList(w io.Writer, in *words.Catalogue, reports ...scoring.Report) error {
	objects := make([]object, len(reports))
	for i, r := range reports {
		objects[i] = newObject(penOf(in), r)
	}
	return writeJSON(w, objects)
}

func writeJSON(w io.Writer, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return fmt.Errorf("report as JSON: %w", err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

type object struct {
	Photo    string    `json:"photo"`
	Width    int       `json:"width"`
	Height   int       `json:"height"`
	Taken    *string   `json:"taken"`
	Set      set       `json:"set"`
	Halves   []half    `json:"halves"`
	Suspects []suspect `json:"suspects"`
	Mean     mean      `json:"mean"`
}

type set struct {
	Name       string   `json:"name"`
	Version    string   `json:"version"`
	Scale      [2]milli `json:"scale"`
	Calibrated bool     `json:"calibrated"`
}

type half struct {
	Number     int            `json:"number"`
	Centre     pixels         `json:"centre"`
	Radius     pixel          `json:"radius"`
	Outline    []pixels       `json:"outline"`
	Stained    milli          `json:"stained"`
	Zones      []milli        `json:"zones"`
	Clipped    bool           `json:"clipped"`
	Stage      milli          `json:"stage"`
	Low        milli          `json:"low"`
	High       milli          `json:"high"`
	Between    []milli        `json:"between"`
	Borderline bool           `json:"borderline"`
	Reasons    []string       `json:"reasons"`
	Notes      []words.Spoken `json:"notes"`
}

// suspect is a place that may hold a half but has no number.
type suspect struct {
	Centre  pixels       `json:"centre"`
	Radius  pixel        `json:"radius"`
	Outline []pixels     `json:"outline"`
	Why     words.Spoken `json:"why"`
}

type mean struct {
	Stage milli `json:"stage"`
	Low   milli `json:"low"`
	High  milli `json:"high"`
	SD    milli `json:"sd"`
	N     int   `json:"n"`
}

// milli is a number with at most three decimals, null when it is not finite.
type milli float64

// MarshalJSON writes the number without exponent.
func (m milli) MarshalJSON() ([]byte, error) { return decimals(float64(m), 3), nil }

// pixel is a coordinate with at most one decimal, null when it is not finite.
type pixel float64

// MarshalJSON writes the number without exponent.
func (p pixel) MarshalJSON() ([]byte, error) { return decimals(float64(p), 1), nil }

type pixels [2]pixel

func decimals(x float64, n int) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null")
	}
	scale := math.Pow10(n)
	rounded := math.Round(x*scale) / scale
	if rounded == 0 {
		rounded = 0 // without the sign of a tiny negative
	}
	return strconv.AppendFloat(nil, rounded, 'f', -1, 64)
}

// unknown is what is rendered as null.
var unknown = milli(math.NaN())

func newObject(p pen, r scoring.Report) object {
	o := object{
		Photo: r.Photo, Width: r.Width, Height: r.Height,
		Set: set{
			Name: r.Reference.Name, Version: r.Reference.Version, Calibrated: r.Reference.Calibrated,
			Scale: [2]milli{milli(r.Reference.Scale.Stained), milli(r.Reference.Scale.Clear)},
		},
		Halves: make([]half, len(r.Fruit)), Suspects: make([]suspect, len(r.Suspects)),
		Mean: newMean(r.Summary),
	}
	if t := taken(r.Taken, isoLocal); t != "" {
		o.Taken = &t
	}
	for i, f := range r.Fruit {
		o.Halves[i] = newHalf(p, f)
	}
	for i, s := range r.Suspects {
		o.Suspects[i] = newSuspect(p, s)
	}
	return o
}

func newMean(s scoring.Summary) mean {
	m := mean{Stage: unknown, Low: unknown, High: unknown, SD: unknown, N: s.N}
	if s.N > 0 {
		m.Stage = milli(s.Mean)
	}
	if s.HasInterval() {
		m.Low, m.High, m.SD = milli(s.Low), milli(s.High), milli(s.SD)
	}
	return m
}

func newHalf(p pen, f scoring.Fruit) half {
	h := half{
		Number:  f.Number,
		Centre:  pixels{pixel(f.Place.Centre[0]), pixel(f.Place.Centre[1])},
		Radius:  pixel(f.Place.Radius),
		Outline: make([]pixels, len(f.Place.Outline)),
		Clipped: f.Clipped,
		Stained: unknown, Stage: unknown, Low: unknown, High: unknown,
		Zones: []milli{}, Between: []milli{}, Reasons: []string{}, Notes: []words.Spoken{},
	}
	for i, at := range f.Place.Outline {
		h.Outline[i] = pixels{pixel(at[0]), pixel(at[1])}
	}
	if !f.Scored() {
		h.say(p, f.WhyUnscored())
		return h
	}
	h.Stage = milli(f.Stage())
	for _, z := range f.Zones {
		h.Zones = append(h.Zones, milli(z))
	}
	if len(f.Zones) > 0 {
		h.Stained = milli(f.Stained)
	}
	if f.Overridden() {
		return h
	}
	h.Low, h.High = milli(f.Call.Low), milli(f.Call.High)
	h.Between = []milli{milli(f.Call.Between[0]), milli(f.Call.Between[1])}
	h.Borderline = f.Open()
	h.say(p, f.Call.Reasons...)
	return h
}

func newSuspect(p pen, s scoring.Suspect) suspect {
	out := suspect{
		Centre: pixels{pixel(s.Place.Centre[0]), pixel(s.Place.Centre[1])}, Radius: pixel(s.Place.Radius),
		Outline: make([]pixels, len(s.Place.Outline)), Why: p.Spoken(s.Why)[0],
	}
	for i, p := range s.Place.Outline {
		out.Outline[i] = pixels{pixel(p[0]), pixel(p[1])}
	}
	return out
}

// say adds what is to be said of the half, in words and as values.
func (h *half) say(p pen, notes ...note.Note) {
	h.Reasons = append(h.Reasons, p.SayAll(notes)...)
	h.Notes = append(h.Notes, p.Spoken(notes...)...)
}
