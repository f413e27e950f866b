package instrument

import (
	"strings"
	"testing"
)

func TestReadHeading(t *testing.T) {
	for _, c := range []struct {
		kind     kind
		headings string // parted by bars
	}{
		{fruitColumn, "fruit|Fruit|FRUIT NO.|apple|no|No.|nr|number|fruit number|half|#|fruit #"},
		{sideColumn, "firmness|Firmness 1|firmness side A|side a|Side 2|pressure 1|Pressure (lbs)|penetrometer lbf|F1|f2 (N)|firmness red side|firm."},
		{brixColumn, "brix|°Brix|Brix %|SSC|TSS (%)|soluble solids|Soluble solids content|sugar|refractometer"},
		{warmthColumn, "temp|Temp.|temperature|juice temp (°C)|Brix temperature|temp F"},
		{redColumn, "red|Red %|red colour|blush|Blush (%)|colour %|Color (%)|percent color|over-red|overcolour"},
		{groundColumn, "ground|ground colour|Ground color (1-4)|background|Background colour"},
		{noteColumn, "note|Notes|remarks|comment|firmness remarks"},
		{blockColumn, "block|Block name"},
		{dayColumn, "date|Day|date picked|Harvest date"},
		{unitColumn, "unit|Units|firmness unit"},
		{tipColumn, "tip|tip (mm)|Tip diameter|plunger"},
		{fruitColumn, "Frucht|Frucht-Nr.|Apfel Nr|Nummer|Hälfte|N°|numéro du fruit|Pomme n°|moitié|Nº de fruto|número|manzana|Frutto|n. mela|numero del frutto"},
		{sideColumn, "Festigkeit 1 (kg)|Fruchtfleischfestigkeit|Druck Seite A|Seite 2|fermeté 1|Fermete (kg/cm2)|pression côté rouge|face A|Firmeza 1|dureza (lb)|lado 2|cara B|Durezza 1 (kg)|consistenza|lato A"},
		{brixColumn, "Zucker|Zuckergehalt (°Brix)|lösliche Trockensubstanz|sucres|Réfractomètre|sólidos solubles|azúcar|zuccheri|Solidi solubili|RSR"},
		{warmthColumn, "Temperatur (°C)|Safttemperatur|température du jus|temperatura del jugo|temperatura"},
		{redColumn, "Deckfarbe %|Rot|Rotanteil|Farbe %|rouge %|coloration|couleur (%)|% rojo|cubrimiento|rosso|sovraccolore %"},
		{groundColumn, "Grundfarbe (1-5)|couleur de fond|color de fondo|colore di fondo"},
		{noteColumn, "Bemerkung|Bemerkungen|remarques|observations|Observación|osservazioni|nota"},
		{blockColumn, "Parzelle|parcelle|cuartel|appezzamento"},
		{dayColumn, "Datum|Pflücktag|jour|date de cueillette|fecha|Día|giorno|data"},
		{unitColumn, "Einheit|unité|unidad|unità"},
		{tipColumn, "Stempel (mm)|embout|émbolo|puntale"},
		{unknown, "Mittelwert Festigkeit|moyenne|promedio brix|media|Gewicht|poids du fruit|peso|Baum|de la"},
		{unknown, "|weight|fruit weight (g)|tree|row|starch|stage|colour|mean firmness|average brix|diameter mm|seeds|days after bloom|F|f3|(lbf)"},
	} {
		for heading := range strings.SplitSeq(c.headings, "|") {
			if got, _, err := readHeading(heading, 0); err != nil || got.kind != c.kind {
				t.Errorf("%q: kind %d (%v), want %d", heading, got.kind, err, c.kind)
			}
		}
	}
}

func TestReadHeadingUnits(t *testing.T) {
	for heading, want := range map[string]Unit{
		"firmness 1": "", "firmness (lbf)": PoundForce, "firmness [KG]": KilogramForce, "firmness 1 N": Newton, "lbs pressure": PoundForce,
		"firmness (sun side) (N)": Newton, "firmness (1) kg/cm2": KilogramForce, "firmness (kgf": KilogramForce, "firmness ()": "",
	} {
		c, pressure, err := readHeading(heading, 0)
		if err != nil || c.unit != want || pressure != strings.Contains(heading, "/cm") {
			t.Errorf("%q is in %q, pressure %v (%v), want %q", heading, c.unit, pressure, err, want)
		}
	}
	for heading, want := range map[string]bool{"temp": false, "temp (C)": false, "temp F": true, "juice (°F) temp": true, "temperature Fahrenheit": true} {
		if c, _, _ := readHeading(heading, 0); c.fahrenheit != want {
			t.Errorf("%q is in °F: %v", heading, c.fahrenheit)
		}
	}
	for heading, want := range map[string]string{"ground": "", "Ground colour (1-4 Card)": "1-4 Card", "background [own fan] (x)": "own fan"} {
		if c, _, _ := readHeading(heading, 0); c.scale != want {
			t.Errorf("%q is on the scale %q, want %q", heading, c.scale, want)
		}
	}
	for _, heading := range []string{"firmness (kPa)", "firmness PSI", "pressure (lb/in2)"} {
		if c, _, err := readHeading(heading, 0); err == nil {
			t.Errorf("%q taken, in %q", heading, c.unit)
		}
	}
}
