package sheet_test

import (
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// Nobody is told, on any sheet in any language, that they are free to go before the last photograph of
// their day is over, and everybody is told when they are. KINORDER_DAYS says how many random days.
func TestNobodyIsFreeTooEarly(t *testing.T) {
	days := 500
	if n, err := strconv.Atoi(os.Getenv("KINORDER_DAYS")); err == nil {
		days = n
	}
	if testing.Short() {
		days = 20
	}
	crossing := 0
	for seed := range days {
		rng := rand.New(rand.NewPCG(uint64(seed), 22))
		e := randomDay(rng)
		s, err := planning.Fixed(e, planning.Options{}, randomOrders(rng, e))
		if err != nil { // those orders cannot be kept
			s, err = planning.Plan(t.Context(), e, planning.Options{Work: 1})
		}
		require.NoError(t, err, "day %d", seed)
		if seed%2 == 1 { // a sheet that is given back may have its blocks in any order
			rng.Shuffle(len(s.Blocks), func(i, j int) { s.Blocks[i], s.Blocks[j] = s.Blocks[j], s.Blocks[i] })
		}
		if !slices.IsSortedFunc(s.InTime(), func(x, y event.SheetPlace) int { return x.Block - y.Block }) {
			crossing++
		}
		language := wording.Languages()[seed%len(wording.Languages())]
		newFreeCheck(t, e, s, language).everywhere()
		if t.Failed() {
			t.Fatalf("day %d in %s", seed, language)
		}
	}
	assert.Greater(t, crossing, days/3, "days on which the order of blocks is not that of time")
}

// The same on a day that is less random, in every language.
func TestNobodyIsFreeTooEarlyWithTwoPhotographers(t *testing.T) {
	needs.Time(t)
	raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "cases", "two-photographers.yaml"))
	require.NoError(t, err)
	e, _, err := intake.Read(raw, intake.YAML)
	require.NoError(t, err)
	for i := range e.People { // a name, and whether it was told as one, has to be seen without reading
		e.People[i].Name = fmt.Sprintf("Q%02d", i)
	}
	for i := range e.Circles {
		e.Circles[i].Title = fmt.Sprintf("C%02d", i)
	}
	s, err := planning.Plan(t.Context(), e, planning.Options{Work: 1000})
	require.NoError(t, err)
	require.Empty(t, s.LeftOut)
	for _, language := range wording.Languages() {
		newFreeCheck(t, e, s, language).everywhere()
	}
}

// randomDay is an event with up to four blocks, listed in any order, that may go on at once.
func randomDay(rng *rand.Rand) event.Event {
	e := event.Event{Title: "A day", Date: "2026-06-20", TimeZone: "Europe/Lisbon"}
	e.Emphasis = event.Emphasis(rng.IntN(3))
	people := 5 + rng.IntN(8)
	for i := range people {
		p := event.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("Q%02d", i), AgeBand: event.AgeBand(rng.IntN(4)), Absent: rng.IntN(10) == 0}
		if rng.IntN(6) == 0 {
			p.Needs, p.Interpreter = []event.Need{event.Interpreter}, fmt.Sprintf("p%d", (i+1)%people)
		}
		if rng.IntN(6) == 0 {
			p.PresentFrom = "15:20"
		}
		e.People = append(e.People, p)
	}
	some := func(n int) []string {
		var ids []string
		for _, i := range rng.Perm(people)[:n] {
			ids = append(ids, e.People[i].ID)
		}
		return ids
	}
	for i := range 1 + rng.IntN(3) {
		e.Circles = append(e.Circles, event.Circle{ID: fmt.Sprintf("c%d", i), Title: fmt.Sprintf("C%02d", i), Members: some(2 + rng.IntN(3))})
	}
	opens := []string{"15:00", "15:00", "15:10", "15:30", "17:00"}
	for i := range 1 + rng.IntN(4) {
		e.Blocks = append(e.Blocks, event.Block{
			ID: fmt.Sprintf("b%d", i), Place: []string{"Yard", "Hall"}[i%2], Photographer: []string{"Lead", "Second"}[i%2], Opens: opens[rng.IntN(len(opens))],
		})
		if i == 1 {
			e.Walks = []event.Walk{{From: "Yard", To: "Hall", Minutes: rng.IntN(5)}}
		}
	}
	for i := range 4 + rng.IntN(6) {
		g := event.Grouping{ID: fmt.Sprintf("g%d", i), Title: fmt.Sprintf("Number %d", i), Members: some(1 + rng.IntN(4))}
		switch rng.IntN(6) {
		case 0:
			g.EachOf, g.Title = e.Circles[0].ID, "Each"
		case 1:
			g.Members = []string{e.Circles[len(e.Circles)-1].ID}
		}
		if rng.IntN(3) > 0 {
			g.Blocks = []string{e.Blocks[rng.IntN(len(e.Blocks))].ID}
		}
		e.Groupings = append(e.Groupings, g)
	}
	return e
}

// randomOrders puts each photograph into one of the blocks that may take it. People go to and fro in
// them as in no plan that was searched for.
func randomOrders(rng *rand.Rand, e event.Event) []planning.Order {
	orders := make([]planning.Order, len(e.Blocks))
	for i, b := range e.Blocks {
		orders[i].Block = b.ID
	}
	taken, _ := event.Expand(e)
	rng.Shuffle(len(taken), func(i, j int) { taken[i], taken[j] = taken[j], taken[i] })
	for _, photo := range taken {
		b := rng.IntN(len(orders))
		if len(photo.Blocks) > 0 {
			b = slices.IndexFunc(orders, func(o planning.Order) bool { return o.Block == photo.Blocks[0] })
		}
		orders[b].Photographs = append(orders[b].Photographs, photo.ID)
	}
	return orders
}

// freeCheck reads what the sheets of a day say about when people are free.
type freeCheck struct {
	t        *testing.T
	event    event.Event
	sheet    event.CallSheet
	language string
	cat      *wording.Catalogue
	entries  []event.SheetEntry   // by number, from 1
	ends     []time.Time          // of the entries
	last     map[string]time.Time // by name: the end of the last photograph of the day
	circle   map[string]string    // by name: the title of the circle with which somebody is written to
}

func newFreeCheck(t *testing.T, e event.Event, s event.CallSheet, language string) *freeCheck {
	c := &freeCheck{t: t, event: e, sheet: s, language: language, last: map[string]time.Time{}, circle: map[string]string{}}
	c.cat, _ = wording.For(language)
	c.entries, c.ends = make([]event.SheetEntry, 1), make([]time.Time, 1)
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			end := b.Start.Add(entry.Offset + entry.Length)
			c.entries, c.ends = append(c.entries, entry), append(c.ends, end)
			for _, name := range c.names(slices.Concat(entry.StepIn, entry.Stay, entry.Near)) {
				if end.After(c.last[name]) {
					c.last[name] = end
				}
			}
		}
	}
	for _, r := range c.records(sheet.Times, sheet.PerCircle)[1:] {
		for _, name := range strings.Split(r[0], "; ") {
			c.circle[name] = r[1]
		}
	}
	return c
}

func (c *freeCheck) everywhere() {
	c.sheetItself()
	c.callText()
	c.callPage()
	c.callTable()
	c.finder()
	c.chart()
	c.timesTable()
	c.messages(sheet.PerPerson)
	c.messages(sheet.PerCircle)
	c.calendar(sheet.PerPerson)
	c.calendar(sheet.PerCircle)
}

// told is who was said to be free somewhere, each of them once at least by the time it is used.
type told map[string]bool

// free holds that people, by name, are not told too early that they are free.
func (c *freeCheck) free(where string, names []string, at time.Time, told told) {
	for _, name := range names {
		told[name] = true
		last, wanted := c.last[name]
		assert.True(c.t, wanted && !at.Before(last), "%s: %s is told to be free at %s and is wanted until %s", where, name, at, last)
	}
}

// all holds that everybody was told when they are free, but for the couple, whom nobody sends away.
func (c *freeCheck) all(where string, told told) {
	about := c.names(family.About(&c.event))
	for name := range c.last {
		assert.True(c.t, told[name] || slices.Contains(about, name), "%s: %s is never told to be free", where, name)
	}
}

func (c *freeCheck) names(ids []string) []string {
	var out []string
	for _, id := range ids {
		i := slices.IndexFunc(c.event.People, func(p event.Person) bool { return p.ID == id })
		out = append(out, c.event.People[i].Name)
	}
	return out
}

func (c *freeCheck) draw(kind sheet.Kind, form sheet.Form, per sheet.Per) string {
	out := string(drawn(c.t, c.event, c.sheet, sheet.Options{Kind: kind, Form: form, Per: per, Language: c.language, Width: sheet.MaxWidth, Stamp: stamp}))
	for i, r := range "٠١٢٣٤٥٦٧٨٩" {
		out = strings.ReplaceAll(out, string(r), strconv.Itoa(i/2)) // each takes two bytes
	}
	return strings.NewReplacer("\u2068", "", "\u2069", "").Replace(out)
}

func (c *freeCheck) records(kind sheet.Kind, per sheet.Per) [][]string {
	records, err := csv.NewReader(strings.NewReader(c.draw(kind, sheet.CSV, per))).ReadAll()
	require.NoError(c.t, err)
	return records
}

var (
	anyName  = regexp.MustCompile(`Q\d\d`)
	anyTitle = regexp.MustCompile(`C\d\d`)
	anyClock = regexp.MustCompile(`\d\d:\d\d`)
)

// people reads who is named, with circles, "everyone" and "all of these" taken apart.
func (c *freeCheck) people(text string, entry event.SheetEntry) []string {
	names := anyName.FindAllString(text, -1)
	for _, title := range anyTitle.FindAllString(text, -1) {
		i := slices.IndexFunc(c.event.Circles, func(x event.Circle) bool { return x.Title == title })
		names = append(names, c.present(c.event.Circles[i])...)
	}
	if strings.Contains(text, c.cat.Say("sheet.everyone")) || strings.Contains(text, c.cat.Say("sheet.allOfThese")) {
		names = append(names, c.names(slices.Concat(entry.StepIn, entry.Stay, entry.Near))...)
	}
	return names
}

// present names who is there of a circle, and of the circles in it.
func (c *freeCheck) present(circle event.Circle) []string {
	var out []string
	for _, id := range circle.Members {
		if i := slices.IndexFunc(c.event.Circles, func(x event.Circle) bool { return x.ID == id }); i >= 0 {
			out = append(out, c.present(c.event.Circles[i])...)
		} else if i := slices.IndexFunc(c.event.People, func(p event.Person) bool { return p.ID == id }); !c.event.People[i].Absent {
			out = append(out, c.event.People[i].Name)
		}
	}
	return out
}

// clock reads a time of day as an instant of the event; a day of these tests ends before midnight.
func (c *freeCheck) clock(text string) time.Time {
	at, err := c.event.Instant(text)
	require.NoError(c.t, err)
	return at
}

// sheetItself is what programs and the phones get.
func (c *freeCheck) sheetItself() {
	told := told{}
	for n, entry := range c.entries {
		c.free(fmt.Sprint("sheet, number ", n), c.names(entry.Released), c.ends[n], told)
	}
	c.all("sheet", told)
	for _, p := range c.sheet.People {
		c.free("personal times", c.names([]string{p.Person}), p.Release, told)
	}
}
