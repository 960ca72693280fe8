package sheet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// secret is in every private note of the fixtures and must be in no output.
const secret = "PRIVATE-MARKER-7Q"

// taken is one grouping of a hand-written order.
type taken struct {
	id, title string
	seconds   int
	frames    int
	members   []string
}

// block works out who walks in, out, stays and stands by in an order. It knows nothing of other
// blocks: last says whose last grouping of the day an entry may be.
func block(id string, start time.Time, order []taken, later map[string]bool) event.SheetBlock {
	b := event.SheetBlock{Block: id, Start: start}
	var frame []string
	for i, t := range order {
		e := event.SheetEntry{
			Grouping: t.id, Title: t.title, Frames: t.frames,
			Offset: b.Length, Length: time.Duration(t.seconds) * time.Second,
		}
		for _, p := range t.members {
			if slices.Contains(frame, p) {
				e.Stay = append(e.Stay, p)
			} else {
				e.StepIn = append(e.StepIn, p)
			}
			again := later[p]
			for _, rest := range order[i+1:] {
				again = again || slices.Contains(rest.members, p)
			}
			if !again {
				e.Released = append(e.Released, p)
			}
		}
		for _, p := range frame {
			if !slices.Contains(t.members, p) {
				e.StepOut = append(e.StepOut, p)
			}
		}
		if i+1 < len(order) {
			for _, p := range order[i+1].members {
				if !slices.Contains(t.members, p) {
					e.Standby = append(e.Standby, p)
				}
			}
		}
		frame = t.members
		b.StepIns += len(e.StepIn)
		b.Length += e.Length
		b.Entries = append(b.Entries, e)
	}
	return b
}

// quay is a made-up wedding of two families with names in several scripts.
func quay() (event.Event, event.CallSheet) {
	e := event.Event{
		Title: "Amara and Linh at the old quay", Date: "2027-06-12", TimeZone: "Europe/Lisbon",
		Sides: []event.Side{{ID: "a", Label: "Amara's side"}, {ID: "l", Label: "Linh's side"}},
		People: []event.Person{
			{ID: "amara", Name: "Amara Sequeira"},
			{ID: "linh", Name: "Nguyễn Thị Mỹ Linh", SayAs: "win tee mee lin"},
			{ID: "ines", Name: "Inês Sequeira", SayAs: "ee-NESH", Relation: "Amara's grandmother",
				AgeBand: event.Elder, Needs: []event.Need{event.Seat}, PrivateNote: secret},
			{ID: "teo", Name: "Teo Sequeira", Relation: "Amara's grandfather", AgeBand: event.Elder,
				Needs: []event.Need{event.Wheelchair, event.StepFree}},
			{ID: "rosa", Name: "Rosa Sequeira", Relation: "Amara's mother"},
			{ID: "karim", Name: "كريم المنصوري", SayAs: "ka-REEM", Relation: "Rosa's husband"},
			{ID: "duarte", Name: "Duarte Sequeira", Relation: "Amara's brother"},
			{ID: "bia", Name: "Bia", Relation: "Duarte's daughter", AgeBand: event.Child},
			{ID: "gil", Name: "Gil", Relation: "Duarte's son", AgeBand: event.Infant, PrivateNote: secret},
			{ID: "ba", Name: "Nguyễn Văn Ba", SayAs: "win van bah", Relation: "Linh's father"},
			{ID: "mei", Name: "陳美玲", SayAs: "chun may-ling", Relation: "Linh's mother"},
			{ID: "wei", Name: "陳偉", SayAs: "chun way", Relation: "Linh's uncle"},
			{ID: "po", Name: "陳寶珠", SayAs: "chun bo-joo", Relation: "Linh's grandmother",
				AgeBand: event.Elder, Needs: []event.Need{event.Interpreter}},
			{ID: "an", Name: "An", Relation: "Linh's cousin", AgeBand: event.Child},
			{ID: "jo", Name: "Jo Marlowe"}, {ID: "sam", Name: "Sam Okonjo"},
			{ID: "noa", Name: "נועה לוי", SayAs: "NO-a"}, {ID: "kit", Name: "Kit Halloran-Oyelaran"},
		},
		Circles: []event.Circle{
			{ID: "couple", Title: "The couple", Members: []string{"amara", "linh"}},
			{ID: "duartes", Title: "Duarte's household", Members: []string{"duarte", "bia", "gil"}},
			{ID: "friends", Title: "The attendants", Members: []string{"jo", "sam", "noa", "kit"}},
		},
		Blocks: []event.Block{
			{ID: "steps", Title: "Quay steps", Place: "Old quay, by the blue boat shed", Opens: "14:30",
				Photographer: "Lead", StepFree: true},
			{ID: "garden", Title: "Walled garden", Place: "Garden behind the hall", Photographer: "Second"},
		},
		Rules: []event.Rule{{Apart: &event.Apart{People: []string{"rosa", "duarte"}}, PrivateNote: secret}},
	}
	steps := []taken{
		{"all", "Both families", 385, 5, []string{"amara", "linh", "ines", "teo", "rosa", "karim", "duarte", "bia", "gil", "ba", "mei", "wei", "po", "an"}},
		{"l-gran", "Linh's grandmother with the couple", 150, 3, []string{"amara", "linh", "po"}},
		{"l-par", "Linh's parents", 140, 3, []string{"amara", "linh", "ba", "mei"}},
		{"l-fam", "Linh's family", 165, 4, []string{"amara", "linh", "ba", "mei", "wei", "an"}},
		{"a-gran", "Amara's grandparents", 185, 3, []string{"amara", "linh", "ines", "teo"}},
		{"a-par", "Rosa and كريم with the couple", 130, 3, []string{"amara", "linh", "rosa", "karim"}},
		{"a-bro", "Duarte's household with the couple", 150, 4, []string{"amara", "linh", "rosa", "duarte", "bia", "gil"}},
		{"a-kids", "Amara with the children", 75, 4, []string{"amara", "bia", "gil"}},
	}
	garden := []taken{
		{"att", "The attendants", 180, 4, []string{"amara", "linh", "jo", "sam", "noa", "kit"}},
		{"just", "Amara and Linh", 90, 6, []string{"amara", "linh"}},
	}
	for _, t := range slices.Concat(steps, garden) {
		e.Groupings = append(e.Groupings, event.Grouping{ID: t.id, Title: t.title, Members: t.members, PrivateNote: secret})
	}
	e.Groupings = append(e.Groupings, event.Grouping{ID: "boat", Title: "Everyone on the boat", PrivateNote: secret})
	start := time.Date(2027, 6, 12, 13, 30, 0, 0, time.UTC)
	s := event.CallSheet{
		Blocks: []event.SheetBlock{
			block("steps", start, steps, map[string]bool{"amara": true, "linh": true}),
			block("garden", start.Add(45*time.Minute), garden, nil),
		},
		LeftOut: []event.LeftOut{{Grouping: "boat", Why: wording.Said("The walled garden closes at 15:20; this one needs 9 more minutes.")}},
		Totals: event.Totals{Groupings: 10, StepIns: 35, RequestedStepIns: 44, FloorStepIns: 34,
			Length: 27 * time.Minute, Cost: 10000, Bound: 9662, SolveTime: 2 * time.Second},
		Advice: []event.Advice{
			{Code: "TIGHT", Severity: event.Warning, Message: wording.Said("Quay steps has 3 minutes to spare. A late ceremony leaves the last grouping out.")},
			{Code: "NO_HEIGHT", Severity: event.Info, Message: wording.Said("Heights are missing for 18 people; rows are set by age alone.")},
		},
	}
	return e, s
}

// crowd is a large event: so many people, so many groupings, some names very long.
func crowd(people, groupings, size int) (event.Event, event.CallSheet) {
	e := event.Event{Title: strings.Repeat("A long title ", 12), Date: "2027-06-12"}
	given := []string{"Adaeze", "Björn", "Chiara", "Đặng", "王小明", "ليلى", "Õnne", "Zoë-Marie"}
	for i := range people {
		p := event.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("%s %d", given[i%len(given)], i)}
		switch {
		case i%97 == 5:
			p.Name = strings.Repeat("ridiculously", 16) + fmt.Sprint(i)
		case i%97 == 6:
			p.Name = strings.Repeat("長", 100)
		case i%13 == 0:
			p.AgeBand, p.SayAs = event.Elder, "as it is written"
		}
		e.People = append(e.People, p)
	}
	var order []taken
	for g := range groupings {
		t := taken{id: fmt.Sprintf("g%d", g), title: fmt.Sprintf("Grouping %d", g), seconds: 200, frames: 5}
		for k := range size {
			t.members = append(t.members, fmt.Sprintf("p%d", (g*size/2+k)%people))
		}
		slices.Sort(t.members)
		t.members = slices.Compact(t.members)
		order = append(order, t)
		e.Groupings = append(e.Groupings, event.Grouping{ID: t.id, Title: t.title, Members: t.members})
	}
	b := block("", time.Time{}, order, nil)
	return e, event.CallSheet{Blocks: []event.SheetBlock{b}, Totals: event.Totals{
		Groupings: groupings, StepIns: b.StepIns, RequestedStepIns: b.StepIns, Length: b.Length, Cost: 5}}
}

// drawn draws a sheet.
func drawn(t *testing.T, e event.Event, s event.CallSheet, o sheet.Options) []byte {
	t.Helper()
	d, err := sheet.Draw(e, s, o)
	require.NoError(t, err)
	return d.Content
}

// draw returns the page of a call sheet.
func draw(t *testing.T, e event.Event, s event.CallSheet) []byte {
	t.Helper()
	return drawn(t, e, s, sheet.Options{Form: sheet.HTML})
}

// textOf returns a call sheet as text of so many columns, 0 for the usual.
func textOf(t *testing.T, e event.Event, s event.CallSheet, width int) string {
	t.Helper()
	return string(drawn(t, e, s, sheet.Options{Width: width}))
}
