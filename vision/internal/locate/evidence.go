package locate

// What each cue says for a half or against it: natural logarithms of how many
// times likelier a value is on an outline of a half than on another one, beside what the other cues say of it and between
// the values given a straight line, beyond them no more. They were fitted to tuning trays of
// all painters and photographs of whole fruit, food and rooms (see DEVELOPERS.md), and rounded. No
// cue counts for more than most either way: none proves a half alone.
var table = [cueCount][]likelihood{
	cueEdge:    {{0.75, -2.1}, {0.87, -1.2}, {0.94, 0.4}, {0.98, 2.3}, {1, 2.8}},
	cueJagged:  {{2, 0.6}, {4, -1.2}, {6, -1.5}, {8, -3}},
	cueOblong:  {{1.1, -0.1}, {1.2, -0.9}, {1.35, -3}},
	cueSkin:    {{4, -1.5}, {9, 0.5}, {20, 0.8}},
	cueStar:    {{0.06, -0.4}, {0.15, -0.4}, {0.25, 1.8}},
	cueFold:    {{-0.3, -1.4}, {0.6, 0}, {1.7, 0.9}},
	cueDetail:  {{0.4, -1.4}, {1.1, 1.1}, {1.6, 2.5}},
	cueSeeds:   {{0.03, -1.6}, {0.08, -0.2}, {0.2, 0.3}, {0.35, 0.6}, {0.7, 0.5}, {1.1, -2}},
	cueFlesh:   {{-0.15, 0.3}, {0, -1.7}, {0.1, 0.4}, {0.45, 0.4}, {0.7, -0.5}, {1, -2}},
	cueGreen:   {{-0.25, -1.1}, {-0.12, 0.2}, {0.05, 0.2}, {0.2, -0.9}},
	cueDark:    {{-0.5, -1.3}, {-0.3, 0}, {0.1, 1.2}, {0.4, 0.3}, {0.7, -0.6}, {1, -1.2}},
	cueBlueing: {{-0.2, -1.2}, {-0.06, -0.8}, {0, 0.7}, {0.1, 0.3}, {0.17, 1.3}},
	cueLimb:    {{-0.3, -1.5}, {0, 0.4}, {0.1, 0.4}, {0.25, 1.1}},
}

// likelihood is what one value of a cue says.
type likelihood struct{ value, logRatio float64 }

// Sums of evidence from which a place counts as something.
const (
	unseen      = -1.6 // what the sum begins with: most outlines are none of a half
	possible    = -4.0 // worth a closer look
	likely      = -2.0 // a suspect
	sure        = -0.5 // a half, on a tray with one that teaches: such trays hold more halves than else of that size
	sureClipped = 1.5  // a half that the frame cuts off, by itself
	doubtful    = 2.5  // up to here a half may be taken back where there are too many
	teaching    = 3.5  // sure by itself: tells what the halves of the tray look like
	fewAlone    = 0.5  // of one that teaches with fewest others at least, where none does by itself, or that tells how a tray was cut
	fewest      = 3    // that teach together
	together    = 3.5  // their sum
	clearStep   = 1.0  // by which one face is clearly surer than another
)

// Doubt is what says most against a face.
type Doubt int

const (
	DoubtRim      Doubt = iota // its edge and skin
	DoubtCore                  // its core
	DoubtColours               // the colours of flesh and stain
	DoubtLikeness              // how it resembles the sure halves
	DoubtCut                   // it may have been cut through stem and calyx, or not at all
	DoubtPrinted               // it is as like the others as a picture on a chart
	doubts
)

// about is what each cue is a sign of.
var about = [cueCount]Doubt{
	cueStar: DoubtCore, cueFold: DoubtCore, cueDetail: DoubtCore, cueSeeds: DoubtCore,
	cueFlesh: DoubtColours, cueGreen: DoubtColours, cueDark: DoubtColours, cueBlueing: DoubtColours, cueLimb: DoubtColours,
}

// evidence is what is known for a face and against it, by what it is about.
type evidence [doubts]float64

// evidence adds up what all cues say.
func (c *cues) evidence() (e evidence) {
	for i := range c {
		e[about[i]] += says(table[i], c[i])
	}
	return e
}

// across is what the core says of having been cut across: that some pattern is there says nothing of that, as seeds
// cut lengthwise make one too.
func (c *cues) across() float64 {
	return says(table[cueStar], c[cueStar]) + says(table[cueFold], c[cueFold])
}

// alone is what a face's own look says.
func (e *evidence) alone() float64 { return unseen + e[DoubtRim] + e[DoubtCore] + e[DoubtColours] }

// sum is alone with the likeness to other halves and to fruit that were not cut across.
func (e *evidence) sum() float64 { return e.alone() + e[DoubtLikeness] + e[DoubtCut] }

// worst is what says most against the face.
func (e *evidence) worst() Doubt {
	out := DoubtRim
	for d := range doubts {
		if e[d] < e[out] {
			out = d
		}
	}
	return out
}

// says reads a row of the table at a value.
func says(row []likelihood, value float64) float64 {
	if value <= row[0].value {
		return row[0].logRatio
	}
	for i := 1; i < len(row); i++ {
		a, b := row[i-1], row[i]
		if value < b.value {
			return a.logRatio + (value-a.value)/(b.value-a.value)*(b.logRatio-a.logRatio)
		}
	}
	return row[len(row)-1].logRatio
}

// What likeness to the sure halves of the tray says: by the natural logarithm of the ratio of radii, and
// by how much more of the face than of its surroundings has colours of their faces.
var (
	likeSize    = []likelihood{{0.1, 1}, {0.25, 0}, {0.45, -3}, {0.7, -6}}
	likeColours = []likelihood{{-0.1, -0.5}, {0.2, 0}, {0.6, 2}}
)
