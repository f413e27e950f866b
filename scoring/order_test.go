package scoring

import (
	"testing"
	"time"

	"traystage/scoring/trend"
	"traystage/scoring/words"
)

func TestOrder(t *testing.T) {
	edge := func(on, low, high string) trend.Edge {
		e := trend.Edge{By: "stage", Forecast: trend.Forecast{Reach: trend.Reached, Day: day(t, on)}}
		if low != "" {
			e.Low = day(t, low)
		}
		if high != "" {
			e.High = day(t, high)
		}
		return e
	}
	closes := &trend.Window{Opens: edge("2026-09-12", "", ""), Closes: edge("2026-09-23", "2026-09-19", "2026-09-25")}
	backwards := &trend.Window{Opens: edge("2026-10-01", "", ""), Closes: edge("2026-09-23", "", "")}
	open := &trend.Window{Closes: edge("2026-09-23", "2026-09-19", "")}
	for _, row := range []struct {
		state  State
		sure   bool
		window *trend.Window
		serves []Service
		next   string
		en, es string
	}{
		{Open, true, closes, nil, "2026-09-24", "pick Mill Row for long CA by 23 September (19 Sep to 25 Sep)", "coseche Mill Row para long CA a más tardar el 23 de septiembre (19 sep a 25 sep)"},
		{Closing, true, open, nil, "2026-09-24", "pick Mill Row for long CA by 23 September (not before 19 Sep)", "coseche Mill Row para long CA a más tardar el 23 de septiembre (no antes del 19 sep)"},
		{Open, true, nil, nil, "2026-09-24", "pick Mill Row for long CA", "coseche Mill Row para long CA"},
		{Open, false, closes, nil, "2026-09-21", "sample Mill Row again on 21 September; if it is ready for long CA, pick by 23 September (19 Sep to 25 Sep)", "muestree Mill Row de nuevo el 21 de septiembre; si está listo para long CA, coseche a más tardar el 23 de septiembre (19 sep a 25 sep)"},
		{Open, false, nil, nil, "2026-09-10", "sample Mill Row again now, as it was due on 10 September; until then do not pick it for long CA: it is not sure to be ready", "muestree Mill Row de nuevo ahora, pues tocaba el 10 de septiembre; hasta entonces no coseche para long CA: no es seguro que esté listo"},
		{TooEarly, true, nil, nil, "2026-09-24", "do not pick Mill Row yet: sample again on 24 September", "no coseche Mill Row todavía: muestree de nuevo el 24 de septiembre"},
		{TooEarly, true, nil, nil, "", "do not pick Mill Row yet: sample again soon", "no coseche Mill Row todavía: muestree de nuevo pronto"},
		{TooEarly, false, closes, nil, "2026-09-24", "do not pick Mill Row yet: sample again on 24 September; its window for long CA is expected from 12 September", "no coseche Mill Row todavía: muestree de nuevo el 24 de septiembre; se espera su ventana para long CA desde el 12 de septiembre"},
		{Past, true, closes, []Service{{Market: "fresh", Now: Open}, {Market: "late", Now: Past}}, "", "do not pick Mill Row for long CA any more: it still serves fresh", "ya no coseche Mill Row para long CA: todavía sirve para fresh"},
		{Past, true, closes, nil, "", "Mill Row is past long CA and serves no other market of its variety: ask your marketer", "Mill Row ya pasó para long CA y no sirve para otro mercado de su variedad: consulte a su comercializadora"},
		{Past, true, closes, []Service{{Market: "long CA", Now: Past, Sure: true}, {Market: "fresh", Now: Past, Sure: true}}, "", "Mill Row is past long CA and serves no other market of its variety: ask your marketer", "Mill Row ya pasó para long CA y no sirve para otro mercado de su variedad: consulte a su comercializadora"},
		{Past, true, closes, []Service{{Market: "long CA", Now: Past, Sure: true}, {Market: "fresh", Now: Past}}, "", "do not pick Mill Row for long CA any more: it may be past fresh as well, which is not sure; ask your marketer", "ya no coseche Mill Row para long CA: puede que ya haya pasado también para fresh, pero no es seguro; consulte a su comercializadora"},
		{Past, true, closes, []Service{{Market: "fresh", Now: TooEarly}}, "", "do not pick Mill Row for long CA any more: it is too early for fresh, which it may still come to serve; ask your marketer", "ya no coseche Mill Row para long CA: es demasiado pronto para fresh, aunque todavía puede llegar a servir; consulte a su comercializadora"},
		{Past, false, closes, nil, "2026-09-21", "sample Mill Row again on 21 September: it looks past long CA, but that is not sure", "muestree Mill Row de nuevo el 21 de septiembre: parece haber pasado para long CA, pero no es seguro"},
		{Past, false, closes, []Service{{Market: "long CA", Now: Past}, {Market: "fresh", Now: TooEarly}}, "2026-09-21", "sample Mill Row again on 21 September: it looks past long CA, but that is not sure; it may still come to serve fresh", "muestree Mill Row de nuevo el 21 de septiembre: parece haber pasado para long CA, pero no es seguro; aún puede llegar a servir para fresh"},
		{Past, false, closes, []Service{{Market: "fresh", Now: Open}, {Market: "late", Now: TooEarly}}, "2026-09-21", "sample Mill Row again on 21 September: it looks past long CA, but that is not sure; it serves fresh", "muestree Mill Row de nuevo el 21 de septiembre: parece haber pasado para long CA, pero no es seguro; sirve para fresh"},
		{TooEarly, false, backwards, nil, "2026-09-24", "do not pick Mill Row yet: sample again on 24 September", "no coseche Mill Row todavía: muestree de nuevo el 24 de septiembre"},
		{NoVerdict, false, nil, nil, "2026-09-24", "there is no verdict on Mill Row: see why, and sample again on 24 September", "no hay veredicto sobre Mill Row: vea por qué, y muestree de nuevo el 24 de septiembre"},
	} {
		r := BlockReport{
			Block: Block{Name: "Mill Row", Market: "long CA"}, Sample: &Sample{}, Now: row.state, NowSure: row.sure, Window: row.window,
			Verdict: Verdict{Serves: row.serves},
		}
		var due time.Time
		if row.next != "" {
			due = day(t, row.next)
		}
		order := r.orderWith(sampleNext(due, day(t, "2026-09-17")))
		if got := words.For("en").Say(order); got != row.en {
			t.Errorf("%s, sure %v: %q, want %q", row.state, row.sure, got, row.en)
		}
		if got := words.For("es").Say(order); got != row.es {
			t.Errorf("%s, sure %v: %q, want %q", row.state, row.sure, got, row.es)
		}
	}
	for due, want := range map[string]string{
		"2026-09-10": "take the first sample of Hill Top now, as it was due on 10 September",
		"2026-09-17": "take the first sample of Hill Top today",
		"2026-09-18": "take the first sample of Hill Top on 18 September",
	} {
		r := BlockReport{Block: Block{Name: "Hill Top"}, Now: NoVerdict}
		if got := words.For("en").Say(r.orderWith(sampleNext(day(t, due), day(t, "2026-09-17")))); got != want {
			t.Errorf("due on %s: %q, want %q", due, got, want)
		}
	}
}

// An open block is not to be sampled after the day by which it is to be picked.
func TestSampleBeforeClose(t *testing.T) {
	closing := func(on string) *trend.Window {
		return &trend.Window{Closes: trend.Edge{Forecast: trend.Forecast{Reach: trend.Reached, Day: day(t, on)}}}
	}
	for _, row := range []struct {
		state     State
		window    *trend.Window
		due, want string
	}{
		{Open, closing("2026-09-23"), "2026-09-24", "2026-09-22"},
		{Closing, closing("2026-09-23"), "2026-09-21", "2026-09-21"},
		{Closing, closing("2026-09-19"), "2026-09-24", "2026-09-20"}, // today
		{TooEarly, closing("2026-09-23"), "2026-09-24", "2026-09-24"},
		{Open, nil, "2026-09-24", "2026-09-24"},
	} {
		r := BlockReport{Now: row.state, Window: row.window}
		if got := r.beforeClose(day(t, row.due), day(t, "2026-09-20")); !got.Equal(day(t, row.want)) {
			t.Errorf("%s: due %s becomes %s, want %s", row.state, row.due, got.Format(time.DateOnly), row.want)
		}
	}
}
