package phone

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/web/phone/wire"
)

// foldedJSON is a state in the form that the script has it in.
type foldedJSON struct {
	Groupings map[string]progressJSON `json:"groupings"`
	People    map[string]whereJSON    `json:"people"`
	Blocks    map[string]timesJSON    `json:"blocks"`
	Joined    map[string]joiningJSON  `json:"joined"`
	Added     []wire.Added            `json:"added"`
	Slots     []slotJSON              `json:"slots"`
	Frames    map[string]frameJSON    `json:"frames"`
	Notes     []noteJSON              `json:"notes"`
	Undoable  string                  `json:"undoable"`
}

type progressJSON struct {
	Status   string   `json:"status"`
	Block    string   `json:"block"`
	Started  int64    `json:"started"`
	Finished int64    `json:"finished"`
	Without  []string `json:"without"`
	Only     string   `json:"only"`
	Rank     string   `json:"rank"`
}

type whereJSON struct {
	Presence string `json:"presence"`
	Since    int64  `json:"since"`
	Until    int64  `json:"until"`
}

type timesJSON struct {
	Opens  int64  `json:"opens"`
	Closes int64  `json:"closes"`
	Closed bool   `json:"closed"`
	Place  string `json:"place"`
}

type joiningJSON struct {
	Name      string   `json:"name"`
	Groupings []string `json:"groupings"`
}

type slotJSON struct {
	Grouping string `json:"grouping"`
	Block    string `json:"block"`
	Started  int64  `json:"started"`
	Finished int64  `json:"finished"`
}

type frameJSON struct {
	Grouping string `json:"grouping"`
	At       int64  `json:"at"`
}

type noteJSON struct {
	ID   string `json:"id"`
	Text string `json:"text"`
	At   int64  `json:"at"`
}

func foldedOf(s run.State) foldedJSON {
	out := foldedJSON{
		Groupings: map[string]progressJSON{}, People: map[string]whereJSON{}, Blocks: map[string]timesJSON{}, Joined: map[string]joiningJSON{}, Added: []wire.Added{}, Slots: []slotJSON{},
		Frames: map[string]frameJSON{}, Notes: []noteJSON{}, Undoable: s.Undoable,
	}
	statuses := map[run.Status]string{run.Open: "open", run.Current: "current", run.Done: "done", run.Later: "later", run.LeftOut: "left_out"}
	presences := map[run.Presence]string{run.Missing: "missing", run.Left: "left", run.Coming: "coming", run.MustLeave: "leaving"}
	for id, g := range s.Groupings {
		out.Groupings[id] = progressJSON{statuses[g.Status], g.Block, event.Millis(g.Started), event.Millis(g.Finished), wire.IDs(g.Without), g.Move.Block, wire.MarkOf(run.Mark{Kind: run.Changed, Priority: g.Move.Priority}).Priority}
	}
	for id, p := range s.People {
		out.People[id] = whereJSON{presences[p.Presence], event.Millis(p.Since), event.Millis(p.Until)}
	}
	for id, x := range s.Blocks {
		out.Blocks[id] = timesJSON{event.Millis(x.Opens), event.Millis(x.Closes), x.Closed, x.Place}
	}
	for id, x := range s.Joined {
		out.Joined[id] = joiningJSON{x.Name, wire.IDs(x.Groupings)}
	}
	for _, g := range s.Added {
		out.Added = append(out.Added, wire.Added{ID: g.ID, Title: g.Title, Members: g.Members})
	}
	for _, x := range s.Slots {
		out.Slots = append(out.Slots, slotJSON{x.Grouping, x.Block, event.Millis(x.Started), event.Millis(x.Finished)})
	}
	for block, f := range s.Frames {
		out.Frames[block] = frameJSON{f.Grouping, event.Millis(f.At)}
	}
	for _, n := range s.Notes {
		out.Notes = append(out.Notes, noteJSON{n.ID, n.Text, event.Millis(n.At)})
	}
	return out
}

// randomMarks are marks of a few groupings and people, many at the same time, with undoings of each other.
func randomMarks(r *rand.Rand) []run.Mark {
	start := time.Date(2027, 5, 15, 15, 0, 0, 0, time.UTC)
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	id := func() string { return fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", r.Uint64()>>16) }
	var marks []run.Mark
	for range r.IntN(40) {
		at := start.Add(time.Duration(r.IntN(20)) * time.Second)
		m := run.Mark{ID: id(), At: at, Kind: run.Kind(1 + r.IntN(int(run.Changed)))}
		switch m.Kind {
		case run.Started, run.Taken, run.PutBack, run.Skipped, run.LeaveOut:
			m.Grouping, m.Block = pick("a", "b", "c", "d"), pick("", "x", "y")
		case run.Changed:
			if m.Grouping, m.Block = pick("a", "b", "c", "d"), pick("", "x", "y"); r.IntN(2) == 0 {
				m.Priority = new(event.Priority(r.IntN(3)))
			}
		case run.Absent, run.Arrived, run.Gone:
			if m.Person = pick("ann", "bo"); m.Kind == run.Arrived && r.IntN(2) == 0 {
				m.Groupings = []string{pick("a", "b"), "c"}
			}
		case run.Reset:
			m.Block, m.Closed, m.Place = pick("x", "y"), r.IntN(2) == 0, pick("", "", "Hall")
			if r.IntN(2) == 0 {
				m.Opens, m.Closes = at.Add(time.Minute), at.Add(time.Hour)
			}
		case run.Joined:
			m.Person, m.Name = pick("ann", "new"), pick("", "Nia")
			if r.IntN(2) == 0 {
				m.Groupings = []string{pick("a", "b")}
			}
		case run.Late, run.Leaving:
			m.Person, m.Until = pick("ann", "bo"), at.Add(time.Minute)
		case run.Without:
			m.Grouping = pick("a", "b", "c", "d")
			if r.IntN(3) > 0 {
				m.People = []string{pick("ann", "bo")}
			}
		case run.Added:
			m.Grouped = &event.Grouping{ID: pick("e", "f"), Title: pick("Old", "New"), Members: []string{"ann"}}
		case run.Noted:
			m.Note = pick("one", "two")
		case run.Undone:
			m.Undoes = id() // of no mark, unless it is given one below
		}
		marks = append(marks, m)
	}
	for i := range marks {
		if marks[i].Kind == run.Undone && r.IntN(5) > 0 {
			marks[i].Undoes = marks[r.IntN(len(marks))].ID
		}
	}
	return marks
}

// The script folds marks as the server does: the same marks, in another order and some of them twice,
// come to the same state.
func TestBrowserFoldsAsTheServer(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	r := rand.New(rand.NewPCG(20270515, 1))
	const cases = 400
	var sent [][]wire.Mark
	var want []foldedJSON
	for range cases {
		marks := randomMarks(r)
		want = append(want, foldedOf(run.Fold(marks)))
		list := make([]wire.Mark, 0, len(marks))
		for _, m := range marks {
			list = append(list, wire.MarkOf(m))
		}
		list = append(list, list[:len(list)/3]...)
		r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		sent = append(sent, list)
	}
	body, err := json.Marshal(sent)
	require.NoError(t, err)
	var answer string
	b.do(chromedp.Evaluate(fmt.Sprintf(`(async () => {
		const { fold } = await import("/day/fold.js");
		return JSON.stringify(%s.map((marks) => fold(marks)));
	})()`, body), &answer, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
	var got []foldedJSON
	require.NoError(t, json.Unmarshal([]byte(answer), &got))
	require.Len(t, got, cases)
	for i := range got {
		for k := range got[i].Added {
			got[i].Added[k].Must = false
		}
		if !assert.Equal(t, want[i], got[i], "case %d", i) {
			break
		}
	}
	assert.True(t, slices.ContainsFunc(want, func(f foldedJSON) bool { return len(f.Slots) > 2 }))
}
