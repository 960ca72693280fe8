package photographs

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// mostTurns is how many photographs a sentence may want first: more of them are hardly meant. Own choice.
const mostTurns = 4

// turns has the photographs of whom a sentence beside them names taken first or last: "Nan gets cold so please do hers first".
func (r *Reader) turns(s *statements.Statement) {
	if s.Kind != statements.Remark && s.Kind != statements.Definition && s.Kind != statements.Title {
		return
	}
	var about []int
	for _, sentence := range r.Told(speech.Flat(s.Phrases)) {
		ids, _ := r.within(s, sentence, len(r.Guests))
		if len(ids) == 0 {
			ids = r.pronounced(about, sentence)
		}
		about = ids
		pin := r.turnSaid(sentence)
		if pin == event.PinNone || len(ids) == 0 || len(less(ids, r.Principals())) == 0 || r.Heard[[2]int{s.Line.Number, sentence[0].Start}] {
			continue
		}
		var of []*Photograph
		for _, p := range r.Photographs {
			if !p.Dropped && !p.All && len(less(ids, p.Set)) == 0 {
				of = append(of, p)
			}
		}
		if len(of) == 0 || len(of) > mostTurns {
			text := strings.TrimSpace(s.Line.Text[sentence[0].Start:sentence[len(sentence)-1].End])
			r.At(sentence[0].Start, event.Warning, place.CodeNotUsed, "", wording.Say("list.notUsed", place.Quoted(text)))
			continue
		}
		for _, p := range of {
			p.Grouping.Pin = pin
			r.took(s, sentence, wording.Say(map[event.Pin]wording.Key{event.PinFirst: "plan.first", event.PinLast: "plan.last"}[pin], cmp.Or(p.Grouping.Title, strings.TrimSpace(p.Statement.Line.Text))))
		}
	}
}

// turnSaid is whether a sentence wants something taken first or last: it says so in several words, or asks for it.
func (r *Reader) turnSaid(ph []speech.Phrase) event.Pin {
	asks, pin := false, event.PinNone
	for k := range ph {
		p := &ph[k]
		asks = asks || words.Listed("polite", p.Key) || words.Listed("in turn", p.Key)
		if k+1 < len(ph) && p.Key == "last" && ph[k+1].Kind == 'w' && !words.Listed("polite", ph[k+1].Key) {
			continue // "last year"
		}
		if first, last := p.Has("first"), p.Has("last"); (first || last) && !r.NameLike(p) && (k > 0 || strings.Contains(p.Key, " ")) && !(k+1 < len(ph) && (ph[k+1].Has("kin") || ph[k+1].Kind == 'n')) { // "her first cousin", "the last 3"
			asks = asks || strings.Contains(p.Key, " ") || !words.Cased(p.Text)
			if pin = event.PinFirst; !first {
				pin = event.PinLast
			}
		}
	}
	if !asks || slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Kind == 't' }) {
		return event.PinNone
	}
	return pin
}
