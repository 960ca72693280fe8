package phone

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	tools "kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/phone/wire"
)

// moment is what a phone knows at some time of a day: marks of the server, a plan that may be older than they are, and marks of
// its own that are not sent.
type moment struct {
	Role     store.Role  `json:"role"`
	Now      int64       `json:"now"`
	View     updateView  `json:"view"`
	Unsent   []wire.Mark `json:"unsent"`
	Wanted   []string    `json:"-"` // whoever is in a photograph that may still be taken
	Open     []string    `json:"-"` // photographs that are neither taken nor left out
	Describe string      `json:"-"`
}

// frees is a day of random marks, seen from phones of all roles.
type frees struct {
	rng     *rand.Rand
	event   event.Event
	begun   run.Occasion
	marks   []run.Mark
	plan    *run.Plan
	covers  int
	now     time.Time
	moments []moment
}

func (d *frees) pick(list []string) string { return list[d.rng.IntN(len(list))] }

// mark is something that happens, mostly that what comes next is taken.
func (d *frees) mark() run.Mark {
	m := run.Mark{ID: fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", len(d.marks)+1), At: d.now, By: "x", Sequence: int64(len(d.marks) + 1)}
	b := d.plan.Sheet.Blocks[d.rng.IntN(len(d.plan.Sheet.Blocks))]
	var people, photos []string
	for _, p := range d.event.People {
		people = append(people, p.ID)
	}
	for _, x := range d.plan.Owed {
		photos = append(photos, x.Grouping)
	}
	person, soon := d.pick(people), d.now.Add(time.Duration(1+d.rng.IntN(20))*time.Minute)
	photo := d.pick(append(photos, "none"))
	if len(b.Entries) > 0 && (photo == "none" || d.rng.IntN(10) < 6) {
		m.Kind, m.Grouping, m.Block = run.Taken, b.Entries[0].Grouping, b.Block
		if d.rng.IntN(4) == 0 {
			m.Kind = run.Started
		}
		return m
	}
	kinds := []run.Kind{run.Absent, run.Gone, run.Late, run.Leaving, run.Arrived, run.Added, run.Joined}
	if photo != "none" {
		kinds = append(kinds, run.Skipped, run.LeaveOut, run.Without, run.Taken, run.Reset, run.Changed)
	}
	if len(d.marks) > 0 {
		kinds = append(kinds, run.Undone)
	}
	switch m.Kind = kinds[d.rng.IntN(len(kinds))]; m.Kind {
	case run.Absent, run.Gone, run.Arrived:
		m.Person = person
	case run.Late, run.Leaving:
		m.Person, m.Until = person, soon
	case run.Added:
		m.Grouped = &event.Grouping{ID: fmt.Sprint("day-", len(d.marks)), Title: "Wanted", Members: []string{person, people[0]}}
	case run.Joined:
		m.Person, m.Groupings = person, []string{photo}
	case run.Without:
		m.Grouping, m.People = photo, []string{person}
	case run.Undone:
		m.Undoes = d.marks[d.rng.IntN(len(d.marks))].ID
	case run.Reset:
		m.Block, m.Closed = b.Block, d.rng.IntN(3) == 0
		if !m.Closed {
			m.Closes = d.now.Add(time.Duration(10+d.rng.IntN(40)) * time.Minute)
		}
	default:
		m.Grouping, m.Block = photo, b.Block
	}
	return m
}

func (d *frees) replan(t *testing.T) {
	o, err := d.begun.Replan(d.marks, run.Fold(d.marks), d.plan, d.now, func(_ event.Event, x planning.Today) (run.Plan, error) {
		return planning.Replan(context.Background(), d.event, x, planning.Options{Budget: 1})
	})
	require.NoError(t, err)
	d.plan, d.covers = &o, len(d.marks)
}

// wanted lists who is in a photograph that is neither taken nor left out, in a time slot that is not closed; open are all those
// photographs.
func (d *frees) wanted(s run.State) (out, open []string) {
	e := d.event
	e.People, e.Groupings = slices.Concat(e.People, s.Newcomers(e)), slices.Concat(e.Groupings, s.AddedTo(e))
	today := planning.Today{With: s.With(), Without: map[string][]string{}}
	for id, g := range s.Groupings {
		today.Without[id] = g.Without
	}
	photographs, emptied := event.Expand(e)
	for _, p := range emptied {
		if len(today.With[p.ID]) > 0 {
			photographs = append(photographs, p)
		}
	}
	for _, p := range photographs {
		p = s.Groupings[p.ID].Move.Of(p)
		over := s.Groupings[p.ID].Status == run.Done || s.Groupings[p.ID].Status == run.LeftOut
		may := slices.ContainsFunc(e.Blocks, func(b event.Block) bool {
			return !s.Blocks[b.ID].Closed && (len(p.Blocks) == 0 || slices.Contains(p.Blocks, b.ID))
		})
		if !over && may {
			out = append(out, model.MembersToday(p, today)...)
		}
		if !over {
			open = append(open, p.ID)
		}
	}
	return out, open
}

// see notes what phones know now; a lead's may hold marks that nobody else has.
func (d *frees) see() {
	role, sent := roles[d.rng.IntN(len(roles))], len(d.marks)
	if role == store.Lead {
		sent -= d.rng.IntN(min(3, sent-d.covers+1))
	}
	s, all := run.Fold(d.marks[:sent]), run.Fold(d.marks)
	u := run.Update{Sequence: int64(sent), LastMark: int64(sent), Covers: int64(d.covers), Marks: d.marks[:sent], State: s, Change: run.Change{Added: s.Added}, Plan: d.plan}
	grant := access.Grant{Event: "e", Role: role, Link: "x"}
	m := moment{Role: role, Now: event.Millis(d.now), View: updateOf(d.event, access.Shown(grant, u)), Unsent: []wire.Mark{}}
	m.Wanted, m.Open = d.wanted(all)
	for _, x := range d.marks[sent:] {
		x.Sequence = 0
		m.Unsent = append(m.Unsent, wire.MarkOf(x))
	}
	m.Describe = fmt.Sprintf("%s at %s, %d marks, %d not sent, plan of %d", role, d.now.Format("15:04"), len(d.marks), len(m.Unsent), d.covers)
	d.moments = append(d.moments, m)
}

var roles = []store.Role{store.Lead, store.Reader, store.Owner}

func freesOf(t *testing.T, seed uint64, e event.Event) *frees {
	opens, err := e.Instant(e.Blocks[0].Opens)
	require.NoError(t, err)
	d := &frees{rng: rand.New(rand.NewPCG(seed, 22)), event: e, now: opens}
	if d.event.Blocks = slices.Clone(e.Blocks); d.rng.IntN(2) == 0 {
		d.event.Blocks[1].Photographer = e.Blocks[0].Photographer
		d.event.Blocks[1].Opens, d.event.Blocks[1].Closes = e.Blocks[0].Closes, opens.Add(100*time.Minute).UTC().Format(time.RFC3339)
	}
	sheet, err := planning.Replan(t.Context(), d.event, planning.Today{Now: opens}, planning.Options{Budget: 1})
	require.NoError(t, err)
	d.begun = run.Occasion{Event: d.event, Sheet: sheet.Sheet}
	d.replan(t)
	for range 40 {
		d.now = d.now.Add(time.Duration(20+d.rng.IntN(160)) * time.Second)
		d.marks = append(d.marks, d.mark())
		if d.rng.IntN(3) > 0 {
			d.replan(t)
		}
		d.see()
	}
	return d
}

// shownFree runs moments through the page: whom each shows as free, in whatever time slot, and in which photograph that it has
// later somebody is who has a time at which they are free.
const shownFree = `(async ({ wholes, moments }) => {
	const { app, model } = await import("/day/state.js");
	const { nowView, readerNow } = await import("/day/now.js");
	const { members } = await import("/day/outlook.js");
	const { stale, find } = await import("/day/dom.js");
	await (await import("/day/words.js")).loadWords("en");
	const out = [];
	for (const x of moments) {
		app.whole = wholes[x.role];
		app.link = "x";
		app.offset = x.now - Date.now();
		app.view = { ...x.view, added: x.view.added || [], heard: 1, lines: [] };
		app.pending = new Map(x.unsent.map((m) => [m.id, { id: m.id, event: "e", run: "r", mark: { ...m, at: m.at - app.offset } }]));
		const free = new Set(), early = [];
		const m = model(), names = new Map(m.people.map((p) => [p.name, p.id]));
		for (const b of m.left.blocks) {
			app.block = b.block;
			stale(find("main"));
			(x.role === "reader" ? readerNow : nowView)(model());
			for (const e of document.querySelectorAll("#main .free bdi")) free.add(names.get(e.textContent) || e.textContent);
		}
		const entries = m.left.blocks.flatMap((b) => b.entries);
		for (const p of m.people) {
			const e = entries.find((e) => e.released.includes(p.id)), end = (e) => Math.max(e.at + e.length * 1000, e.current ? m.now : 0);
			const later = e && entries.find((y) => y !== e && members(m, y.id).includes(p.id) && end(y) > end(e) + 1000);
			if (later) early.push(p.id + " after " + e.id + ", in " + later.id);
		}
		const open = [...entries, ...m.left.waiting].map((e) => e.id), only = (e) => m.state.groupings[e.id]?.only;
		const astray = m.left.blocks.flatMap((b) => b.entries.filter((e) => !e.current && (only(e) || b.block) !== b.block).map((e) => e.id));
		out.push({ free: [...free], early, open, astray });
	}
	app.whole = null;
	return JSON.stringify(out);
})`

// Every photograph that there is to take is shown, once, and where it is to be taken. Nobody is shown as free on the page of any
// role before their last photograph, nor while one that waits may want them: on days of all kinds of marks, two photographers or
// one, phones that hear late and phones that hold marks back. KINORDER_SEED=55,118 plays those.
func TestBrowserFreesNobodyEarly(t *testing.T) {
	seeds := []uint64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}
	if list := os.Getenv("KINORDER_SEED"); list != "" {
		require.NoError(t, json.Unmarshal([]byte("["+list+"]"), &seeds))
	}
	tools.Chromium(t)
	opens := time.Now().Add(-time.Hour).Truncate(time.Minute)
	e := castle(t, opens)
	s := newStage(t, quay(t, opens))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	b.see("h1")
	seen, freed := 0, 0
	for _, seed := range seeds {
		d := freesOf(t, seed, e)
		wholes := map[store.Role]whole{}
		for _, role := range roles {
			g := access.Grant{Event: "e", Role: role, Link: "x"}
			w := wholeOf(g, access.Shown(g, d.event), behindOf(d.event))
			w.Run = "r"
			wholes[role] = w
		}
		body, err := json.Marshal(map[string]any{"wholes": wholes, "moments": d.moments})
		require.NoError(t, err)
		var got []struct{ Free, Early, Open, Astray []string }
		require.NoError(t, json.Unmarshal([]byte(b.js(shownFree+"("+string(body)+")")), &got))
		require.Len(t, got, len(d.moments))
		for i, m := range d.moments {
			seen, freed = seen+1, freed+len(got[i].Free)
			for _, who := range got[i].Free {
				require.NotContains(t, m.Wanted, who, "day %d, %s: free too early", seed, m.Describe)
			}
			require.Empty(t, got[i].Early, "day %d, %s", seed, m.Describe)
			require.ElementsMatch(t, m.Open, got[i].Open, "day %d, %s: what is shown and what there is", seed, m.Describe)
			require.Empty(t, got[i].Astray, "day %d, %s: shown in another place than was said", seed, m.Describe)
		}
	}
	t.Logf("%d days, %d moments, %d times somebody is shown as free", len(seeds), seen, freed)
	assert.NotZero(t, freed)
}
