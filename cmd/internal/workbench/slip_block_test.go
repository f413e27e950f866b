package workbench

import "testing"

func TestAlmostTheSameName(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want bool
	}{
		{"Mill Row", "mill-row", true},
		{"Brook 5", "Brook5", true},
		{"Mill Row", "Mil Row", true},
		{"Mill Row", "Mill Roww", true},
		{"Mill Row", "Mill Raw", true},
		{"Mill Row", "Mlil Row", true},
		{"Brook 5", "Brook 6", false}, // neighbours
		{"Brook 5", "Brook 15", false},
		{"Brook 1a", "Brook 1b", false},
		{"North A", "North B", false},
		{"North A", "Nrth A", true},
		{"Brook 5", "Brook 55", false},
		{"Hill Top", "Hill Side", false},
		{"A", "B", false},
		{"East", "West", false},
		{"Nord", "Norden", false},
		{"Sad Żółty", "Sad Zolty", false}, // more than one letter
		{"园地东", "园地西", false},             // too short for a slip to be told
	} {
		if got := almost(tt.a, tt.b); got != tt.want {
			t.Errorf("almost(%q, %q) is %v", tt.a, tt.b, got)
		}
		if got := almost(tt.b, tt.a); got != tt.want {
			t.Errorf("almost(%q, %q) is %v", tt.b, tt.a, got)
		}
	}
}

func TestBlockName(t *testing.T) {
	for name, fine := range map[string]bool{"Brook 5": true, "50 %": true, "🍎": true, "...": true, ".": false, " .. ": false, "Bro\xffok": false} {
		if err := blockName(name); (err == nil) != fine {
			t.Errorf("%q: %v", name, err)
		}
	}
	for _, names := range [][2]string{{"🍎", "+"}, {"", "Brook 5"}} {
		if almost(names[0], names[1]) {
			t.Errorf("%q is almost %q", names[0], names[1])
		}
	}
}
