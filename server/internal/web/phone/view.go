package phone

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/phone/wire"
	"kinorder.example/server/internal/wording"
)

// whole is what does not change while a run goes on.
type whole struct {
	Link        string       `json:"link"`
	Role        store.Role   `json:"role"`
	Event       string       `json:"event"`
	Title       string       `json:"title"`
	Date        string       `json:"date,omitempty"`
	Zone        string       `json:"zone,omitempty"`
	Sure        int          `json:"sure"`          // on how many percent of days a safe time is kept
	Run         string       `json:"run,omitempty"` // empty when nothing has begun
	Newer       bool         `json:"newer,omitempty"`
	People      []personView `json:"people"`
	Circles     []circleView `json:"circles,omitempty"`
	Photographs []photoView  `json:"photographs"`
	Blocks      []blockView  `json:"blocks"`
	// Core says that the phone may plan by itself while there is no signal.
	Core bool `json:"core,omitempty"`
	// Stands is the block of the photographer whose link it is.
	Stands string `json:"stands,omitempty"`
}

type personView struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`
	Say      string   `json:"say,omitempty"`
	Relation string   `json:"relation,omitempty"`
	Side     string   `json:"side,omitempty"`
	Needs    []string `json:"needs,omitempty"`
	Absent   bool     `json:"absent,omitempty"`
	// About says that the day is about them: they stand there anyway, so nobody calls them.
	About bool `json:"about,omitempty"`
	// By are the adults of their household for children: whom to call instead.
	By []string `json:"by,omitempty"`
	// From and Until are when somebody comes and leaves by the list.
	From  int64 `json:"from,omitempty"`
	Until int64 `json:"until,omitempty"`
	// Invited are the photographs that somebody who is absent belongs in: for whoever says that they came after all.
	Invited []string `json:"invited,omitempty"`
	Note    string   `json:"note,omitempty"`
}

type circleView struct {
	ID     string   `json:"id"`
	Title  string   `json:"title"`
	People []string `json:"people"`
}

type photoView struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	// Titles are that title in other languages, when it was made up.
	Titles  map[string]string `json:"titles,omitempty"`
	Members []string          `json:"members"`
	// Blocks are those that it may be taken in, any when there are none.
	Blocks []string `json:"blocks,omitempty"`
	Must   bool     `json:"must,omitempty"`
	Note   string   `json:"note,omitempty"`
	// Emptied says that it is taken only if somebody comes who is absent.
	Emptied bool `json:"emptied,omitempty"`
}

type blockView struct {
	ID     string `json:"id"`
	Title  string `json:"title,omitempty"`
	Place  string `json:"place,omitempty"`
	Opens  int64  `json:"opens,omitempty"`
	Closes int64  `json:"closes,omitempty"`
	// Crew is the same for blocks of one photographer.
	Crew int `json:"crew"`
}

var needs = map[event.Need]string{
	event.Seat: "seat", event.Wheelchair: "wheelchair", event.StepFree: "stepFree", event.Interpreter: "interpreter",
}

// wholeOf writes what a phone has to know of an event. What a reader must not know has been left out of
// e before.
func wholeOf(g access.Grant, e event.Event, b behind) whole {
	w := whole{
		Link: g.Link, Role: g.Role, Event: g.Event, Title: e.Title, Date: e.Date, Zone: e.TimeZone, Sure: e.Sureness(),
		Photographs: photographs(e), Blocks: blocks(e, b.crews), Circles: circles(e),
	}
	for _, x := range slices.Backward(e.Blocks) {
		if g.Title != "" && strings.EqualFold(x.Photographer, g.Title) {
			w.Stands = x.ID
		}
	}
	var invited map[string][]string
	if g.Role == store.Lead {
		invited = run.Invited(e)
	}
	index := event.NewIndex(&e)
	about := family.Of(&e, index, event.NewExpansion(&e, index)).Honoured()
	sides := map[string]string{}
	for _, s := range e.Sides {
		sides[s.ID] = s.Label
	}
	for i, p := range e.People {
		said := strings.ReplaceAll(p.SayAs, "-", "\u2011") // nobody stops in the middle of it, at the end of a line
		v := personView{ID: p.ID, Name: p.Name, Say: said, Relation: p.Relation, Side: sides[p.Side], About: slices.Contains(about, i), Absent: p.Absent, Note: p.PrivateNote, Invited: invited[p.ID], By: b.held[p.ID], From: instant(e, p.PresentFrom), Until: instant(e, p.PresentUntil)}
		for _, n := range p.Needs {
			v.Needs = append(v.Needs, needs[n])
		}
		w.People = append(w.People, v)
	}
	return w
}

// behind is what phones have to know of an event that readers are not shown all of: who holds which child, and which time
// slots one photographer works in.
type behind struct {
	held  map[string][]string
	crews []int
}

func behindOf(e event.Event) behind {
	b := behind{held: holders(e)}
	for _, x := range e.Blocks {
		b.crews = append(b.crews, slices.IndexFunc(e.Blocks, func(y event.Block) bool { return y.Photographer == x.Photographer }))
	}
	return b
}

// holders are the adults of the smallest circle in which a child has any.
func holders(e event.Event) map[string][]string {
	child := map[string]bool{}
	for _, p := range e.People {
		child[p.ID] = p.AgeBand == event.Infant || p.AgeBand == event.Child
	}
	out, size := map[string][]string{}, map[string]int{}
	for _, c := range circles(e) {
		adults := slices.DeleteFunc(slices.Clone(c.People), func(id string) bool { return child[id] })
		for _, id := range c.People {
			if n, known := size[id]; child[id] && len(adults) > 0 && (!known || len(c.People) < n) {
				out[id], size[id] = adults, len(c.People)
			}
		}
	}
	return out
}

func photographs(e event.Event) []photoView {
	taken, emptied := event.Expand(e)
	said := titlesOf(e)
	out := make([]photoView, 0, len(taken)+len(emptied))
	for i, p := range slices.Concat(taken, emptied) {
		out = append(out, photoView{
			ID: p.ID, Title: p.Title, Titles: said[p.ID], Members: wire.IDs(p.Members), Blocks: p.Blocks, Must: p.Priority == event.Must, Note: e.Groupings[p.Source].PrivateNote, Emptied: i >= len(taken),
		})
	}
	return out
}

// titlesOf has the titles of photographs that were made up, by id and language: a phone calls them as the sheet of its
// language does, also without signal.
func titlesOf(e event.Event) map[string]map[string]string {
	out := map[string]map[string]string{}
	for _, tag := range wording.Languages() {
		in, _ := wording.For(tag)
		taken, emptied := event.ExpandIn(e, event.TitlesIn(in))
		for _, p := range slices.Concat(taken, emptied) {
			if event.Visible(e.Groupings[p.Source].Title) || tag == "en" {
				continue
			}
			if out[p.ID] == nil {
				out[p.ID] = map[string]string{}
			}
			out[p.ID][tag] = p.Title
		}
	}
	return out
}

// circles lists who is in each circle: a grouping of the members of one, taken apart.
func circles(e event.Event) []circleView {
	of := e
	of.Groupings = nil
	for _, c := range e.Circles {
		of.Groupings = append(of.Groupings, event.Grouping{ID: c.ID, Title: c.Title, Members: []string{c.ID}})
	}
	taken, _ := event.Expand(of)
	out := make([]circleView, 0, len(taken))
	for _, p := range taken {
		out = append(out, circleView{ID: p.ID, Title: p.Title, People: wire.IDs(p.Members)})
	}
	return out
}

// instant is a time of an event in milliseconds, 0 when it has none.
func instant(e event.Event, s string) int64 {
	t, err := e.Instant(s)
	if s == "" || err != nil {
		return 0
	}
	return event.Millis(t)
}

func blocks(e event.Event, crews []int) []blockView {
	out := make([]blockView, 0, len(e.Blocks))
	for i, b := range e.Blocks {
		out = append(out, blockView{Crew: crews[i], ID: b.ID, Title: b.Title, Place: b.Place, Opens: instant(e, b.Opens), Closes: instant(e, b.Closes)})
	}
	return out
}

// updateView is what a phone is told after each change, together with the server's clock.
type updateView struct {
	Sequence int64 `json:"sequence"`
	// LastMark is the sequence of the last mark and Covers that up to which the plan heeds them.
	LastMark int64       `json:"lastMark"`
	Covers   int64       `json:"covers"`
	Marks    []wire.Mark `json:"marks"`
	// Added are all photographs that were added on the day; absent when they are those of before.
	Added []photoView `json:"added,omitzero"`
	Plan  *wire.Plan  `json:"plan,omitempty"`
}

// updateOf writes an update. What a reader must not know has been left out of u before.
func updateOf(e event.Event, u run.Update) updateView {
	v := updateView{Sequence: u.Sequence, LastMark: u.LastMark, Covers: u.Covers, Marks: make([]wire.Mark, 0, len(u.Marks))}
	if len(u.Change.Added)+len(u.Change.Removed) > 0 {
		e.People = slices.Concat(e.People, u.State.Newcomers(e))
		e.Groupings = u.State.AddedTo(e)
		v.Added = photographs(e)
	}
	for _, m := range u.Marks {
		v.Marks = append(v.Marks, wire.MarkOf(m))
	}
	if u.Plan != nil {
		v.Plan = wire.PlanOf(*u.Plan)
	}
	return v
}
