package sheet_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// pairs is an event of so many photographs of one person, the last but one with two circles of three.
func pairs(photographs int) (event.Event, event.CallSheet) {
	e := event.Event{People: []event.Person{{ID: "p", Name: "Pim"}}}
	for _, c := range []string{"a", "b"} {
		circle := event.Circle{ID: c, Title: strings.Repeat("Household ", 3) + c, Leader: c + "1"}
		for _, n := range []string{"2", "1", "0"} {
			e.People = append(e.People, event.Person{ID: c + n, Name: c + n})
			circle.Members = append(circle.Members, c+n)
		}
		e.Circles = append(e.Circles, circle)
	}
	var order []taken
	for i := range photographs {
		t := taken{id: fmt.Sprint(i), title: fmt.Sprintf("%d %s", i, strings.Repeat("title ", 12)), seconds: 60, members: []string{"p"}}
		if i == max(photographs-2, 0) {
			t.members = append(t.members, e.Circles[0].Members...)
			t.members = append(t.members, e.Circles[1].Members...)
		}
		order = append(order, t)
	}
	return e, event.CallSheet{Blocks: []event.SheetBlock{block("", time.Time{}, order, nil)}}
}

// Whoever is free is named on the pocket list, however full it is: nobody can be sent away by a number.
func TestPocketListNamesAllWhoAreFree(t *testing.T) {
	e, s := pairs(45)
	list := page(t, e, s, sheet.Pocket)
	assert.Contains(t, shown(list[strings.LastIndex(list, ">44<"):]), "7+6Household Household Household a (3), Household Household Household b (3) ")
}

// Whoever gathers a few people who step in is marked among them, on the sheets of both who call them.
func TestLeadersOfFew(t *testing.T) {
	e, s := quay()
	e.Circles[1].Leader = "duarte"
	for _, kind := range []sheet.Kind{sheet.Call, sheet.Reader} {
		entry := strings.Split(page(t, e, s, kind), "<article")[7]
		assert.Regexp(t, `Duarte Sequeira (Amara's brother )?Rounds up the others Bia`, shown("<article"+entry))
		assert.Equal(t, 1, strings.Count(entry, "Rounds up the others"))
	}
	assert.Contains(t, textOf(t, e, s, 0), "Rounds up the others: Duarte Sequeira")
}

// A card of many says by groups who gathers whom, and then has all names from A to Z.
func TestCardOfMany(t *testing.T) {
	e, s := pairs(1)
	e.People = append(e.People, event.Person{ID: "o1", Name: "Åse"}, event.Person{ID: "o2", Name: "Bo"})
	s.Blocks[0].Entries[0].StepIn = append(s.Blocks[0].Entries[0].StepIn, "o1", "o2")
	assert.Contains(t, shown(page(t, e, s, sheet.Cards)), "Round up the others: "+
		"a1 · Household Household Household a (3) b1 · Household Household Household b (3) No helper for: Others (3) "+
		"a0 a1 a2 Åse b0 b1 b2 Bo Pim")
}

// Every sheet of the crew says where a photograph is taken: the caller's and the pocket list at each time slot, the
// finder's at its head, and beside a call that is not where most are.
func TestSheetsSayWhere(t *testing.T) {
	e, s := quay()
	for _, kind := range []sheet.Kind{sheet.Reader, sheet.Finder, sheet.Pocket, sheet.Call} {
		for _, want := range []string{"Quay steps 14:30 to 14:53 · Old quay, by the blue boat shed", "Walled garden 15:15 to 15:20 · Garden behind the hall"} {
			assert.Contains(t, shown(page(t, e, s, kind)), want, kind)
		}
	}
	assert.Contains(t, textOf(t, e, s, 0), "Walled garden 15:15 to 15:20 · Garden behind the hall\n[ ]  9")
}

// Whoever belongs to both sides comes under that, and a couple of two sides together.
func TestFinderKeepsCouplesTogether(t *testing.T) {
	e, s := quay()
	for i := range e.People {
		e.People[i].Side = []string{"a", "l"}[min(i, 1)]
	}
	text := shown(page(t, e, s, sheet.Finder))
	assert.Contains(t, text, "Both sides NamePhoto · Start The couple Amara Sequeira 1")
	assert.Contains(t, shown(string(drawn(t, e, s, sheet.Options{Kind: sheet.Finder, Form: sheet.HTML, Side: "a"}))), "Amara Sequeira 1")
}

// What the planner is told runs in the direction of the sheet, also where it begins with a name that does not.
func TestNotesRunAsTheSheet(t *testing.T) {
	e, s := quay()
	s.Advice = []event.Advice{{Message: wording.Say("%s: %s.", wording.Quoted("Zoltan"), wording.Quoted("ليلى"))}}
	s.LeftOut[0].Why = s.Advice[0].Message
	for _, kind := range []sheet.Kind{sheet.Planner, sheet.Call} {
		page := string(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML, Language: "ar"}))
		require.Contains(t, page, "Zoltan")
		assert.NotRegexp(t, `<bdi dir="auto">[^<]*Zoltan`, page)
	}
}

// Titles on the chart are whole where the rows leave them room.
func TestChartTitlesAreWhole(t *testing.T) {
	for _, people := range []int{10, 50} {
		e, s := crowd(people, 45, 3)
		title := "Amara & Théo with all the nieces, nephews and cousins"
		for i := range s.Blocks[0].Entries {
			s.Blocks[0].Entries[i].Title = title
		}
		chart := page(t, e, s, sheet.Chart)
		assert.Len(t, regexp.MustCompile(`nephews and cousins\x{2069}<`).FindAllString(chart, -1), 45, people)
	}
}

// Photographs that are framed alike share a line of the table of lenses.
func TestEqualLensesShareALine(t *testing.T) {
	e, s := quay()
	for _, k := range []int{0, 2} {
		s.Blocks[0].Entries[k].Lens = &event.EntryLens{FocalMM: 50, DistanceCM: 400, Aperture: 8, NearCM: 300, FarCM: 600}
	}
	assert.Contains(t, shown(page(t, e, s, sheet.Call)), "1, 3: 50 mm from 4 m, f/8")
}

// No line of the chart runs through a name.
func TestNamesOfTheChartAreClear(t *testing.T) {
	e, s := quay()
	_, after, _ := strings.Cut(page(t, e, s, sheet.Chart), `<g stroke="#fff" stroke-width="0.5" stroke-linejoin="round" paint-order="stroke">`)
	names, _, _ := strings.Cut(after, "</g>")
	assert.Equal(t, len(e.People), strings.Count(names, "<text"))
}
