package ledger

import (
	"context"
	"time"

	"traystage/scoring"
)

// PlacedReport is the report on a tray that counts, with where it is.
type PlacedReport struct {
	Block  string
	Picked time.Time
	scoring.Report
}

// TakenAbout gives the trays that count of the whole season whose photos were taken
// within a period of a time, by their cameras' clocks, and those whose photos do not
// tell; all trays where the time is zero.
func (s *Season) TakenAbout(ctx context.Context, at time.Time, within time.Duration) ([]PlacedReport, error) {
	var out []PlacedReport
	err := s.read(ctx, func(r reader) error {
		var of []int64
		places := map[string]PlacedReport{} // by hash
		err := r.each(func(scan func(...any) error) error {
			var id int64
			var hash string
			var taken time.Time
			var p PlacedReport
			err := scan(&id, &hash, moment{&taken, cameraLayout}, &p.Block, day(&p.Picked))
			if at.IsZero() || taken.IsZero() || taken.Sub(clockOf(at)).Abs() <= within {
				of, places[hash] = append(of, id), p
			}
			return err
		}, `SELECT s.id, t.hash, s.taken, b.name, m.picked FROM `+currentTrays+`
			JOIN `+currentSamples+` AS m ON m.sample = e.sample JOIN `+currentBlocks+` AS b ON b.block = m.block
			WHERE NOT e.struck AND m.state IS NULL`)
		if err != nil {
			return err
		}
		all, err := r.scoringsOf(of, true)
		for _, t := range all {
			p := places[t.report.PhotoHash]
			p.Report = t.report
			out = append(out, p)
		}
		return err
	})
	return out, err
}
