package phone

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// planned waits until there are more marks than a number, and a plan that heeds them all.
func (s *stage) planned(more int) run.Update {
	s.Helper()
	var u run.Update
	require.Eventually(s, func() bool {
		u = s.current()
		return len(u.Marks) > more && u.Plan != nil && u.Covers >= u.LastMark
	}, 30*time.Second, 20*time.Millisecond)
	return u
}

func order(u run.Update) []string {
	var out []string
	for _, b := range u.Plan.Sheet.Blocks {
		for _, e := range b.Entries {
			out = append(out, e.Grouping)
		}
	}
	return out
}

func (s *stage) title(u run.Update, id string) string {
	s.Helper()
	i := slices.IndexFunc(u.Plan.Owed, func(o planning.Owed) bool { return o.Grouping == id })
	require.GreaterOrEqual(s, i, 0, id)
	return u.Plan.Owed[i].Title
}

// takeOne ticks what is shown, after it took as long as planned, and waits until what was next is shown.
func (s *stage) takeOne(u run.Update, lead phoneTab, phones ...phoneTab) run.Update {
	s.Helper()
	next := s.title(u, order(u)[1])
	assert.Equal(s, s.title(u, order(u)[0]), lead.text("#title"))
	s.pass(u.Plan.Sheet.Blocks[0].Entries[0].Length, append(phones, lead)...)
	lead.press("#taken")
	lead.until(fmt.Sprintf("document.querySelector('#title').innerText === %q", next))
	return s.planned(len(u.Marks))
}

// Whoever calls names is told when the marks of a photographer's phone do not come, and no longer when they do.
func TestCallersLearnThatALeadIsCutOff(t *testing.T) {
	var l leads
	now := time.Unix(1_000_000, 0)
	l.hear("e", "lead", silence{since: now, who: "Mara"})
	mara := []awayView{{At: event.Millis(now), Who: "Mara"}}
	assert.Empty(t, l.away("e", now.Add(awayAfter-1)))
	assert.Equal(t, mara, l.away("e", now.Add(awayAfter)))
	assert.Empty(t, l.away("another", now.Add(awayAfter)))
	l.hear("e", "second", silence{since: now.Add(awayAfter)})
	assert.Equal(t, mara, l.away("e", now.Add(awayAfter)), "one of two")
	l.hear("e", "lead", silence{since: now.Add(awayAfter)})
	assert.Empty(t, l.away("e", now.Add(awayAfter)))
	l.hear("e", "caller", silence{since: now.Add(awayAfter), reads: true})
	assert.True(t, slices.ContainsFunc(l.away("e", now.Add(3*awayAfter)), func(v awayView) bool { return v.Reads }))
	assert.False(t, slices.ContainsFunc(l.away("e", now.Add(time.Hour)), func(v awayView) bool { return v.Reads }), "somebody who had a look")
	later := now.Add(2 * forgetAfter)
	assert.Empty(t, l.away("e", later))
	l.hear("f", "lead", silence{since: later})
	assert.Len(t, l.heard, 1, "what is long over takes no room")
	l.forget("f", "lead")
	assert.Empty(t, l.away("f", later.Add(awayAfter)), "whoever closes the page has nothing to send")
}

func TestBrowserSaysThatALeadIsCutOff(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	reader.visit(s, store.Reader)
	reader.see("#title")
	lead.signal(false)
	s.ahead.Add((2 * awayAfter).Milliseconds())
	reader.shows("#contact", "A photographer’s phone: out of touch since")
	reader.shoot("lead-away")
	lead.signal(true)
	lead.do(chromedp.Reload())
	reader.until("document.querySelector('#contact').hidden")

	lead.see("#taken")

	reader.signal(false) // the phone on which all who are called depend
	s.ahead.Add((2 * awayAfter).Milliseconds())
	lead.shows("#contact", "The phone for calling names: out of touch since")
	lead.do(chromedp.Navigate("about:blank")) // whoever closes the page has nothing to send
	require.Eventually(t, func() bool {
		return !slices.ContainsFunc(s.page.leads.away("harbour", s.now().Add(2*awayAfter)), func(v awayView) bool { return !v.Reads })
	}, 10*time.Second, 20*time.Millisecond)
	assert.Empty(t, append(lead.complaints.all(), reader.complaints.all()...))
}

// The story that the work is done by, on three phones: the ceremony has lost 12 minutes; ten groupings are
// taken; a grandmother is tired and goes; an uncle is missing, and a grouping is taken without him; one
// grouping is added on the spot; for five minutes there is no signal. Nothing is lost, nothing counts twice.
func TestBrowserTheDay(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-12*time.Minute)))
	s.serve()
	lead := device(t).withStoryClock()
	lead.visit(s, store.Lead)
	reader := device(t).withStoryClock()
	reader.visit(s, store.Reader)
	owner := device(t).withStoryClock()
	owner.visit(s, store.Owner)
	all := []phoneTab{reader, owner}
	u := s.planned(-1)
	lead.see("#taken")

	// The ceremony has lost 12 minutes: it begins now, and what is on the screen counts from now.
	over := int(u.Plan.Forecasts[0].Over.Minutes())
	assert.Negative(t, over, "the harbour wedding has more than 12 minutes to spare")
	lead.until(fmt.Sprintf("document.querySelector('#forecast').innerText.match(/(%d|%d|%d) minutes to spare/) !== null", -over-1, -over, -over+1))
	lead.shoot("story-1-late")
	lead.press("#start")
	for _, b := range []phoneTab{lead, reader} { // they are on their way, and nobody knows who stands there
		b.shows(".where", "In progress")
		assert.NotContains(t, b.text("#main"), "In the frame")
	}
	u = s.planned(len(u.Marks))

	// Two are taken. Then the grandmother is tired and goes: what is left with her waits, the rest goes on.
	for range 2 {
		u = s.takeOne(u, lead, all...)
	}
	lead.tab("people")
	lead.press("#find")
	lead.do(typed("#find", "rosa"))
	lead.press("[data-key=person-rosa]")
	lead.shoot("story-2-person")
	lead.pressText("Has left, not coming back")
	u = s.planned(len(u.Marks))
	lead.tab("overview")
	var waits []string
	for _, o := range u.Plan.Owed {
		if slices.Contains(o.Needed, "rosa") && o.Grouping != order(u)[0] {
			waits = append(waits, o.Title)
		}
	}
	require.NotEmpty(t, waits)
	for _, title := range waits {
		assert.Contains(t, lead.rows(".waits .what bdi:first-child"), title)
	}
	assert.Contains(t, lead.text("#main"), "Rosa Lindqvist")
	lead.shoot("story-3-waits")
	lead.tab("now")

	// Eight more: ten are taken.
	for range 8 {
		u = s.takeOne(u, lead, all...)
	}
	reader.shows(".where", "11 of")
	owner.shows("#main", "10 of 18 taken")

	// An uncle is missing: his groupings wait, and one is taken without him after all.
	uncle, his := "", ""
	for _, o := range u.Plan.Owed {
		for _, who := range []string{"hadi", "mats", "erik", "omar"} {
			if o.Planned && slices.Contains(o.Needed, who) && o.Grouping != order(u)[0] {
				uncle, his = who, o.Grouping
			}
		}
	}
	require.NotEmpty(t, uncle)
	lead.tab("people")
	lead.press("[data-key=person-" + uncle + "]")
	lead.pressText("Cannot be found")
	u = s.planned(len(u.Marks))
	assert.NotContains(t, order(u), his)
	lead.tab("list")
	lead.until(fmt.Sprintf("document.querySelector('.waits [data-key=\"row-%s\"]') !== null", his))
	lead.shoot("story-4-uncle")
	lead.press("[data-key='row-" + his + "']")
	lead.shoot("story-5-without")
	lead.pressText("Take it without")
	lead.until(fmt.Sprintf("document.querySelector('ol [data-key=\"row-%s\"]') !== null", his))
	u = s.planned(len(u.Marks))
	assert.Contains(t, order(u), his)

	// One grouping is added on the spot.
	lead.press("#addnew")
	lead.do(typed("#newtitle", "Old friends"), typed("#search", "zielinska"))
	lead.until("document.querySelectorAll('.checks label:not([hidden])').length < 4")
	lead.press("dialog input[value=ola]")
	lead.do(typed("#search", "dolan"))
	lead.press("dialog input[value=ciaran]")
	lead.shoot("story-6-add")
	lead.press("#add")
	lead.until("[...document.querySelectorAll('ol .what bdi')].some((e) => e.innerText === 'Old friends')")
	u = s.planned(len(u.Marks))
	before := s.current()

	// No signal for five minutes: the lead ticks three and puts one off; all of it is there and shown.
	lead.tab("now")
	s.cut()
	lead.see("#contact")
	reader.see("#contact")
	shown := order(u)
	for i, id := range shown[:3] {
		lead.until(fmt.Sprintf("document.querySelector('#title').innerText === %q", s.title(u, id)))
		s.pass(90*time.Second, append(all, lead)...)
		lead.press("#taken")
		lead.until(fmt.Sprintf("document.querySelector('[data-unsent]')?.dataset.unsent === '%d'", i+1))
	}
	s.pass(30*time.Second, append(all, lead)...)
	lead.press("#later")
	lead.until("document.querySelector('[data-unsent]')?.dataset.unsent === '4'")
	lead.shoot("story-7-no-signal")
	lead.do(chromedp.Reload())
	lead.until("document.querySelector('[data-unsent]')?.dataset.unsent === '4'")
	assert.Equal(t, s.title(u, shown[4]), lead.text("#title"), "the one that was put off is not next")
	assert.Len(t, s.current().Marks, len(before.Marks))

	// The signal is back: the marks arrive, each once, with the times at which they were made.
	s.serve()
	lead.until("document.querySelector('#unsent').hidden && document.querySelector('#contact').hidden")
	u = s.planned(len(before.Marks) + 3)
	late := u.Marks[len(before.Marks):]
	require.Len(t, late, 4)
	for i, id := range shown[:3] {
		assert.Equal(t, run.Taken, late[i].Kind)
		assert.Equal(t, id, late[i].Grouping)
		assert.Equal(t, run.Done, u.State.Groupings[id].Status)
	}
	assert.Equal(t, run.Skipped, late[3].Kind)
	assert.InDelta(t, (4*time.Minute + 30*time.Second).Seconds(), late[2].At.Sub(before.Marks[len(before.Marks)-1].At).Seconds(), 60)
	seen := map[string]bool{}
	for _, m := range u.Marks {
		assert.False(t, seen[m.ID], "a mark is there twice")
		seen[m.ID] = true
	}
	reader.shows(".where", "14 of")
	assert.Equal(t, s.title(u, order(u)[0]), reader.text("#title"))
	owner.shows("#main", "13 of 19 taken")
	for _, b := range []phoneTab{lead, reader, owner} {
		b.shoot("story-8-" + b.js("document.body.dataset.role"))
		assert.Empty(t, b.complaints.all())
	}
	assert.NotContains(t, reader.js("document.documentElement.innerHTML"), lapwing)
}
