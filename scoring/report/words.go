package report

import (
	"slices"
	"time"

	"traystage/scoring"
)

// heading names what the report is about: orchard, block and variety as far as
// they are known, else the photo.
func heading(r scoring.Report) string {
	if known := join(", ", r.Orchard, r.Block, r.Variety); known != "" {
		return known
	}
	return r.Photo
}

// isoLocal is a time without zone: the camera's clock says none.
const isoLocal = "2006-01-02T15:04:05"

func taken(t time.Time, layout string) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(layout)
}

// advice is what the photographer can do about the half, each piece once.
func (p pen) advice(f scoring.Fruit) []string {
	var out []string
	for _, r := range f.Remarks {
		out = append(out, p.Advice(r))
	}
	return onceEach(out)
}

// doubts is everything worth saying about the half: why it is borderline or has
// no stage, then what the photo leaves doubtful, each once.
func (p pen) doubts(f scoring.Fruit) []string {
	out := []string{p.Say(f.WhyUnscored())}
	if f.Scored() {
		out = append(out, p.SayAll(f.Call.Reasons)...)
	}
	return onceEach(append(out, p.SayAll(f.Remarks)...))
}

// onceEach gives each text that is not empty once, in the order in which they
// came.
func onceEach(all []string) []string {
	var out []string
	for _, text := range all {
		if text != "" && !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// minutes is a short time: "3 min", "40 s".
func (p pen) minutes(d time.Duration) string {
	if d < 2*time.Minute {
		return p.Number(d.Seconds(), 0) + " s"
	}
	return p.Number(d.Minutes(), 0) + " min"
}
