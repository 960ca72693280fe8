package phone

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// Somebody who is not on the list is put into photographs, with signal and without; whoever calls names has the name
// at once.
func TestBrowserAPersonJoins(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	u := s.planned(-1)
	first, second := order(u)[0], order(u)[1]
	lead.tab("people")
	lead.press("#find")
	lead.do(typed("#find", "Nia Okoye"))
	lead.press("#addperson")
	assert.Equal(t, "Nia Okoye", lead.js("document.querySelector('#joinname').value"), "what was searched for in vain")
	lead.press("dialog input[value='" + first + "']")
	lead.shoot("person-added")
	lead.press("#joined")
	m, u := s.last(0)
	assert.Equal(t, run.Joined, m.Kind)
	assert.Equal(t, "Nia Okoye", m.Name)
	assert.Equal(t, []string{first}, m.Groupings)
	reader.shows("#main", "Nia Okoye")
	assert.NotContains(t, reader.js("document.documentElement.innerHTML"), lapwing)

	// Their page says what they are in; without signal they are put into another.
	lead.press("[data-key='person-" + m.Person + "']")
	lead.shows("dialog", s.title(u, first))
	lead.shoot("person-page")
	s.cut()
	lead.press("#join")
	lead.press("dialog input[value='" + second + "']")
	lead.press("#joined")
	lead.tab("list")
	lead.press("[data-key='row-" + second + "']")
	lead.shows("dialog", "Nia Okoye")
	lead.press("dialog .close")
	s.serve()
	m, u = s.last(1)
	assert.Equal(t, []string{first, second}, m.Groupings)
	assert.Contains(t, u.Plan.Sheet.People[len(u.Plan.Sheet.People)-1].Person, m.Person)

	// It was somebody of the list after all.
	lead.tab("now")
	for n := range 2 {
		lead.press("#undo")
		s.planned(n + 2)
	}
	reader.until("!document.querySelector('#main').innerText.includes('Okoye')")
	assert.Empty(t, s.current().State.Joined)
	assert.Empty(t, lead.complaints.all())
	assert.Empty(t, reader.complaints.all())
	assert.NotContains(t, s.log.String(), "Okoye")
}

// Somebody who was not to come is here: one press brings them into their photographs, without signal too.
func TestBrowserSomebodyComesAfterAll(t *testing.T) {
	e := quay(t, time.Now())
	absent := event.Person{ID: "odd-zoe", Name: "Zoe Brandt", Absent: true}
	e.People = append(e.People, absent)
	for i := range e.Groupings {
		if e.Groupings[i].EachOf == "" {
			e.Groupings[i].Members = append(slices.Clone(e.Groupings[i].Members), absent.ID)
		}
	}
	s := newStage(t, e)
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	first := order(s.planned(-1))[0]
	s.cut()
	lead.tab("people")
	lead.shows("[data-key=person-odd-zoe]", "not coming")
	lead.press("[data-key=person-odd-zoe]")
	lead.shoot("after-all")
	lead.pressText("Is here now")
	lead.tab("list")
	lead.press("[data-key='row-" + first + "']")
	lead.shows("dialog", absent.Name)
	lead.press("dialog .close")
	s.serve()
	m, u := s.last(0)
	assert.Equal(t, run.Arrived, m.Kind)
	assert.Contains(t, m.Groupings, first)
	assert.Contains(t, u.Plan.Owed[0].Needed, absent.ID)
	assert.Empty(t, lead.complaints.all())
}

// It rains: a block goes on elsewhere, and everybody sees where. It is late: what is proposed is done at a touch.
func TestBrowserRainAndLateness(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-52*time.Minute)))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	lead.see("#late")
	lead.shoot("late")
	u := s.planned(-1)
	drop := u.Plan.Forecasts[0].Drop
	require.NotEmpty(t, drop)
	lead.press("#late")
	lead.shoot("late-asked")
	for range 2 { // it asks first, and is undone as a whole
		lead.press("#leavethese")
		lead.see("dialog label.check") // an answer a photo
		lead.shoot("late-sure")
		lead.press("dialog .foot .main")
		u = s.planned(len(u.Marks) + len(drop) - 1)
		for _, id := range drop {
			assert.Equal(t, run.LeftOut, u.State.Groupings[id].Status)
			assert.NotContains(t, order(u), id)
		}
		if len(u.Marks) == len(drop) {
			lead.press("#undo")
			u = s.planned(len(u.Marks) + len(drop) - 1)
			assert.Subset(t, order(u), drop)
			lead.press("#late")
		}
	}
	lead.tab("list")
	lead.see("[data-key='row-" + drop[0] + "']")
	lead.press("[data-key='row-" + drop[0] + "']")
	lead.pressText("Put back")
	u = s.planned(len(u.Marks))
	assert.Contains(t, order(u), drop[0])

	lead.tab("overview")
	lead.press("[data-key=block-quay]")
	lead.press("#place")
	lead.do(typed("#place", "Boathouse"))
	lead.press("#setplace")
	m, _ := s.last(len(u.Marks))
	assert.Equal(t, "Boathouse", m.Place)
	reader.shows("#main", "Now at: Boathouse")
	lead.tab("now")
	lead.shows("#main", "Now at: Boathouse")
	lead.shows("#acts", "is now at Boathouse") // and no other time
	reader.shoot("rain-reader")
	lead.shoot("rain-lead")
	assert.Empty(t, lead.complaints.all())
	assert.Empty(t, reader.complaints.all())
}

// After a rehearsal the day begins with nothing taken, on every phone; what was marked stays stored.
func TestBrowserAfterARehearsal(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	lead.press("#taken")
	before := s.planned(0)
	reader.shows(".where", "2 of")
	lead.tab("more")
	lead.press("#restart")
	lead.shoot("restart")
	lead.pressText("Start over")
	reader.shows(".where", "1 of")
	lead.tab("now")
	lead.shows(".where", "1 of")
	u := s.planned(-1)
	assert.Empty(t, u.Marks)
	assert.NotEqual(t, before.Run.Ref, u.Run.Ref)
	old, err := s.desk.View(t.Context(), before.Run.Ref)
	require.NoError(t, err)
	assert.Len(t, old.Marks, 1)
	lead.tab("more")
	assert.Equal(t, "true", lead.js("document.querySelector('#restart') === null"), "there is nothing to begin again")
	assert.Empty(t, lead.complaints.all())
}

// Only whoever marks may begin again.
func TestReadersBeginNothing(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.opened(store.Lead)
	cookie, _ := s.opened(store.Reader)
	w := s.post(asked{path: "begin?link=" + s.links[store.Reader], cookie: cookie, body: `{"request": "a-rehearsal", "fresh": true}`})
	assert.Equal(t, http.StatusForbidden, w.Code)
}

// The laptop has another address after its network came back: what could not be sent to the old one goes along with
// the new link, once. Marks of another event, or without the secret of a link, get nowhere.
func TestBrowserTheAddressHasChanged(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	s.cut()
	for i := range 2 {
		b.press("#taken")
		b.until(fmt.Sprintf("document.querySelector('[data-unsent]')?.dataset.unsent === '%d'", i+1))
	}
	b.tab("more")
	b.see("#newlink")
	b.shoot("address-changed")
	b.do(typed("#newlink", "http://127.0.0.1/day/"))
	b.press("#moveon")
	b.shows("#main .alarm", "isn’t a link")
	s.address = ""
	s.serve()
	link := "http://" + s.address + Prefix + "#" + s.secrets[store.Lead]
	b.do(typed("#newlink", link))
	b.press("#moveon")
	u := s.planned(1)
	assert.Len(t, u.Marks, 2)
	assert.Equal(t, 2, taken(u))
	b.until("document.querySelector('#unsent')?.hidden")
	assert.NotContains(t, b.js("location.href"), "marks")
	b.do(chromedp.Reload())
	b.see("#taken")
	assert.Len(t, s.current().Marks, 2)

	strange := `[{"event":"other","run":"r","mark":{"id":"0197d0a0-0000-7000-8000-000000000001","kind":"note","at":1,"note":"x"}}]`
	for _, address := range []string{link + "&marks=" + url.QueryEscape(strange), link + "&marks=%", "http://" + s.address + Prefix + "#&marks=" + url.QueryEscape(strange)} {
		b.do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
		b.see("#taken")
		assert.Equal(t, "true", b.js("document.querySelector('[data-unsent]') === null"))
	}
	assert.Empty(t, b.complaints.all())
}

// What people hold on paper and what a phone shows have the same numbers, whatever was taken first.
func TestBrowserNumbersAreThoseOnPaper(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	o, err := s.store.Occasion(t.Context(), s.current().Run.Ref)
	require.NoError(t, err)
	paper := map[string]int{}
	for _, b := range o.Sheet.Blocks {
		for _, x := range b.Entries {
			paper[x.Grouping] = len(paper) + 1
		}
	}
	lead.press("#later")
	u := s.planned(0)
	next := order(u)[0]
	require.NotEqual(t, 1, paper[next])
	for _, b := range []phoneTab{lead, reader} {
		b.shows("#title", s.title(u, next))
		b.shows(".where", fmt.Sprintf("No. %d", paper[next]))
		b.tab("list")
		for id, n := range paper {
			b.shows("[data-key='row-"+id+"'] .number", fmt.Sprintf("No. %d", n))
		}
		assert.Empty(t, b.complaints.all())
	}
	lead.shoot("numbers")
}
