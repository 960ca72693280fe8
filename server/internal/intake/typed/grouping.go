package typed

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// note keeps words of the current line for its private note.
func (r *reader) note(s span) {
	if !r.dry {
		r.pending = append(r.pending, s)
	}
}

// grouping makes the photograph of a line.
func (r *reader) grouping(l *line, s *section, title string, in, out found, w wishes) {
	w.notes = append(r.pending, w.notes...)
	r.pending = nil
	if len(in.ids) == 0 {
		if !in.bad && !out.bad {
			r.report(r.at(l.span), event.Error, place.CodeNobody, l.text, wording.Say("list.whoIsInWriteNamesOr", place.Quoted(l.text)))
		}
		r.Use(l.number, place.Asked)
		return
	}
	in.ids, out.ids = r.leaveOut(in, out)
	g := event.Grouping{Title: clipName(title), Members: in.ids, Without: out.ids, Priority: w.priority, Pin: w.pin, Minutes: w.minutes, Frames: w.frames}
	if !w.ranked && s.ranked {
		g.Priority = s.priority
	}
	var notes []string
	for _, n := range w.notes {
		notes = append(notes, n.text)
		r.report(r.at(n), event.Info, place.CodeKeptAsNote, n.text, wording.Say("list.keptAsAPrivateNoteOf", place.Quoted(n.text)))
	}
	g.PrivateNote = joinNotes(notes...)
	if w.people > 0 && !slices.Contains(in.ids, everybodyMark) {
		r.counts(in, out, w)
	}
	name := title
	if name == "" {
		name = r.nameOf(in)
	}
	for n := range max(1, w.times) {
		one := g
		one.ID = r.NewGroupingID(name)
		if w.times > 1 && one.Title != "" {
			one.Title = fmt.Sprintf("%s (%d of %d)", clipName(title), n+1, w.times)
		}
		r.Use(l.number, place.Used, fmt.Sprintf("groupings[%d]", len(r.Event.Groupings)))
		r.Event.Groupings = append(r.Event.Groupings, one)
	}
	if w.times > 1 {
		r.report(r.at(l.span), event.Info, place.CodeTakenAs, fmt.Sprintf("x%d", w.times), wording.Say("list.photographsOfTheSamePeopleOne", w.times))
	}
	r.titled(title, in)
	r.remember(in, out)
}

// leaveOut takes people who are in it by their own names and are left out again from both lists, unless
// they are in it by a circle too.
func (r *reader) leaveOut(in, out found) (members, less []string) {
	members = slices.DeleteFunc(slices.Clone(in.ids), func(id string) bool {
		return !r.isCircle(id) && id != everybodyMark && slices.Contains(out.ids, id)
	})
	if len(members) == 0 {
		return in.ids, out.ids
	}
	for _, id := range out.ids {
		direct := slices.Contains(in.ids, id) && !slices.Contains(members, id)
		within := slices.ContainsFunc(members, func(m string) bool {
			return m == everybodyMark || slices.ContainsFunc(r.PeopleOf(id), func(p int) bool { return slices.Contains(r.PeopleOf(m), p) })
		})
		if !direct || within {
			less = append(less, id)
		}
	}
	return members, less
}

// counts compares the number of people that a line says with those it has.
func (r *reader) counts(in, out found, w wishes) {
	n := len(others(out.people, in.people))
	if n != w.people && !in.bad {
		r.report(r.at(w.peopleAt), event.Warning, place.CodeCountDiffers, w.peopleAt.text, wording.Say("list.lineSaysPeopleAndAreKnown", w.people, n))
	}
}

// nameOf makes a word for the id of a photograph of those in it who are not the couple.
func (r *reader) nameOf(in found) string {
	var words []string
	for _, id := range in.ids {
		people := r.PeopleOf(id)
		if id == everybodyMark {
			return "everybody"
		}
		if len(in.ids) > 1 && len(people) > 0 && r.allOfCouple(people) {
			continue
		}
		if len(words) < 3 {
			words = append(words, id)
		}
	}
	if len(words) == 0 {
		words = in.ids[:min(1, len(in.ids))]
	}
	return strings.Join(words, " ")
}

// titled lets a title such as "Cousins" stand for its people in later lines.
func (r *reader) titled(title string, in found) {
	rel, ok := kin.Read(title)
	if !ok || !rel.Plural || in.bad || len(in.people) < 2 || slices.Contains(in.ids, everybodyMark) {
		return
	}
	people := slices.DeleteFunc(slices.Clone(in.people), func(p int) bool { return slices.Contains(r.Couple(), p) })
	if len(people) < 2 {
		return
	}
	if _, known := r.CircleNamed(r.sideTitle(title)); !known {
		r.AddCircle(clipName(r.sideTitle(title)), people)
	}
}
