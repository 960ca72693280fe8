package diagram

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/placing"
	"kinorder.example/server/internal/wording"
)

// plan arranges people in a grouping of all; their ids are their numbers.
func plan(t testing.TB, people []event.Person) event.Standing {
	t.Helper()
	e := event.Event{Groupings: []event.Grouping{{ID: "all"}}}
	for q, p := range people {
		p.ID = fmt.Sprint(q)
		p.Name = "Guest " + p.ID
		e.People = append(e.People, p)
		e.Groupings[0].Members = append(e.Groupings[0].Members, p.ID)
	}
	out, err := placing.Arrange(t.Context(), e, "all", nil)
	if err != nil {
		t.Fatal(err)
	}
	return out.Standing()
}

// names gives people their names by number.
func names(list ...string) map[string]string {
	out := map[string]string{}
	for q, name := range list {
		out[fmt.Sprint(q)] = name
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
	people := []event.Person{{}, {}, {AgeBand: event.Infant}, {Needs: []event.Need{event.Seat}}}
	svg, err := SVG(plan(t, people), names("Ada & Bo <x>", "Nguyễn Thị Thanh Hương", "Mia", "ليلى الحداد"), English(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	shown := strings.Join(wellFormed(t, svg), " ")
	for _, want := range []string{"Ada & Bo", "<x>", "Nguyễn", "Hương", "+ Mia", "ليلى", "on a chair", "camera"} {
		if !strings.Contains(shown, want) {
			t.Errorf("%q is missing in %q", want, shown)
		}
	}
	if strings.Contains(svg, "url(") || strings.Contains(svg, "href") {
		t.Error("the picture asks for something from elsewhere")
	}
}

func TestManyPeopleAreNumbered(t *testing.T) {
	needs.Time(t)
	people := make([]event.Person, 60)
	list := make([]string, 60)
	for q := range people {
		people[q].HeightCM = 155 + q%30
		list[q] = "Somebody Withalongername " + string(rune('A'+q%26))
	}
	people[7].AgeBand, people[7].HeightCM = event.Infant, 0
	list[9] = "欧阳娜娜"
	list[11] = "يوسف"
	sixty := plan(t, people)
	svg, err := SVG(sixty, names(list...), English(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	shown := strings.Join(wellFormed(t, svg), " ")
	for _, want := range []string{"Back row", "Front row", "60", "欧阳娜娜", "(holding", "Somebody\u00a0Withalongername\u00a0A", wording.Isolate("يوسف")} {
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

// A unit is 0.94 points on a page and 0.91 on a card: nothing is set in less than 9 points, and where that has no room
// Legible says so.
func TestTypeIsNotSmall(t *testing.T) {
	least := func(s event.Standing, o Options) float64 {
		svg, err := SVG(s, names(), English(), o)
		if err != nil {
			t.Fatal(err)
		}
		smallest := 100.0
		for _, m := range regexp.MustCompile(`font-size="([0-9.]+)"`).FindAllStringSubmatch(svg, -1) {
			size, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			smallest = min(smallest, size)
		}
		return smallest
	}
	for _, c := range []struct {
		people int
		on     bool // a card has room for the numbers
	}{{3, true}, {9, true}, {40, false}} {
		s := event.Standing{Rows: []event.StandingRow{{WidthCM: 50 * c.people}}}
		for k := range c.people {
			s.Rows[0].Places = append(s.Rows[0].Places, event.StandingPlace{Person: fmt.Sprint(k), XCM: 50*k - 25*(c.people-1), WidthCM: 50, HeadCM: 100 + 20*(k%4)})
		}
		if got := len(CardWidths(s)) > 0; got != c.on {
			t.Errorf("%d people on a card: %v", c.people, got)
		}
		if got := least(s, Options{Width: HalfWidth, NumbersOnly: true}); (got >= 10) != c.on {
			t.Errorf("%d people on a card: type of %g", c.people, got)
		}
		if got := least(s, Options{}); c.on && got < 9.55 {
			t.Errorf("%d people on a page: type of %g", c.people, got)
		}
	}
}

func TestPosturesLookDifferent(t *testing.T) {
	bodies := map[string]event.Posture{}
	for posture := event.Upright; posture <= event.InWheelchair; posture++ {
		p := picture{}
		p.body(figure{posture: posture, x: 50, y: 20, r: 10, shoulders: 18, base: 70})
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
		{"欧阳娜娜", 2.2, 0, false}, // no name is broken inside
		{"欧阳娜娜", 4.5, 1, true},
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
	s := plan(t, []event.Person{{}, {AgeBand: event.Infant}, {HeightCM: 180}})
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
	if len(rows) != 1 || rows[0].Caption != "" || strings.Contains(shown, "One row") || len(rows[0].People) != 3 { // the picture says it
		t.Fatalf("%+v", rows)
	}
	for k, p := range rows[0].People {
		if p.Number != k+1 || p.Holding != (p.ID == "1") {
			t.Errorf("%+v", p)
		}
	}
}

// Words say how people hold still where not all stand in one row on the ground.
func TestRowsWithWords(t *testing.T) {
	s := plan(t, []event.Person{{Needs: []event.Need{event.Seat}}, {}, {}})
	svg, err := SVG(s, names("Ada", "Bo", "Cy"), English(), Options{Width: HalfWidth, NumbersOnly: true})
	if rows := Rows(s, English()); err != nil || rows[0].Caption == "" || !strings.Contains(strings.Join(wellFormed(t, svg), " "), "on a chair") {
		t.Errorf("%+v %s", rows, svg)
	}
}

func TestNobodyIsNotDrawn(t *testing.T) {
	if _, err := SVG(event.Standing{}, nil, English(), Options{}); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v, want ErrInvalid", err)
	}
	if _, err := SVG(plan(t, make([]event.Person, 2)), nil, English(), Options{Width: 5}); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v, want ErrInvalid", err)
	}
}

func FuzzNames(f *testing.F) {
	for _, name := range []string{"Ada", "", "\x00\u202eevil", "a\ufffeb", "\xff\xfe", "王小明", "<script>", strings.Repeat("x", 300)} {
		f.Add(name)
	}
	three := plan(f, []event.Person{{}, {AgeBand: event.Infant}, {AgeBand: event.Child}})
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

// Words about a row are never cut at the edge: they are narrowed a little, and a picture for which that is not enough is wider.
func TestWordsAboutRowsHaveRoom(t *testing.T) {
	two := event.Standing{Rows: []event.StandingRow{{WidthCM: 100, Places: []event.StandingPlace{
		{Person: "0", XCM: -25, WidthCM: 50, HeadCM: 120, Posture: event.OnChair}, {Person: "1", XCM: 25, WidthCM: 50, HeadCM: 120, Posture: event.InWheelchair},
	}}}}
	w := English()
	who := names("Ada", "Bo")
	if got := Least(two, who, w); got != ThirdWidth {
		t.Errorf("%g for short words", got)
	}
	w.Postures[event.OnChair] = "on the garden chairs"
	if got := Least(two, who, w); got != HalfWidth {
		t.Errorf("%g for long words", got)
	}
	svg, err := SVG(two, who, w, Options{Width: ThirdWidth})
	if err != nil || !strings.Contains(svg, `textLength="168.0"`) {
		t.Errorf("%v\n%s", err, svg)
	}
}

// A number that is wider than its head stands below the figure, where it covers nobody.
func TestNumbersOfManyStandBelow(t *testing.T) {
	row := event.StandingRow{WidthCM: 40 * 50}
	for q := range 40 {
		row.Places = append(row.Places, event.StandingPlace{Person: strconv.Itoa(q), XCM: 50*q - 975, WidthCM: 50, HeadCM: 170})
	}
	svg, err := SVG(event.Standing{Rows: []event.StandingRow{row}}, map[string]string{}, English(), Options{NumbersOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	head := regexp.MustCompile(`<circle cx="[0-9.]+" cy="([0-9.]+)" r="([0-9.]+)"`).FindStringSubmatch(svg)
	number := regexp.MustCompile(`y="([0-9.]+)" font-size="[0-9.]+" fill="#000" stroke="#fff"`).FindStringSubmatch(svg)
	at := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
	if at(number[1]) < at(head[1])+4*at(head[2]) {
		t.Errorf("a number at %s on a head at %s", number[1], head[1])
	}
}

// How people hold still is said from left to right, as the picture shows them.
func TestPosturesFromLeftToRight(t *testing.T) {
	three := event.Standing{Rows: []event.StandingRow{{WidthCM: 150, Places: []event.StandingPlace{
		{Person: "0", XCM: -50, WidthCM: 50, HeadCM: 120, Posture: event.OnChair}, {Person: "1", WidthCM: 50, HeadCM: 170}, {Person: "2", XCM: 50, WidthCM: 50, HeadCM: 170},
	}}}}
	if got := Rows(three, English())[0].Caption; got != "One row, on a chair / standing" {
		t.Error(got)
	}
}

// A number of two digits is above the head of a child, which does not hold it, and in the head of a grown-up.
func TestNumbersOfChildren(t *testing.T) {
	row := event.StandingRow{WidthCM: 12 * 50}
	for q := range 12 {
		row.Places = append(row.Places, event.StandingPlace{Person: strconv.Itoa(q), XCM: 50*q - 275, WidthCM: 50, HeadCM: 170 - 70*(q/11)})
	}
	svg, err := SVG(event.Standing{Rows: []event.StandingRow{row}}, map[string]string{}, English(), Options{NumbersOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	heads := regexp.MustCompile(`cy="([0-9.]+)" r="([0-9.]+)"[^>]*/><text x="[0-9.]+" y="([0-9.]+)"`).FindAllStringSubmatch(svg, -1)
	if len(heads) != 12 {
		t.Fatal(svg)
	}
	at := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
	for q, h := range heads {
		if inside := at(h[3]) > at(h[1]); inside != (q < 11) {
			t.Errorf("number %d at %s, head at %s of %s", q+1, h[3], h[1], h[2])
		}
	}
}
