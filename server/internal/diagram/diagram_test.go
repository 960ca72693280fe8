package diagram

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver/standing"
)

// plan arranges people, whose ids are their numbers.
func plan(t testing.TB, spec standing.Spec) event.Standing {
	t.Helper()
	p, err := standing.NewProblem(spec)
	if err != nil {
		t.Fatal(err)
	}
	out, err := standing.Arrange(p, standing.Options{Moves: 1000})
	if err != nil {
		t.Fatal(err)
	}
	var s event.Standing
	for r, row := range out.Rows {
		w := event.StandingRow{Kind: event.RowKind(row.Kind) + event.GroundRow, WidthCM: row.WidthCM, AsideCM: row.AsideCM, BaseCM: row.BaseCM}
		for _, q := range row.People {
			w.Places = append(w.Places, place(out, q))
			for held, at := range out.Places {
				if at.HeldBy == q && at.Row == r {
					w.Places = append(w.Places, place(out, held))
				}
			}
		}
		s.Rows = append(s.Rows, w)
	}
	return s
}

func place(p standing.Plan, q int) event.StandingPlace {
	at := p.Places[q]
	out := event.StandingPlace{Person: fmt.Sprint(q), XCM: at.XCM, Posture: event.Posture(at.Posture) + event.Upright, HeadCM: at.HeadCM, WidthCM: at.WidthCM}
	if at.HeldBy >= 0 {
		out.HeldBy = fmt.Sprint(at.HeldBy)
	}
	return out
}

// names gives people their names by number.
func names(list ...string) map[string]string {
	out := map[string]string{}
	for q, name := range list {
		out[fmt.Sprint(q)] = name
	}
	return out
}

// The conversion between both packages goes by the order of their constants.
func TestKindsAndPosturesAreInOneOrder(t *testing.T) {
	for k, want := range []standing.Kind{standing.GroundRow, standing.KneelingRow, standing.ChairRow, standing.StandingRow, standing.StepRow, standing.SecondStepRow} {
		in := []event.RowKind{event.GroundRow, event.KneelingRow, event.ChairRow, event.PlainRow, event.StepRow, event.SecondStepRow}[k]
		if got := kindOf(in); got != want {
			t.Errorf("kind %d is %d, want %d", in, got, want)
		}
	}
	for k, want := range []standing.Posture{standing.Standing, standing.OnGround, standing.Kneeling, standing.OnChair, standing.InWheelchair, standing.OnStep, standing.OnSecondStep, standing.Held} {
		in := []event.Posture{event.Upright, event.OnGround, event.Kneeling, event.OnChair, event.InWheelchair, event.OnStep, event.OnSecondStep, event.Held}[k]
		if got := postureOf(in); got != want {
			t.Errorf("posture %d is %d, want %d", in, got, want)
		}
	}
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
	svg, err := SVG(plan(t, standing.Spec{People: people}), names("Ada & Bo <x>", "Nguyễn Thị Thanh Hương", "Mia", "ليلى الحداد"), English(), Options{})
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
	list := make([]string, 60)
	for q := range people {
		people[q].HeightCM = 155 + q%30
		list[q] = "Somebody Withalongername " + string(rune('A'+q%26))
	}
	people[7].Age, people[7].HeightCM = standing.Infant, 0
	list[9] = "欧阳娜娜"
	list[11] = "يوسف"
	sixty := plan(t, standing.Spec{People: people})
	svg, err := SVG(sixty, names(list...), English(), Options{})
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
	if svg, err = SVG(sixty, names(list...), w, Options{}); err != nil || !strings.Contains(svg, `direction="rtl"`) {
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

func TestNumbersOnly(t *testing.T) {
	s := plan(t, standing.Spec{People: []standing.Person{{}, {Age: standing.Infant}, {HeightCM: 180}}})
	w := English()
	w.Number = func(n int) string { return []string{"٠", "١", "٢", "٣"}[n] }
	svg, err := SVG(s, names("Ada", "Bo", "Cy"), w, Options{Width: HalfWidth, NumbersOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	shown := strings.Join(wellFormed(t, svg), " ")
	if strings.Contains(shown, "Ada") || !strings.Contains(shown, "٣") || !strings.Contains(svg, `viewBox="0 0 272 `) {
		t.Errorf("%s", svg)
	}
	rows := Rows(s, w)
	if len(rows) != 1 || rows[0].Caption != "One row, standing" || len(rows[0].People) != 3 {
		t.Fatalf("%+v", rows)
	}
	for k, p := range rows[0].People {
		if p.Number != k+1 || p.Holding != (p.ID == "1") {
			t.Errorf("%+v", p)
		}
	}
}

func TestNobodyIsNotDrawn(t *testing.T) {
	if _, err := SVG(event.Standing{}, nil, English(), Options{}); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v, want ErrInvalid", err)
	}
	if _, err := SVG(plan(t, standing.Spec{People: make([]standing.Person, 2)}), nil, English(), Options{Width: 5}); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v, want ErrInvalid", err)
	}
}

func FuzzNames(f *testing.F) {
	for _, name := range []string{"Ada", "", "\x00\u202eevil", "a\ufffeb", "\xff\xfe", "王小明", "<script>", strings.Repeat("x", 300)} {
		f.Add(name)
	}
	three := plan(f, standing.Spec{People: []standing.Person{{}, {Age: standing.Infant}, {Age: standing.Child}}})
	f.Fuzz(func(t *testing.T, name string) {
		svg, err := SVG(three, names(name, name, "Bo"), English(), Options{})
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, svg)
		if strings.Contains(svg, "<script") || strings.Contains(svg, "\u202e") {
			t.Errorf("%q got through", name)
		}
	})
}

// A plan from outside can be anything; the picture stays one.
func FuzzPlan(f *testing.F) {
	f.Add(4, 3, 2, 100, 500, -20, "a", "b")
	f.Add(-1, 99, 8, -1<<40, 1<<40, 1<<40, "a", "a")
	f.Fuzz(func(t *testing.T, kind, posture, held, x, width, head int, id, holder string) {
		row := event.StandingRow{Kind: event.RowKind(kind), WidthCM: width, AsideCM: x, BaseCM: head, Places: []event.StandingPlace{
			{Person: id, XCM: x, Posture: event.Posture(posture), HeadCM: head, WidthCM: width},
			{Person: holder, HeldBy: id, Posture: event.Posture(held), XCM: -x},
			{Person: id, HeldBy: holder, Posture: event.Held},
		}}
		s := event.Standing{Rows: []event.StandingRow{row, {}, row}, WidthCM: width}
		svg, err := SVG(s, map[string]string{id: id}, English(), Options{})
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, svg)
		for _, bad := range []string{"NaN", "Inf", "e+"} {
			if strings.Contains(strings.ReplaceAll(svg, id, ""), bad) {
				t.Errorf("%s in %s", bad, svg)
			}
		}
		n := 0
		for _, row := range Rows(s, English()) {
			n += len(row.People)
		}
		if n != 6 {
			t.Errorf("%d people", n)
		}
	})
}
