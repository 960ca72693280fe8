package phone

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// done marks all photos of a block as taken.
func (s *stage) done(block string) {
	s.Helper()
	u := s.current()
	var marks []run.Mark
	for _, b := range u.Plan.Sheet.Blocks {
		for i, e := range b.Entries {
			if b.Block == block {
				at := s.now().Add(time.Duration(i) * time.Millisecond)
				marks = append(marks, run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: at, Grouping: e.Grouping, Block: block})
			}
		}
	}
	_, err := s.desk.Mark(s.Context(), u.Run.Ref, "l", time.Time{}, marks)
	require.NoError(s, err)
}

// A phone that stands where all is taken shows who is called elsewhere, and goes there by one button; it stays where it
// stands when it is loaded again, and places do not change sides.
func TestBrowserAPlaceIsFinished(t *testing.T) {
	s := newStage(t, castle(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	reader.visit(s, store.Reader)
	reader.see(".blocks")
	places := func(b phoneTab) string {
		return b.js(`[...document.querySelectorAll(".blocks button")].map((b) => b.dataset.key).join()`)
	}
	standing := func(b phoneTab) string {
		return b.js(`document.querySelector(".blocks [aria-pressed=true]").dataset.key`)
	}
	sides := places(lead)
	assert.Equal(t, "block-yard,block-terrace", sides)
	here := standing(reader)
	lead.press("[data-key=block-terrace]")
	lead.press("#start")
	s.planned(0)
	assert.Equal(t, sides, places(lead))
	reader.do(chromedp.Reload())
	reader.see(".blocks")
	assert.Equal(t, here, standing(reader), "nobody chose it, and it is kept")

	reader.press("[data-key=block-terrace]")
	s.done("terrace")
	for _, b := range []phoneTab{lead, reader} {
		b.shows("#title", "Nothing left here now")
		b.do(chromedp.Reload())
		b.shows("#title", "Nothing left here now")
		assert.NotEmpty(t, b.text(".then p"), "who is called there")
		b.shoot("place-finished")
		b.press("[data-key=go-yard]")
		b.knows()
		assert.NotEqual(t, "Nothing left here now", b.text("#title"))
		assert.Empty(t, b.complaints.all())
	}
}

// Phones stay where they stand when that is closed, and when all is.
func TestBrowserAPlaceIsClosed(t *testing.T) {
	s := newStage(t, castle(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	reader.press("[data-key=block-terrace]")
	lead.press("[data-key=block-yard]")
	stands := func(b phoneTab) string {
		return b.js(`import("/day/state.js").then((s) => s.app.block)`)
	}
	for _, id := range []string{"terrace", "yard"} {
		lead.tab("overview")
		lead.press("[data-key=block-" + id + "]")
		lead.press("#endslot")
		lead.press("dialog .main")
		lead.tab("now")
		s.planned(map[string]int{"terrace": 0, "yard": 1}[id])
		lead.until("!document.querySelector('[data-key=block-" + id + "]')")
		reader.until("!document.querySelector('[data-key=block-" + id + "]:not([aria-pressed=true])')")
		assert.Equal(t, "yard", stands(lead), id)
		assert.Equal(t, "terrace", stands(reader), id)
		reader.shoot("closed-" + id)
	}
	for _, b := range []phoneTab{lead, reader} {
		assert.Empty(t, b.complaints.all())
	}
}

// Whoever leads is asked once about all photos that wait for somebody who does not come back, and not again where they say
// that it waits. One undo takes the answer back.
func TestBrowserAsksWithoutWhoHasLeft(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.tab("people")
	b.press("[data-key=person-theo]")
	b.pressText("Has left, not coming back")
	u := s.planned(0)
	waiting := map[string]bool{}
	for _, x := range u.Plan.Owed {
		if slices.Equal(x.Missing, []string{"theo"}) {
			waiting[x.Grouping] = true
		}
	}
	require.Greater(t, len(waiting), 5)
	asked := func() {
		t.Helper()
		b.tab("now")
		b.see("#ask")
	}
	asked()
	assert.Contains(t, b.text("#ask"), fmt.Sprint(len(waiting)))
	assert.Contains(t, b.text("#ask"), "photos are without")
	b.press("#ask")
	b.see("#allwait")
	b.shoot("ask-without")
	b.press("#allwait")
	b.until("!document.querySelector('#ask')")
	b.do(chromedp.Reload())
	asked()
	b.press("#ask")
	b.press("#allwithout")
	u = s.planned(len(waiting))
	for _, m := range u.Marks[1:] {
		assert.Equal(t, run.Without, m.Kind)
		assert.Equal(t, []string{"theo"}, m.People)
		assert.True(t, waiting[m.Grouping])
		assert.Contains(t, order(u), m.Grouping)
	}
	b.press("#undo")
	u = s.planned(2 * len(waiting))
	for g := range waiting {
		assert.Empty(t, u.State.Groupings[g].Without)
	}
	assert.Empty(t, b.complaints.all())
}

// A caller without signal is told that the others may be further on, and can go on too.
func TestBrowserCallerGoesOn(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	lead, b := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	b.visit(s, store.Reader)
	b.see("#title")
	first := b.text("#title")
	s.cut()
	b.see("#stepon")
	b.shows("#contact", "The others may be further on.")
	b.shoot("caller-alone")
	b.press("#stepon")
	b.until(`document.querySelector("#title").innerText !== ` + "`" + first + "`")
	s.serve()
	b.shows("#title", first)
	assert.Empty(t, b.complaints.all())
}

// A caller is told when, who is not there and how long to wait, and does not call them.
func TestBrowserCallerKnowsWhoIsAway(t *testing.T) {
	e := quay(t, time.Now())
	for i, g := range e.Groupings {
		e.Groupings[i].Members = append(slices.Clone(g.Members), "theo") // so that nothing can be taken without him
	}
	s := newStage(t, e)
	s.serve()
	lead, b := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	b.visit(s, store.Reader)
	b.shows(".call", "Lindqvist")
	b.see(".where .fact")
	lead.tab("people")
	lead.press("[data-key=person-theo]")
	lead.js("document.querySelector('dialog details').open = true")
	lead.pressText("in 20 min")
	s.planned(0)
	b.shows(".alarm", "Théo Lindqvist")
	b.shows(".alarm", "Wait until")
	b.until("![...document.querySelectorAll('.call .name')].some((e) => e.innerText.includes('Théo Lindqvist'))")
	b.shoot("caller-waits")
	assert.Empty(t, b.complaints.all())
}

// Two photographers press "Taken" of the same photo, one a moment later: the second press does not take the next one.
func TestBrowserALatePressTakesNothing(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	_, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "", time.Time{})
	require.NoError(t, err)
	one, two := device(t), device(t)
	one.visit(s, store.Lead)
	one.see("#taken")
	two.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + secret))
	two.see("#taken")
	first := two.text("#title")
	// Pressed by the script of the page itself, in the moment in which the page moves on.
	two.js(`(() => { new MutationObserver((_, o) => {
		if (document.querySelector("#title")?.innerText === ` + "`" + first + "`" + `) return;
		o.disconnect();
		setTimeout(() => document.querySelector("#taken").click(), 200);
		setTimeout(() => { document.body.dataset.pressed = "1"; }, 300);
	}).observe(document.querySelector("#main"), { childList: true, subtree: true }); })()`)
	one.press("#taken")
	two.until("document.body.dataset.pressed === '1'")
	u := s.planned(0)
	assert.Equal(t, 1, taken(u), "what moved on is not taken")
	two.press("#taken")
	assert.Equal(t, 2, taken(s.planned(1)))
	assert.Empty(t, two.complaints.all())
}
