package report

import (
	"strings"

	"traystage/scoring"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Message is the report in a few lines of plain text, to be sent to the marketer:
// what is to be done, what was measured, what the fruit serve.
func (b Block) Message() string {
	b.p = penOn(b.Words, b.Origin.Day)
	lines := []string{b.p.sentence(b.p.Say(b.Order()))}
	if b.Sample == nil {
		return message(lines)
	}
	lines = append(lines,
		b.p.Text("message.sample", note.Name("block", join(", ", b.Orchard, b.Block.Name, b.Block.Variety)),
			note.Day("day", b.Sample.Picked), note.Count("n", len(b.Rows))),
		b.p.sentence(words.Sentence(b.p.List(b.measured()))))
	for _, why := range b.Verdict.Foremost() {
		lines = append(lines, b.p.sentence(words.Sentence(b.p.Say(why))))
	}
	if markets := b.Verdict.Markets(); len(markets) > 0 {
		lines = append(lines, b.p.sentence(words.Sentence(b.p.Text("verdict.serves", note.Names("markets", markets)))))
	}
	return message(append(lines, b.p.Text("deference")))
}

// measured are the means with their units.
func (b Block) measured() []string {
	var out []string
	if b.Stage.N > 0 {
		text := b.p.quantity(scoring.StageOf) + " " + b.p.Number(b.Stage.Mean, 1)
		if b.Stage.HasInterval() {
			text += " (" + b.p.interval(b.Stage.Low, b.Stage.High) + ")"
		}
		out = append(out, text)
	}
	for _, s := range b.Statistics {
		if s.Quantity == scoring.GroundOf {
			continue // a score on a card of the grower's own
		}
		out = append(out, b.p.quantity(s.Quantity)+" "+b.p.Number(s.Mean, digits(s.Quantity, s.Unit))+" "+s.Unit)
	}
	return out
}

// Message is the outlook in plain text: what to do about each block, in picking
// order.
func (o Outlook) Message() string {
	o.p = penOn(o.Words, o.Day)
	lines := []string{join(": ", o.Orchard, o.p.Text("under.outlook", note.Day("day", o.Day)))}
	for _, order := range o.orders().Items {
		lines = append(lines, o.p.sentence(order))
	}
	return message(append(lines, o.p.Text("deference")))
}

// Message is the plan in plain text: the samples to take.
func (l Plan) Message() string {
	l.p = penOn(l.Words, l.Day)
	lines := []string{join(": ", l.Orchard, l.p.Text("under.plan", note.Day("day", l.Day)))}
	for _, e := range l.Errands {
		lines = append(lines, l.p.Text("message.errand", note.Day("day", e.Due), note.Name("block", e.Block.Name), note.Count("n", e.Fruit), note.Notes("why", e.Why)))
	}
	if len(l.Errands) == 0 {
		lines = append(lines, l.p.Text("empty.samples"))
	}
	return message(lines)
}

// sentence is text that begins with a capital and ends with a full stop.
func (p pen) sentence(text string) string { return words.Sentence(text) + "." }

// message is lines of plain text, without blanks that do not break.
func message(lines []string) string {
	return strings.ReplaceAll(strings.Join(lines, "\n"), "\u00a0", " ") + "\n"
}
