package desk

import (
	"net/http"
	"time"

	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

// card is one block on the page of the day.
type card struct {
	Name     string
	Variety  string
	Market   string
	Prospect scoring.Prospect
	Errand   *workbench.Errand // nil when no sample is due
	Late     int               // days that it is overdue; 0 or less: not
}

type todayPage struct {
	Day   time.Time
	Due   []card // in the order of the plan
	Rest  []card // in picking order
	Looks int
	Texts map[string]string
}

// today shows the day's work: which blocks want a sample, in which order.
func (d *Desk) today(w http.ResponseWriter, r *http.Request, v visit) error {
	now, err := d.view.get(r.Context())
	if err != nil {
		return err
	}
	data := todayPage{Day: now.Today, Looks: len(now.Looks), Texts: d.outboxTexts(v)}
	data.Due, data.Rest = cards(now)
	p := d.page(r, v, "today", "desk.today.title", data)
	p.Tab = "today"
	return d.pages.render(w, http.StatusOK, p)
}

// soon is how many days ahead a sample that falls due is told of.
const soon = 2

// cards parts the blocks into those that want a sample by now, or soon, and the rest.
func cards(now *day) (due, rest []card) {
	prospects := map[string]scoring.Prospect{}
	for _, p := range now.Outlook.Blocks {
		prospects[p.Block.Name] = p
	}
	for i, e := range now.Plan.Errands {
		if e.Due.After(now.Today.AddDate(0, 0, soon)) {
			continue
		}
		c := newCard(prospects[e.Block.Name])
		c.Name, c.Variety, c.Market = e.Block.Name, e.Block.Variety, e.Block.Market
		c.Errand, c.Late = &now.Plan.Errands[i], int(now.Today.Sub(e.Due).Hours()/24)
		due = append(due, c)
		delete(prospects, e.Block.Name)
	}
	for _, p := range now.Outlook.Blocks {
		if _, left := prospects[p.Block.Name]; left {
			rest = append(rest, newCard(p))
		}
	}
	return due, rest
}

func newCard(p scoring.Prospect) card {
	return card{Name: p.Block.Name, Variety: p.Block.Variety, Market: p.Block.Market, Prospect: p}
}

// outboxTexts are the words of what the scripts show of the outbox.
func (d *Desk) outboxTexts(v visit) map[string]string {
	c := d.words(v)
	return map[string]string{
		"waiting": c.Text("desk.outbox.waiting"), "sending": c.Text("desk.outbox.sending"), "unpaired": c.Text("desk.outbox.unpaired"),
		"again": c.Text("desk.outbox.again"), "drop": c.Text("desk.outbox.drop"), "dropSure": c.Text("desk.outbox.sure"),
		"save": c.Text("desk.outbox.save"), "why": c.Text("desk.outbox.why"), "by": c.Text("desk.by"), "found": c.Text("desk.outbox.found"), "anyway": c.Text("desk.outbox.anyway"),
	}
}
