package instrument

import (
	"fmt"
	"math"
	"strings"
	"unicode"
)

// mostSides is the number of places that one fruit can be pressed at.
const mostSides = 8

// ParseFirmness reads the sides of one fruit, parted by slashes, with or
// without a unit behind the last or behind each: "17.2/16.8", "17.2/16.8 lb",
// "7,8 kg/7,6 kg". Without one they are in the given unit; one that was written
// holds whatever unit is given. The tip is taken to be the one for apples.
// Whether the values can be those of an apple is another matter, see
// Firmness.Plausible.
func ParseFirmness(s string, unit Unit) (Firmness, error) {
	parts := strings.Split(withoutSlash(s), "/")
	if len(parts) > mostSides {
		return Firmness{}, fmt.Errorf("firmness %q has %d sides; write those of one fruit, as in 17.2/16.8", s, len(parts))
	}
	f := Firmness{Sides: make([]Force, len(parts)), Tip: AppleTip}
	var written Unit
	for i, part := range parts {
		value, name := splitUnit(part)
		x, err := ParseNumber(value)
		if err != nil {
			return Firmness{}, fmt.Errorf("firmness %q is not a number, nor several parted by slashes; write it like 17.2/16.8", s)
		}
		f.Sides[i] = Force{Value: x}
		if name == "" {
			continue
		}
		u, err := ParseUnit(name)
		if err != nil {
			return Firmness{}, fmt.Errorf("firmness %q: %w", s, err)
		}
		if written != "" && u != written {
			return Firmness{}, fmt.Errorf("firmness %q is in %s and in %s; write both sides in one unit", s, written, u)
		}
		written = u
	}
	if written == "" {
		written = unit
	}
	if !written.Valid() {
		return Firmness{}, fmt.Errorf("firmness %q has no unit; write lbf, kgf or N behind it", s)
	}
	for i := range f.Sides {
		f.Sides[i].Unit = written
	}
	return f, nil
}

// withoutSlash writes the units of pressure that ParseUnit takes without their
// slash, so that all others part sides.
func withoutSlash(s string) string {
	return strings.NewReplacer("/cm2", "cm2", "/cm²", "cm2", "/cm^2", "cm2").Replace(s)
}

// splitUnit parts a number from the letters behind it.
func splitUnit(s string) (number, unit string) {
	i := strings.IndexFunc(s, func(r rune) bool { return unicode.IsLetter(r) || r == '°' || r == 'º' || r == '%' })
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// ParseSolids reads soluble solids and the temperature of the juice, where it
// is known: "12.4", "12.4@18C", "12,4 °Brix @ 64 °F". Without a letter the
// temperature is in °C. The instrument is taken not to correct for it. Whether
// the value can be that of an apple is another matter, see Solids.Plausible.
func ParseSolids(s string) (Solids, error) {
	text, warmth, warm := strings.Cut(s, "@")
	value, unit := splitUnit(text)
	brix, err := ParseNumber(value)
	if err != nil {
		return Solids{}, fmt.Errorf("soluble solids %q are not a number; write them like 12.4 or 12.4@18C", s)
	}
	if !brixNames[strings.ToLower(unit)] {
		return Solids{}, fmt.Errorf("soluble solids %q: %q is not a unit of them; write °Brix like 12.4 or 12.4@18C", s, unit)
	}
	out := Solids{Brix: brix}
	if warm {
		celsius, err := parseCelsius(warmth)
		if err != nil {
			return Solids{}, fmt.Errorf("soluble solids %q: %w", s, err)
		}
		out.Celsius = &celsius
	}
	return out, nil
}

var brixNames = map[string]bool{"": true, "%": true, "brix": true, "°brix": true, "ºbrix": true, "°bx": true, "bx": true, "°": true}

// parseCelsius reads a temperature: "18", "18 C", "18 °C", "64F". The result is
// in °C.
func parseCelsius(s string) (float64, error) {
	value, unit := splitUnit(s)
	x, err := ParseNumber(value)
	if err != nil {
		return 0, fmt.Errorf("temperature %q is not a number; write it like 18 or 64F", strings.TrimSpace(s))
	}
	switch strings.ToLower(strings.TrimSpace(strings.TrimLeft(unit, "°º"))) {
	case "", "c", "celsius":
		return x, nil
	case "f", "fahrenheit":
		return fromFahrenheit(x), nil
	}
	return 0, fmt.Errorf("temperature %q: %q is not °C or °F", strings.TrimSpace(s), unit)
}

// fromFahrenheit is to the hundredth of a °C, finer than any thermometer of the
// trade: 32 °F are 0 °C and 1.8 °F are 1 °C, by definition.
func fromFahrenheit(x float64) float64 { return math.Round(100*(x-32)/1.8) / 100 }
