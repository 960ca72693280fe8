package typed

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
)

// topic is what the lines of a section are.
type topic int

const (
	open   topic = iota // not said: people where they look like it, else photographs
	guests              // people
	wanted              // photographs
	remark              // notes
)

// section is a stretch of the list under a heading.
type section struct {
	topic    topic
	heading  *line
	owner    string // whose side, as it is written
	label    string // of the side, as it is written
	shared   bool   // of both sides
	priority event.Priority
	ranked   bool
	category span // what the people under it are: "Cousins"
	lines    []*line
}

// sections divides the list by its headings. The topic of a heading holds until the next one that
// says another; a side holds until the next heading of its kind.
func (r *reader) sections() []*section {
	current := &section{}
	out := []*section{current}
	for i := range r.lines {
		l := &r.lines[i]
		if l.blank || l.ruler {
			continue
		}
		next, ok := r.heading(i, current)
		if !ok {
			current.lines = append(current.lines, l)
			continue
		}
		next.heading = l
		r.Use(l.number, place.Used)
		current = next
		out = append(out, current)
	}
	for _, s := range out {
		if s.topic == open && s.mostlyPeople() {
			s.topic = guests
		}
	}
	return out
}

// heading reads line i as a heading.
func (r *reader) heading(i int, before *section) (*section, bool) {
	l := &r.lines[i]
	text := strings.TrimRight(l.text, " ")
	marked := l.headed
	if t := strings.TrimRight(text, ":： "); t != text && t != "" {
		text, marked = t, true
	}
	s := span{text, l.col}
	s, inside := takeBrackets(s)
	s = s.cut(0, len(s.text))
	if s.text == "" {
		return nil, false
	}
	// Without a mark, only a line that stands out can be a heading.
	k := keyOf(s.text)
	alone := !l.listed && (peopleHeadings.holds(k) || groupingHeadings.holds(k))
	_, sided := sideOwner(s.text)
	alone = alone || !l.listed && sided && (before.topic == guests || sideWord(s.text))
	stands := marked || alone || !l.listed && !l.indented && (r.leads(i) || l.before && !strings.ContainsAny(s.text, ",+&"))
	if !stands {
		return nil, false
	}
	next := &section{topic: before.topic, owner: before.owner, label: before.label, shared: before.shared}
	for _, b := range inside {
		var w wishes
		if w.wish(b.span) && w.ranked {
			next.priority, next.ranked = w.priority, true
		}
	}
	leads := marked || r.leads(i)
	if sided && (leads || alone) && len(parts(s)) == 1 {
		owner, _ := sideOwner(s.text)
		next.owner, next.label, next.shared = owner, s.text, false
		return next, r.isOfCouple(owner)
	}
	return next.called(s, leads, marked)
}

// called makes the section of what its heading says, and returns false when that is no heading.
func (next *section) called(s span, leads, marked bool) (*section, bool) {
	rel, related := kin.Read(s.text)
	k := keyOf(s.text)
	switch {
	case peopleHeadings.holds(k), marked && related && rel.Kind == kin.Family && rel.Owner == "":
		return &section{topic: guests}, true
	case groupingHeadings.holds(k):
		return &section{topic: wanted, priority: next.priority, ranked: next.ranked}, true
	case noteHeadings.holds(k) && marked:
		next.topic = remark
	case mustWords.holds(k) && leads:
		next.priority, next.ranked = event.Must, true
	case niceWords.holds(k) && leads:
		next.priority, next.ranked = event.Nice, true
	case noSideHeadings.holds(k) && leads:
		next.owner, next.label, next.shared = "", "", true
	case related && rel.Plural && leads:
		next.category = s
		if rel.Owner != "" {
			next.owner, next.label = rel.Owner, rel.Owner+"'s side"
		}
		if next.topic == open {
			next.topic = guests
		}
	default:
		return nil, false
	}
	return next, true
}

// leads reports whether line i is followed by lines that are set off from it: listed or indented
// while it is not.
func (r *reader) leads(i int) bool {
	if r.lines[i].listed || r.lines[i].indented {
		return false
	}
	for j := i + 1; j < len(r.lines); j++ {
		l := &r.lines[j]
		if l.blank && j == i+1 {
			continue
		}
		return l.listed || l.indented && !l.blank
	}
	return false
}

// sideOwner takes the owner out of words for a side: "Amara's side", "lado da Inês", "côté Amélie".
func sideOwner(s string) (string, bool) {
	if rel, ok := kin.Read(s); ok && rel.Kind == kin.Family && rel.Owner != "" {
		return rel.Owner, true
	}
	ws := strings.Fields(s)
	if len(ws) < 2 || len(ws) > 4 {
		return "", false
	}
	first, last := fold(ws[0]), fold(ws[len(ws)-1])
	switch {
	case first == "côté" || first == "cote" || first == "seite":
		return strings.Join(ws[1:], " "), true
	case last == "side" || last == "family" || last == "fam":
		return strings.Join(ws[:len(ws)-1], " "), true
	}
	return "", false
}

// sideWord reports whether words for a side say "side" and not "family", which may be a photograph.
func sideWord(s string) bool {
	for w := range strings.FieldsSeq(fold(s)) {
		switch w {
		case "side", "lado", "côté", "cote", "seite":
			return true
		}
	}
	return false
}

// isOfCouple reports whether words for the owner of a side may be one of the couple: when the couple
// is known it has to be.
func (r *reader) isOfCouple(owner string) bool {
	couple := r.Couple()
	if len(couple) == 0 {
		return true
	}
	if rel, ok := kin.Read(owner); ok && rel.Kind == kin.OfCouple {
		return true
	}
	_, ok := r.Find(owner, func(i int) bool { return i == couple[0] || i == couple[len(couple)-1] }).One()
	return ok
}

// mostlyPeople reports whether at least half of the lines say something of one person, as a list of
// guests does.
func (s *section) mostlyPeople() bool {
	n := 0
	for _, l := range s.lines {
		if looksLikePerson(l.span) {
			n++
		}
	}
	return n > 0 && 2*n >= len(s.lines)
}

// looksLikePerson reports whether a line is a name with something that only people have: a relation
// behind a dash, an age, a need.
func looksLikePerson(s span) bool {
	name, attributes := describe(s)
	if name.text == "" || len(attributes) == 0 || len(parts(name)) != 1 {
		return false
	}
	if _, ok := kin.Read(name.text); ok || everyoneWords.has(name.text) {
		return false
	}
	known := 0
	for _, a := range attributes {
		if readAttribute(a.text).understood() {
			known++
		} else if a.weak {
			return false
		}
	}
	return known > 0
}

// particles are words in names that begin with a small letter.
var particles = list("de; da; do; dos; das; del; della; di; du; des; la; le; las; los; el; al; ibn; bin; bint; ben; bat; abu; van; der; den; ter; ten; von; zu; zum; zur; af; av; e; y; i; st; san; ap; na; ni; ó; vande; thị; văn")

// plausible reports whether words may be the name of a person who is not known yet.
func plausible(s string) bool {
	ws := strings.Fields(s)
	if len(ws) == 0 || len(ws) > 6 || utf8.RuneCountInString(s) > 80 {
		return false
	}
	large, small := 0, 0
	for i, w := range ws {
		bare := strings.Trim(w, ".,'’\"“”-")
		first, _ := utf8.DecodeRuneInString(bare)
		if strings.ContainsFunc(w, unicode.IsDigit) || strings.ContainsAny(w, "?!=<>@#%*_\\/:") || !strings.ContainsFunc(w, unicode.IsLetter) {
			return false
		}
		lower := unicode.IsLower(first)
		if spoken[fold(bare)] && (lower && !particles[fold(bare)] || i == 0 && len(ws) > 2) {
			return false
		}
		switch {
		case !lower:
			large++
		case !particles[fold(bare)]:
			small++
		}
	}
	if large == 0 {
		return len(ws) <= 2 && names.Plain(s) != ""
	}
	return small == 0 || len(ws) <= 2
}
