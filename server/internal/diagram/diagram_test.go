package diagram

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"kinorder.example/solver/standing"
)

func plan(t *testing.T, spec standing.Spec) standing.Plan {
	t.Helper()
	p, err := standing.NewProblem(spec)
	if err != nil {
		t.Fatal(err)
	}
	out, err := standing.Arrange(p, standing.Options{Moves: 1000})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// wellFormed parses an SVG and returns the text it shows.
func wellFormed(t *testing.T, svg string) []string {
	t.Helper()
	var texts []string
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return texts
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		if data, ok := token.(xml.CharData); ok {
			if s := strings.TrimSpace(string(data)); s != "" {
				texts = append(texts, s)
			}
		}
	}
}

func TestNamesStandBelowTheFigures(t *testing.T) {
	people := []standing.Person{{}, {}, {Age: standing.Infant}, {Seat: true}}
	names := []string{"Ada & Bo <x>", "Nguyễn Thị Thanh Hương", "Mia", "ليلى الحداد"}
	svg, err := SVG(plan(t, standing.Spec{People: people}), names, English())
	if err != nil {
		t.Fatal(err)
	}
	shown := strings.Join(wellFormed(t, svg), " ")
	for _, want := range []string{"Ada & Bo", "<x>", "Nguyễn", "Hương", "+ Mia", "ليلى", "on chairs", "camera"} {
		if !strings.Contains(shown, want) {
			t.Errorf("%q is missing in %q", want, shown)
		}
	}
	if strings.Contains(svg, "url(") || strings.Contains(svg, "href") {
		t.Error("the picture asks for something from elsewhere")
	}
}

func TestManyPeopleAreNumbered(t *testing.T) {
	people := make([]standing.Person, 60)
	names := make([]string, 60)
	for q := range people {
		people[q].HeightCM = 155 + q%30
		names[q] = "Somebody Withalongername " + string(rune('A'+q%26))
	}
	people[7].Age, people[7].HeightCM = standing.Infant, 0
	names[9] = "欧阳娜娜"
	names[11] = "يوسف"
	svg, err := SVG(plan(t, standing.Spec{People: people}), names, English())
	if err != nil {
		t.Fatal(err)
	}
	shown := strings.Join(wellFormed(t, svg), " ")
	for _, want := range []string{"Back row", "Front row", "60", "欧阳娜娜", "(holding", "Somebody\u00a0Withalongername\u00a0A", isolate + "يوسف" + endIsolate} {
		if !strings.Contains(shown, want) {
			t.Errorf("%q is missing", want)
		}
	}
	w := English()
	w.RightToLeft = true
	if svg, err = SVG(plan(t, standing.Spec{People: people}), names, w); err != nil || !strings.Contains(svg, `direction="rtl"`) {
		t.Errorf("right to left: %v", err)
	}
}

func TestPosturesLookDifferent(t *testing.T) {
	bodies := map[string]standing.Posture{}
	for posture := standing.Standing; posture <= standing.InWheelchair; posture++ {
		p := picture{}
		p.body(standing.Figure{Posture: posture, X: 50, Y: 20, R: 10, Shoulders: 18, Base: 70})
		drawn := p.out.String()
		if other, again := bodies[drawn]; again {
			t.Errorf("postures %d and %d look alike", posture, other)
		}
		bodies[drawn] = posture
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name  string
		room  float64
		lines int
		fits  bool
	}{
		{"Amara Okonkwo", 20, 1, true},
		{"Amara Okonkwo", 5, 2, true},
		{"Amara Okonkwo", 2, 0, false},
		{"Åse Bjørnstad-Halvorsen", 6.5, 3, true},
		{"欧阳娜娜", 2.2, 2, true},
		{"", 5, 0, true},
	} {
		lines, ok := wrap(c.name, c.room, 3)
		if ok != c.fits || (ok && len(lines) != c.lines) {
			t.Errorf("%q in %g: %q, %v", c.name, c.room, lines, ok)
		}
		for _, line := range lines {
			if width(line) > c.room {
				t.Errorf("%q is wider than %g", line, c.room)
			}
		}
	}
}

func TestNamesMustFitThePlan(t *testing.T) {
	if _, err := SVG(plan(t, standing.Spec{People: make([]standing.Person, 3)}), []string{"A"}, English()); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v, want ErrInvalid", err)
	}
	if _, err := SVG(standing.Plan{}, nil, English()); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v, want ErrInvalid", err)
	}
}

func FuzzNames(f *testing.F) {
	for _, name := range []string{"Ada", "", "\x00\u202eevil", "a\ufffeb", "\xff\xfe", "王小明", "<script>", strings.Repeat("x", 300)} {
		f.Add(name)
	}
	p, err := standing.NewProblem(standing.Spec{People: []standing.Person{{}, {Age: standing.Infant}, {Age: standing.Child}}})
	if err != nil {
		f.Fatal(err)
	}
	three, err := standing.Arrange(p, standing.Options{})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, name string) {
		svg, err := SVG(three, []string{name, name, "Bo"}, English())
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, svg)
		if strings.Contains(svg, "<script") || strings.Contains(svg, "\u202e") {
			t.Errorf("%q got through", name)
		}
	})
}
