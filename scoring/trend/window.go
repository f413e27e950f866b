package trend

import "time"

// Criterion is one target that opens or closes a window.
type Criterion struct {
	Name   string  // such as "stage", "firmness"
	Target float64 // on the scale or in the unit of Trend
	Trend  *Trend  // nil when there is none: the criterion is then listed as untold
	// Slack is by how much a mean may miss the target and still read as it: half
	// of the last digit that is told.
	Slack float64
}

// State is where a day lies in a window.
type State string

const (
	NotYet     State = "not open yet"
	Open       State = "open"
	Closing    State = "closing" // open for no more than ClosingDays
	Past       State = "past"
	CannotTell State = "cannot be told"
)

// ClosingDays is how near the close a window is closing. With samples twice a
// week, as they are due by then (Next), the next one comes up to four days
// later: too late to learn of the close from it.
const ClosingDays = 4

// Sureness is the chance from which a state is sure: what lies outside one end of
// a 90 % interval is left to the other side.
const Sureness = (1 + Confidence) / 2

// Hardly is the chance below which a window is said to open on no day.
const Hardly = 0.05

// Edge is one end of a window: its first day, or its last. On both of them the
// block is more likely to meet its standard than not, as State says on the day.
type Edge struct {
	By       string // name of the criterion that most likely decides; empty when there is none
	Forecast        // of the deciding criterion, but Reach, Day, Low and High are those of the edge, which all criteria have a say in; Reach is empty when nothing was asked or told
	Untold   []string
}

// Chances tell how likely a block stands so on a day. They add up to 1.
type Chances struct{ Early, Open, Past float64 }

// Window holds the days between which a block meets its standard.
type Window struct {
	Opens, Closes Edge
	On            time.Time // the day asked about; its beginning is the moment that counts
	State         State     // of that day
	Chances       Chances   // of that day
	// Chance is how likely State is right, [0, 1], Open and Closing taken as one.
	// Sure is whether that is at least Sureness and nothing was left untold.
	Chance float64
	Sure   bool
	// Ever is the chance that the block meets the standard on some day. Never says
	// that it is below Hardly: the window closes before it opens.
	Ever  float64
	Never bool
}

// Days says whether its days mean anything: none do where the block is likelier to close before
// it opens.
func (w Window) Days() bool { return !w.Never && !w.Backwards() }

// Backwards says whether the window is expected to close before it opens.
func (w Window) Backwards() bool {
	return w.Opens.Reach == Reached && w.Closes.Reach == Reached && w.Opens.Day.After(w.Closes.Day)
}

// Between finds the window that opens on the day by which all of opens are
// reached, and closes on the day by which the first of closes is, both days
// included. A standard's first stage and least soluble solids open a window; its
// last stage and least firmness close it. Later samples tighten it, because they
// tighten the trends. Criteria on different trends are taken to err
// independently of each other; those on one trend are passed in their order.
//
// A target that its trend cannot have is an error.
func Between(opens, closes []Criterion, on time.Time) (Window, error) {
	w, j, err := standing(opens, closes, on)
	if err != nil || len(j.gates) == 0 {
		return w, err
	}
	if j.told {
		j.edges(&w)
	}
	w.Ever = j.ever(w)
	w.Never = w.Ever < Hardly
	return w, nil
}

// On tells how a day stands to the window, as Between does, without its days.
func On(opens, closes []Criterion, on time.Time) (Window, error) {
	w, _, err := standing(opens, closes, on)
	return w, err
}

func standing(opens, closes []Criterion, on time.Time) (Window, joint, error) {
	w := Window{On: on, State: CannotTell}
	j := joint{on: on}
	if err := j.add(opens, true, &w.Opens); err != nil {
		return w, j, err
	}
	if err := j.add(closes, false, &w.Closes); err != nil {
		return w, j, err
	}
	if len(j.gates) > 0 {
		w.Chances = j.chances(on)
		j.judge(&w)
	}
	return w, j, nil
}

// judge sets the state from the chances that the window has opened and closed by
// the day: those that its days are the medians of.
func (j *joint) judge(w *Window) {
	switch {
	case j.closed(w.On) > evens:
		w.State, w.Chance = Past, w.Chances.Past
	case j.opened(w.On) < evens-hair:
		w.State, w.Chance = NotYet, w.Chances.Early
	case j.closed(civil(w.On).AddDate(0, 0, ClosingDays+1)) > evens:
		w.State, w.Chance = Closing, w.Chances.Open
	default:
		w.State, w.Chance = Open, w.Chances.Open
	}
	w.Sure = w.Chance >= Sureness && len(w.Opens.Untold)+len(w.Closes.Untold) == 0
}

const (
	hair  = 1e-7       // of a chance, that the computer rounds
	evens = 0.5 + hair // a mean just at its target has reached it, and has not passed it
)

const day = 24 * time.Hour

// civil is midnight UTC of the day.
func civil(t time.Time) time.Time { return t.UTC().Truncate(day) }
