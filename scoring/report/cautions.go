package report

// caution is one danger of the test and what to do about it.
//
// Source: U.S. Department of Agriculture, Agricultural Research Service, pages
// on the starch test; International Chemical Safety Card 0167 (iodine), in own
// words. Blades: common practice, no source.
type caution struct{ Danger, Duty string }

var cautions = []caution{
	{"Iodine solution is toxic and stains.", "Wear gloves, keep it off skin and out of eyes, work with fresh air, and lock it away from children and food."},
	{"Treated fruit is waste.", "Put it where no person or animal eats it: not in feed, not on the compost."},
	{"Blades cut.", "Cut on a firm board, away from your hand."},
	{"Labels and rules come first.", "Follow the product’s label, your local rules and licensed advice."},
}

// deference says who decides.
const deference = "Targets differ by variety, market, year and place: leave that to the grower with the marketer and a local adviser."
