package web

import (
	"context"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
)

// quick plans without a search, so that many forms can be tried.
func quick(_ context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
	taken, _ := event.Expand(e)
	order := planning.Order{}
	if len(e.Blocks) > 0 {
		order.Block = e.Blocks[0].ID
	}
	for _, p := range taken {
		order.Photographs = append(order.Photographs, p.ID)
	}
	sheet, err := planning.Fixed(e, planning.Options{Emphasis: o.Emphasis}, []planning.Order{order})
	if err != nil {
		return planning.Fixed(e, planning.Options{Emphasis: o.Emphasis}, nil)
	}
	return sheet, nil
}

// Whatever comes back in a form is answered with a page, never with a fault of the program.
func FuzzForms(f *testing.F) {
	v := visitor{}
	sane := map[string]string{}
	f.Add(small, "plan", "", "", "1", "", "line.3", "x")
	f.Add(small, "up:g-all", `{"Of":""}`, `{}`, "", "15:00", "was.3", "people:")
	f.Add("people: [{id: a, name: A}]", "to:a", `{"Locked":["a"]}`, `{"Blocks":[{"Entries":[{"Grouping":"a"}]}]}`, "9", "x", "rule.0.kind", "turns")
	f.Add("{", "drop-block:-1", "null", "null", "-3", "", "block.0.id", "\x00")
	f.Fuzz(func(t *testing.T, text, act, hand, sheet, place, opens, name, value string) {
		v.T = t
		s, log := pagesOf(quick)
		v.handler, v.log = s.Handler(), log
		sane = map[string]string{
			"text": text, "act": act, "hand": hand, "sheet": sheet, "day": "1", "place.g-all": place,
			"block.0.id": "lawn", "block.0.opens": opens, "rule.0.kind": "apart", "rule.0.who.0": place, name: value,
		}
		for _, path := range []string{"/list", "/plan", "/sheet", "/save"} {
			assert.NotEqual(t, http.StatusInternalServerError, v.post(path, sane).Code, path)
		}
		// The hand of a plan that fits, with a sheet that need not.
		e := reading{}
		if r, err := (draft{text: text}).read(t.Context()); err == nil {
			e = r
		}
		sane["hand"] = `{"Of":"` + fingerprintOf(e.event).Of + `","Made":"` + fingerprintOf(e.event).Made + `","Locked":["g-all"],"Dropped":["` + "g-ann" + `"]}`
		for _, act := range []string{act, "again", "down:g-all", "put:g-ann", "compare"} {
			sane["act"] = act
			for _, path := range []string{"/plan", "/sheet"} {
				assert.NotEqual(t, http.StatusInternalServerError, v.post(path, sane).Code, path+" "+act)
			}
		}
	})
}

// Whatever comes back as what the hand decided keeps or leaves out photographs, and changes nothing else in the list.
func FuzzHand(f *testing.F) {
	f.Add(`{"Of":""}`, `{}`)
	f.Add(`{"Locked":["g-all"],"Dropped":["g-ann"]}`, `{"Blocks":[{"Block":"lawn","Entries":[{"Grouping":"g-all"},{"Grouping":"x"}]}]}`)
	f.Add(`{"Freed":true,"Locked":[""],"Titles":{"a":"b"}}`, `{"Blocks":[{"Entries":null}]}`)
	f.Add("null", "[]")
	r, err := (draft{text: small}).read(f.Context())
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, hand, sheet string) {
		p := fields.Posted{Values: url.Values{"hand": {hand}, "sheet": {sheet}}}
		if _, err := planIn(p); err != nil {
			return
		}
		h, s, ok := readHand(p)
		if !ok {
			return
		}
		got := h.in(r.event, s)
		h.take(got)
		got.Order, got.LeftOut = r.event.Order, r.event.LeftOut
		assert.Equal(t, r.event, got)
		_, err := hiddenPlan(h, s)
		assert.NoError(t, err)
	})
}
