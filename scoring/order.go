package scoring

import (
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Order is what to do about the block on the day of the report, in one sentence:
// pick, sample again, or do not pick. It rests on the same state as the verdict,
// and advises: the grower decides, with the marketer and a local adviser.
func (r BlockReport) Order() note.Note {
	return r.orderWith(sampleNext(r.nextSample(r.Origin.Day), r.Origin.Day))
}

// orderWith is the order where the next sample is due so.
func (r BlockReport) orderWith(due note.Note) note.Note {
	block, market, next := note.Name("block", r.Block.Name), note.Name("market", r.Block.Market), note.Notes("next", due)
	again := func(code note.Code, with ...note.Value) note.Note {
		return note.New(code, append(with, block, market, next)...)
	}
	state, w := r.Now, r.Window
	switch {
	case note.Has(r.Warnings, TroubleCode):
		return note.New(OrderTrouble, block)
	case r.Sample == nil:
		return again(OrderFirst)
	case state == NoVerdict:
		return again(OrderNoVerdict)
	case state == TooEarly && w != nil && w.Days() && w.Opens.Reach == trend.Reached:
		return again(OrderWaitTill, note.Day("opens", w.Opens.Day))
	case state == TooEarly:
		return again(OrderWait)
	case state == Past:
		code, others := orderPast(r.NowSure, r.Verdict.Serves)
		if len(others) == 0 {
			return again(code)
		}
		return again(code, note.Names("markets", others))
	case !r.NowSure && w != nil && w.Closes.Reach == trend.Reached:
		return again(OrderSampleFirstBy, note.Day("day", w.Closes.Day), note.Notes("span", spanOf(w.Closes)))
	case !r.NowSure:
		return again(OrderSampleFirst)
	case w == nil || w.Closes.Reach != trend.Reached:
		return note.New(OrderPick, block, market)
	}
	return note.New(OrderPickBy, block, market, note.Day("day", w.Closes.Day), note.Notes("span", spanOf(w.Closes)))
}

// sampleNext says when the next sample is due.
func sampleNext(due, today time.Time) note.Note {
	switch days := daysBetween(today, due); {
	case due.IsZero():
		return note.New("order.soon")
	case days < 0:
		return note.New("order.overdue", note.Day("day", due))
	case days == 0:
		return note.New("order.today")
	}
	return note.New("order.next", note.Day("day", due))
}

// spanOf is the interval of a day that is forecast, as far as it has ends.
func spanOf(e trend.Edge) note.Note {
	switch {
	case e.Low.IsZero() && e.High.IsZero():
		return note.New("span.open")
	case e.Low.IsZero():
		return note.New("span.up_to", note.Day("high", e.High))
	case e.High.IsZero():
		return note.New("span.from", note.Day("low", e.Low))
	}
	return note.New("span.both", note.Day("low", e.Low), note.Day("high", e.High))
}

// orderPast is what is left to do with a block that is past its market, sure or not, and the
// markets that it is said of. Those that it serves come before those that it may come to serve;
// that it serves none is said only where that is sure of all.
func orderPast(sure bool, serves []Service) (note.Code, []string) {
	var still, early, doubtful []string
	for _, s := range serves {
		switch {
		case s.Now == Open || s.Now == Closing:
			still = append(still, s.Market)
		case s.Now == TooEarly:
			early = append(early, s.Market)
		case s.Now == Past && !s.Sure && sure: // another than its own
			doubtful = append(doubtful, s.Market)
		}
	}
	switch {
	case !sure && len(still) > 0:
		return OrderPastUnsureOther, still
	case !sure && len(early) > 0:
		return OrderPastUnsureEarly, early
	case !sure:
		return OrderPastUnsure, nil
	case len(still) > 0:
		return OrderOther, still
	case len(early) > 0:
		return OrderOtherEarly, early
	case len(doubtful) > 0:
		return OrderOtherUnsure, doubtful
	}
	return OrderTooLate, nil
}

// Codes of orders.
const (
	OrderTrouble       note.Code = "order.trouble"         // cannot be assessed: put it right
	OrderFirst         note.Code = "order.first"           // take the first sample
	OrderNoVerdict     note.Code = "order.no_verdict"      // nothing to judge by: decide otherwise
	OrderWait          note.Code = "order.wait"            // do not pick yet
	OrderWaitTill      note.Code = "order.wait_till"       // the same, with the day on which the window is expected to open
	OrderSampleFirst   note.Code = "order.sample_first"    // it may be open: sample before picking
	OrderSampleFirstBy note.Code = "order.sample_first_by" // the same, with the day on which the window is expected to close
	OrderPick          note.Code = "order.pick"            // pick
	OrderPickBy        note.Code = "order.pick_by"         // pick by the day on which the window is expected to close
	OrderOther         note.Code = "order.other"           // past its market: it serves others
	OrderOtherEarly    note.Code = "order.other_early"     // past its market: it may come to serve others
	OrderOtherUnsure   note.Code = "order.other_unsure"    // past its market, and whether past all others is not sure
	OrderTooLate       note.Code = "order.too_late"        // past all that the table knows

	OrderPastUnsure      note.Code = "order.past_unsure"       // not sure to be past its market: sample again
	OrderPastUnsureOther note.Code = "order.past_unsure_other" // the same, and it serves others
	OrderPastUnsureEarly note.Code = "order.past_unsure_early" // the same, and it may come to serve others
)
