package phone

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
)

// Each photographer takes back what they marked themselves, and sees what and when; a planner cannot mark at all.
func TestBrowserOwnUndo(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	_, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "", time.Time{})
	require.NoError(t, err)
	first, second := device(t), device(t)
	first.visit(s, store.Lead)
	first.see("#taken")
	first.press("#taken")
	first.shows(".last", "Taken")
	second.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + secret))
	second.shows(".where", "2 of")
	assert.Equal(t, "true", second.js("String(document.querySelector('.last').hidden)"), "nothing of theirs to take back")
	second.press("#later")
	second.shows(".last", "Later")
	s.planned(1)
	first.shows(".last", "Taken")
	first.shoot("own-undo")
	first.press("#undo")
	s.planned(2)
	u := s.current()
	assert.Equal(t, u.Marks[0].ID, u.Marks[2].Undoes)

	owner := device(t)
	owner.visit(s, store.Owner)
	owner.press("[data-key=tab-list]")
	owner.see(".rows button")
	owner.press(".rows button")
	owner.see("dialog[open]")
	assert.Equal(t, "0", owner.js("String(document.querySelectorAll('dialog .main').length)"))
}

// Whoever takes a "Later" back has that photo next again, with signal and without, and reads what was taken back and what
// the next press would take back.
func TestBrowserUndoOfLater(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.press("#taken")
	u := s.planned(0)
	for _, signal := range []bool{true, false} {
		next := s.title(u, order(u)[0])
		b.shows("#title", next)
		if !signal {
			s.cut()
			b.see("#contact")
		}
		b.press("#later")
		b.until(fmt.Sprintf("document.querySelector('#title').innerText !== %q", next))
		if signal {
			s.planned(1)
		}
		b.press("#undo")
		b.shows(".last b", "Undone: Later: "+next)
		assert.Equal(t, "true", b.js("document.documentElement.scrollWidth <= innerWidth"), "no line pushes buttons aside")
		b.shows(".last", "Taken")
		b.shows("#title", next)
		if signal {
			u = s.planned(2)
			assert.Equal(t, next, s.title(u, order(u)[0]))
		}
		b.shoot("undo-of-later")
	}
	s.serve()
	u = s.planned(4)
	b.shows("#title", s.title(u, order(u)[0]))
	assert.Empty(t, b.complaints.all())
}
