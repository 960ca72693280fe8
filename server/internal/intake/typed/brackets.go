package typed

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// remarks takes what brackets say of the photograph, and leaves those that may hold people.
func (r *reader) remarks(s span, inside []bracketed, w *wishes) (span, []bracketed) {
	var rest []bracketed
	for _, b := range inside {
		var unread []span
		for _, p := range splitAttributes(b.span) {
			if !w.wish(p) {
				unread = append(unread, p)
			}
		}
		if len(unread) == 0 {
			continue
		}
		if len(unread) < len(splitAttributes(b.span)) {
			for _, u := range unread {
				rest = append(rest, bracketed{u, b.lead})
			}
			continue
		}
		rest = append(rest, b)
	}
	return s, rest
}

// bracket reads what stands in brackets behind an entry: more people, fewer people, who the words
// before stand for, what the person before is, or a note.
func (r *reader) bracket(b bracketed, in, out *found, w *wishes) {
	if !r.Effort.Spend(entryEffort) {
		return
	}
	s, before := b.span, b.before()
	ps := parts(s)
	switch {
	case len(ps) == 0 || everyoneWords.has(s.text): // "cousins (all)"
		return
	case ps[0].joint == without:
		_, less := r.entries(s, *in)
		out.add(less)
		return
	case ps[0].joint != start:
		more, less := r.entries(s, *in)
		in.add(more)
		out.add(less)
		return
	}
	if i, ok := r.Find(before.text, nil).One(); ok && r.says(i, splitAttributes(s)) {
		return
	}
	if !r.resolvable(s) {
		if !r.dry {
			w.notes = append(w.notes, s)
		}
		return
	}
	named, less := r.entries(s, found{})
	out.add(less)
	in.bad = in.bad || named.bad
	if last := len(in.ids) - 1; last >= 0 && !named.bad && r.isCircle(in.ids[last]) && before.text != "" && !coupleWords.has(before.text) {
		// "Cousins (Sami, Dounia)": just these of the cousins.
		theirs := r.PeopleOf(in.ids[last])
		in.ids = in.ids[:last:last]
		in.people = slices.DeleteFunc(slices.Clone(in.people), func(p int) bool { return slices.Contains(theirs, p) })
		named = r.set(before.text, named.people)
	}
	in.add(named)
}

func (r *reader) isCircle(id string) bool {
	return slices.ContainsFunc(r.Event.Circles, func(c event.Circle) bool { return c.ID == id })
}

// says lets brackets behind a name say what the person is: "Rosa (grandmother)".
func (r *reader) says(i int, pieces []span) bool {
	for _, p := range pieces {
		if a := readAttribute(p.text); !a.understood() || a.relation != "" && r.Event.People[i].Relation != "" && a.relation != r.Event.People[i].Relation {
			return false
		}
	}
	if !r.dry {
		for _, p := range pieces {
			r.Update(i, func(q *event.Person) { r.apply(q, readAttribute(p.text), 0, 1) })
		}
	}
	return len(pieces) > 0
}

// define reads all lines for what brackets explain: "Cousins (Sami, Dounia)" says who they are,
// wherever it stands.
func (r *reader) define(sections []*section) {
	r.eachLine(sections, func(l *line, s *section) {
		_, inside := takeBrackets(l.span)
		for _, b := range inside {
			ps := parts(b.span)
			if len(ps) < 2 || ps[0].joint != start {
				continue
			}
			before := b.before()
			title := before.text
			rel, kin := kin.Read(title)
			if title == "" || !kin || !rel.Plural || !r.resolvable(b.span) {
				continue
			}
			title = r.sideTitle(title)
			if _, known := r.CircleNamed(title); known {
				continue
			}
			if _, known := r.knownQuietly(before); known {
				continue
			}
			if named, _ := r.entries(b.span, found{}); len(named.people) > 1 && !named.bad {
				r.AddCircle(clipName(capital(title)), named.people)
			}
		}
	})
}

// knownQuietly reports whether words of kin stand for somebody, without asking when they do not.
func (r *reader) knownQuietly(s span) (found, bool) {
	r.dry = true
	f, ok := r.known(s, &context{})
	r.dry = false
	return f, ok && len(f.people) > 0
}

// sideTitle writes words of kin of a section with whose they are: sheets have no sections.
func (r *reader) sideTitle(words string) string {
	rel, ok := kin.Read(words)
	o, sided := r.Owner(r.side)
	if r.side == "" || !sided || !ok || rel.Owner != "" || rel.Of != nil {
		return words
	}
	return r.Event.People[o].Name + "'s " + bareKin(words)
}
