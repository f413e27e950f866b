package ledger

import (
	"cmp"
	"database/sql"
	"math"
	"slices"

	"traystage/scoring"
)

// Loss says why a review does not hold for another scoring of its tray.
type Loss string

const (
	HalfGone  Loss = "half gone"  // no half lies where the reviewed one lay
	OtherSet  Loss = "other set"  // a stage on one set is none on another
	CallMoved Loss = "call moved" // a call was confirmed, and is another one now
)

// Carry is a review that did or did not go over to another scoring of its tray.
type Carry struct {
	Was    int // number of the fruit when it was reviewed
	Fruit  int // its number now; 0 where its half is gone
	Review scoring.Review
	Why    Loss // empty for one that went over
}

// Lost tells which reviews of a tray would not hold for another scoring of its
// photo. Fruit of now are those of was where they lie in the same places.
func Lost(was, now scoring.Report) []Carry {
	var lost []Carry
	for _, c := range carries(was, now) {
		if c.Why != "" {
			lost = append(lost, c.Carry)
		}
	}
	return lost
}

// carriedTo is a Carry with the places of the fruit in both scorings; to is -1 where
// the half is gone.
type carriedTo struct {
	Carry
	from, to int
}

// carries tells of each review of a scoring what becomes of it with another one.
// What a person said of a fruit holds for the half in the same place.
func carries(was, now scoring.Report) []carriedTo {
	var out []carriedTo
	at := samePlaces(was.Fruit, now.Fruit)
	for i, f := range was.Fruit {
		if f.Review == nil {
			continue
		}
		c := carriedTo{Carry{Was: f.Number, Review: *f.Review, Why: HalfGone}, i, at[i]}
		if at[i] >= 0 {
			c.Fruit = now.Fruit[at[i]].Number
			c.Why = holds(f, was.Reference, now.Fruit[at[i]], now.Reference)
		}
		out = append(out, c)
	}
	return out
}

// carry gives the fruit of a new scoring the reviews of the scoring before, where
// they hold.
func (w writer) carry(last *scored, now scoring.Report, halves []int64) (carried, lost []Carry, err error) {
	for _, c := range carries(last.report, now) {
		if c.Why != "" {
			lost = append(lost, c.Carry)
			continue
		}
		if err := w.repeatReview(halves[c.to], last.reviews[c.from], &c.Review, false); err != nil {
			return nil, nil, err
		}
		carried = append(carried, c.Carry)
	}
	return carried, lost, nil
}

// holds says why the review of one half does not hold for another call of it.
func holds(was scoring.Fruit, set scoring.Reference, now scoring.Fruit, other scoring.Reference) Loss {
	a, b := was.Call, now.Call
	now.Review = nil
	switch {
	case set.Name != other.Name || set.Scale != other.Scale:
		return OtherSet
	case !was.Review.Override && (!now.Scored() || a.Stage < b.Low || a.Stage > b.High || b.Stage < a.Low || b.Stage > a.High):
		return CallMoved
	}
	return ""
}

// samePlaces gives, for each half of one scoring of a photo, the place in another
// of the half that lies where it lies; -1 for none. Halves of a tray do not
// overlap, so centres nearer than half a radius are those of one fruit.
func samePlaces(a, b []scoring.Fruit) []int {
	nearest := func(f scoring.Fruit, among []scoring.Fruit) int {
		best := slices.MinFunc(indices(among), func(i, j int) int {
			return cmp.Compare(distance(f, among[i]), distance(f, among[j]))
		})
		if distance(f, among[best]) > min(f.Place.Radius, among[best].Place.Radius)/2 {
			return -1
		}
		return best
	}
	out := make([]int, len(a))
	for i, f := range a {
		out[i] = nearest(f, b)
		if out[i] >= 0 && nearest(b[out[i]], a) != i {
			out[i] = -1
		}
	}
	return out
}

func distance(a, b scoring.Fruit) float64 { return apart(a.Place, b.Place) }

// apart is the distance between the centres of two places, px.
func apart(a, b scoring.Place) float64 {
	return math.Hypot(a.Centre[0]-b.Centre[0], a.Centre[1]-b.Centre[1])
}

func indices[T any](of []T) []int {
	out := make([]int, len(of))
	for i := range out {
		out[i] = i
	}
	return out
}

// numbersFor gives a new scoring of a tray the numbers of the same fruit; where
// not all halves are the same, it numbers them from the lowest on.
func (t *scored) numbersFor(now scoring.Report, n Numbering) []int {
	numbers := make([]int, len(now.Fruit))
	found := 0
	for i, j := range samePlaces(t.report.Fruit, now.Fruit) {
		if j >= 0 {
			numbers[j] = t.report.Fruit[i].Number
			found++
		}
	}
	if found == len(numbers) && found == len(t.report.Fruit) {
		return numbers
	}
	return n.numbers(slices.Min(numbersIn(t.report)), len(numbers))
}

// repeatReviews gives the same halves under a new scoring the reviews they had.
func (w writer) repeatReviews(last *scored, halves []int64) error {
	for i, f := range last.report.Fruit {
		if f.Review == nil {
			continue
		}
		if err := w.repeatReview(halves[i], last.reviews[i], f.Review, false); err != nil {
			return err
		}
	}
	return nil
}

// repeatReview writes that a review given before counts for a half; undone says
// that it does because the one after it was taken back.
func (w writer) repeatReview(half, origin int64, r *scoring.Review, undone bool) error {
	_, err := w.add("review",
		column{"half", half}, column{"override", r.Override}, column{"stage", r.Stage}, column{"why", r.Why},
		column{"undone", sql.NullBool{Bool: undone, Valid: undone}}, column{"origin", origin},
		column{"at", w.at}, column{"who", r.By})
	return err
}
