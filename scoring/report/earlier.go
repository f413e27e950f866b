package report

import (
	"strconv"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"traystage/scoring"
)

// pastCourse is how a quantity went through an earlier season, laid over this year.
type pastCourse struct {
	season string
	year   int
	points []pastPoint
}

// pastPoint is one sample's mean on the day of this year that goes with its own.
type pastPoint struct {
	day  time.Time
	mean float64
}

// before and after are how many days before the first sample of this year and after its
// last points of an earlier one are drawn.
const before, after = 10, 21

// earlier are the earlier seasons of a course. Days go together by days from full
// bloom where all seasons know theirs, else by the calendar.
func (b Block) earlier(c scoring.Series) []pastCourse {
	for _, q := range b.Earlier.Quantities {
		if q.Quantity != c.Quantity || q.Unit != c.Unit || len(q.Years) < 2 {
			continue
		}
		now := q.Years[0].Points[0]
		first, last := c.Points[0].Day.AddDate(0, 0, -before), c.Points[len(c.Points)-1].Day.AddDate(0, 0, after)
		var out []pastCourse
		for _, y := range q.Years[1:] {
			past := pastCourse{season: y.Season, year: y.Points[0].DayMean.Day.Year()}
			for _, p := range y.Points {
				day := now.DayMean.Day.Add(time.Duration((p.Day - now.Day) * 24 * float64(time.Hour))).Round(24 * time.Hour)
				if !day.Before(first) && !day.After(last) {
					past.points = append(past.points, pastPoint{day, p.Mean})
				}
			}
			if len(past.points) > 0 {
				out = append(out, past)
			}
		}
		return out
	}
	return nil
}

// addEarlier draws earlier seasons thin, each with its year at its end and a mark of its own
// at each sample, so that they are told apart without colour.
func addEarlier(p *plot.Plot, earlier []pastCourse, at func(time.Time) float64) error {
	marks := []draw.GlyphDrawer{draw.RingGlyph{}, draw.SquareGlyph{}, draw.TriangleGlyph{}}
	for i, e := range earlier {
		var xy plotter.XYs
		for _, point := range e.points {
			xy = append(xy, plotter.XY{X: at(point.day), Y: point.mean})
		}
		course, err := plotter.NewLine(xy)
		if err != nil {
			return err
		}
		course.LineStyle = line(0.8, slate)
		dots, err := scatter(xy, draw.GlyphStyle{Color: slate, Radius: 2.4, Shape: marks[i%len(marks)]})
		if err != nil {
			return err
		}
		name, err := labels(plotter.XYLabels{XYs: xy[len(xy)-1:], Labels: []string{strconv.Itoa(e.year)}}, draw.XLeft, draw.YBottom)
		if err != nil {
			return err
		}
		name.TextStyle[0].Color = slate
		name.Offset = vg.Point{X: 4, Y: -3}
		p.Add(course, dots, name)
	}
	return nil
}
