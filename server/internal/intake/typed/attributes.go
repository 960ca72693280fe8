package typed

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// attribute is what a piece of text says of a person.
type attribute struct {
	relation string
	side     string // owner of the side
	age      event.AgeBand
	aged     bool
	needs    []event.Need
	nickname string
	sayAs    string
	absent   bool
	from     string
	until    string
}

func (a attribute) understood() bool {
	return a.relation != "" || a.side != "" || a.aged || len(a.needs) > 0 || a.nickname != "" || a.sayAs != "" || a.absent || a.from != "" || a.until != ""
}

// piece is a piece of text behind a name. A weak one stands behind a comma only, where another name
// may stand too.
type piece struct {
	span
	weak bool
}

var (
	dash     = regexp.MustCompile(`\s+[-–—]+\s+|\s*[—]\s*|\t+|\s+[-–—]+\z`)
	ageWords = regexp.MustCompile(`^(?:(?:age|aged|idade|edad|âge|alter)\s*:?\s*)?(\d{1,3})\s*(?:y|yo|y/o|yr|yrs|years?|years? old|anos|años|ans|jahre)?\.?(?:\s*old)?$`)
	months   = regexp.MustCompile(`^(\d{1,2})\s*(?:m|mo|mos|months?|weeks?|months? old|weeks? old|meses|mois|monate|wochen)\.?$`)
	called   = regexp.MustCompile(`(?i)^(?:aka|a\.k\.a\.?|called|known as|nickname|nick|goes by|chamam-lhe|conhecid[oa] como|conocid[oa] como|alias|dit|dite|genannt)\s*:?\s+(.+)$`)
	spokenAs = regexp.MustCompile(`(?i)^(?:say|say as|said|pronounced|pron\.?|diz-se|se dice|se prononce|sprich|gesprochen)\s*:?\s+(.+)$`)
	fromTime = regexp.MustCompile(`(?i)^(?:from|arrives(?: at)?|after|there from|a partir das|desde las|dès|ab)\s+(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|h|uhr)?$`)
	toTime   = regexp.MustCompile(`(?i)^(?:until|till|leaves(?: at)?|has to leave(?: at)?|must leave(?: at| by)?|gone by|before|até às|hasta las|jusqu'à|bis)\s+(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|h|uhr)?$`)
	nickMark = regexp.MustCompile(`["“”„«»]([^"“”„«»]{1,60})["“”„«»]`)
)

// needWords is what the words for needs mean.
var needWords = []struct {
	phrases
	needs []event.Need
}{
	{list("wheelchair; in a wheelchair; uses a wheelchair; wheelchair user; cadeira de rodas; silla de ruedas; fauteuil roulant; en fauteuil roulant; rollstuhl; im rollstuhl; 轮椅; xe lăn; كرسي متحرك"), []event.Need{event.Wheelchair}},
	{list("seat; chair; needs a seat; needs a chair; needs to sit; must sit; seated; sitting; can't stand long; cannot stand long; can't stand for long; cannot stand for long; walking frame; walking stick; stick; cane; walker; zimmer frame; frail; precisa de cadeira; sentada; sentado; precisa de se sentar; necesita silla; sentada; a besoin d'une chaise; assis; assise; sitzplatz; braucht einen stuhl; 需要座位; 座位; cần ghế; مقعد"), []event.Need{event.Seat}},
	{list("step-free; step free; no steps; no stairs; can't do steps; can't do stairs; cannot climb stairs; sem escadas; sem degraus; sin escaleras; sin escalones; sans marches; sans escaliers; stufenlos; keine treppen; keine stufen"), []event.Need{event.StepFree}},
	{list("interpreter; needs an interpreter; needs interpreter; signs; sign language; deaf; intérprete; língua gestual; lengua de signos; interprète; langue des signes; dolmetscher; gebärdensprache"), []event.Need{event.Interpreter}},
}

var (
	elderWords  = list("elder; elderly; old; senior; frail; very old; idoso; idosa; mayor; anciano; anciana; âgé; âgée; älter; alt; 老人; người già; مسن; مسنة")
	infantWords = list("infant; baby; newborn; babe in arms; bebé; bebê; recém-nascido; bébé; nourrisson; säugling; 婴儿; em bé; رضيع")
	childWords  = list("child; kid; toddler; little one; small child; criança; niño; niña; enfant; kind; kleinkind; 孩子; 小孩; trẻ em; طفل; طفلة")
	adultWords  = list("adult; grown-up; adulto; adulta; adulte; erwachsen")
)

// readAttribute understands one piece of what stands behind a name.
func readAttribute(s string) attribute {
	s = strings.Trim(s, " .")
	f := fold(s)
	k := keyOf(s)
	var a attribute
	for _, n := range needWords {
		if n.holds(k) {
			a.needs = n.needs
			if elderWords.holds(k) {
				a.age, a.aged = event.Elder, true
			}
			return a
		}
	}
	switch {
	case infantWords.holds(k):
		return attribute{age: event.Infant, aged: true}
	case childWords.holds(k):
		return attribute{age: event.Child, aged: true}
	case elderWords.holds(k):
		return attribute{age: event.Elder, aged: true}
	case adultWords.holds(k):
		return attribute{age: event.Adult, aged: true}
	case absentWords.holds(k):
		return attribute{absent: true}
	}
	if m := months.FindStringSubmatch(f); m != nil {
		return attribute{age: event.Infant, aged: true}
	}
	if m := ageWords.FindStringSubmatch(f); m != nil {
		n, _ := strconv.Atoi(m[1])
		return attribute{age: bandOf(n), aged: n <= 120}
	}
	if m := called.FindStringSubmatch(s); m != nil {
		return attribute{nickname: strings.Trim(m[1], `"“”„«»' `)}
	}
	if m := spokenAs.FindStringSubmatch(s); m != nil {
		return attribute{sayAs: strings.Trim(m[1], `"“”„«»' `)}
	}
	if m := fromTime.FindStringSubmatch(s); m != nil {
		return attribute{from: clockTime(m[1:])}
	}
	if m := toTime.FindStringSubmatch(s); m != nil {
		return attribute{until: clockTime(m[1:])}
	}
	if owner, ok := sideOwner(s); ok {
		return attribute{side: owner}
	}
	return relationAttribute(s)
}

// relationAttribute understands a relation. Grandparents are taken for elders unless the list says
// otherwise.
func relationAttribute(s string) attribute {
	var a attribute
	rel, ok := kin.Read(s)
	if !ok {
		rel, ok = eachRelation(s)
	}
	if ok && rel.Kind != kin.Family {
		a.relation = s
		switch rel.Kind {
		case kin.Grandparent, kin.GreatGrandparent:
			a.age, a.aged = event.Elder, true
		case kin.Offspring:
			if w := fold(s); w == "baby" || w == "bebé" || w == "bébé" {
				a.age, a.aged = event.Infant, true
			}
		}
	}
	return a
}

// eachRelation reads "uncle and aunt": a relation for each of several people.
func eachRelation(s string) (kin.Relation, bool) {
	ps := parts(span{s, 1})
	var last kin.Relation
	for _, p := range ps {
		rel, ok := kin.Read(p.text)
		if !ok || p.joint > soft || rel.Kind == kin.Family {
			return kin.Relation{}, false
		}
		last = rel
	}
	return last, len(ps) > 1
}

// bandOf is the age band of an age in years. Children up to 12 and elders from 75 are what calls for
// care in an order; common practice, no source.
func bandOf(years int) event.AgeBand {
	switch {
	case years < 2:
		return event.Infant
	case years <= 12:
		return event.Child
	case years >= 75:
		return event.Elder
	}
	return event.Adult
}

// clockTime writes hours and minutes as HH:MM, or nothing when there is no such time.
func clockTime(m []string) string {
	h, _ := strconv.Atoi(m[0])
	minutes, _ := strconv.Atoi("0" + m[1])
	if len(m) > 2 && strings.EqualFold(m[2], "pm") && h < 12 {
		h += 12
	}
	if h > 23 || minutes > 59 {
		return ""
	}
	return fmt.Sprintf("%02d:%02d", h, minutes)
}

// describe divides a line of the list of guests into the names and what is said of them.
func describe(s span) (span, []piece) {
	s, inside := takeBrackets(s)
	var pieces []piece
	for _, b := range inside {
		for _, p := range splitAttributes(b.span) {
			pieces = append(pieces, piece{p, false})
		}
	}
	name := s
	if at := dash.FindStringIndex(s.text); at != nil && at[0] > 0 {
		name = s.cut(0, at[0])
		for _, p := range splitAttributes(s.cut(at[1], len(s.text))) {
			pieces = append(pieces, piece{p, false})
		}
	}
	// Commas: what is understood as an attribute belongs to the name before it.
	if first := strings.IndexAny(name.text, ",;，、"); first > 0 {
		rest := splitAttributes(name.cut(first, len(name.text)).trim(",;，、 "))
		remarks := len(rest) > 0 && readAttribute(rest[0].text).understood()
		for _, p := range rest {
			remarks = remarks && (readAttribute(p.text).understood() || !plausible(p.text))
		}
		if remarks {
			name = name.cut(0, first)
			for _, p := range rest {
				pieces = append(pieces, piece{p, true})
			}
		}
	}
	return name.cut(0, len(name.text)), pieces
}

// splitAttributes takes a text apart at commas, semicolons and dashes.
func splitAttributes(s span) []span {
	var out []span
	from := 0
	for i, c := range s.text {
		if strings.ContainsRune(",;|，、؛،", c) {
			out = append(out, s.cut(from, i))
			from = i + utf8.RuneLen(c)
		}
	}
	out = append(out, s.cut(from, len(s.text)))
	var split []span
	for _, p := range out {
		from := 0
		for _, at := range dash.FindAllStringIndex(p.text, -1) {
			split = append(split, p.cut(from, at[0]))
			from = at[1]
		}
		split = append(split, p.cut(from, len(p.text)))
	}
	return slices.DeleteFunc(split, func(p span) bool { return p.text == "" })
}

// clipName keeps a name within what an event may hold.
func clipName(s string) string {
	if c := []rune(s); len(c) > 200 {
		return string(c[:200])
	}
	return s
}

// describeAll says of people what stands on their line.
func (r *reader) describeAll(people []int, attributes []attribute, rest []span, s *section) {
	for k, i := range people {
		r.Update(i, func(p *event.Person) {
			if s.category.text != "" && p.Relation == "" {
				p.Relation = kin.Singular(s.category.text)
			}
			for _, a := range attributes {
				r.apply(p, a, k, len(people))
			}
			if r.side != "" && p.Side == "" {
				p.Side = r.side
			}
		})
		for _, a := range attributes {
			if a.side != "" {
				r.Event.People[i].Side = r.sideOfOwner(a.side, a.side+"'s side")
			}
		}
	}
	if len(rest) == 0 || len(people) == 0 {
		return
	}
	var words []string
	for _, s := range rest {
		words = append(words, s.text)
	}
	note := strings.Join(words, "; ")
	for _, i := range people {
		r.Update(i, func(p *event.Person) { p.PrivateNote = joinNotes(p.PrivateNote, note) })
	}
	r.report(r.at(rest[0]), event.Info, place.CodeKeptAsNote, note, wording.Say("list.keptAsAPrivateNote", place.Quoted(note)))
}

// joinNotes puts notes together within what an event may hold.
func joinNotes(notes ...string) string {
	var out []string
	for _, n := range notes {
		if n = strings.TrimSpace(n); n != "" {
			out = append(out, n)
		}
	}
	joined := []rune(strings.Join(out, "; "))
	return string(joined[:min(len(joined), 2000)])
}

// apply says one thing of one person. "Hadi & Rim - uncle and aunt" says one each.
func (r *reader) apply(p *event.Person, a attribute, k, of int) {
	if a.relation != "" && p.Relation == "" {
		p.Relation = clipName(a.relation)
		if of > 1 {
			if each := parts(span{a.relation, 1}); len(each) == of {
				p.Relation = each[k].text
			} else if rel, ok := kin.Read(a.relation); ok && rel.Plural {
				p.Relation = kin.Singular(a.relation)
			}
		}
	}
	if a.aged {
		p.AgeBand = a.age
	}
	for _, n := range a.needs {
		if !slices.Contains(p.Needs, n) {
			p.Needs = append(p.Needs, n)
		}
	}
	if a.nickname != "" {
		p.Nicknames = append(p.Nicknames, fresh(p.Nicknames, []string{a.nickname})...)
	}
	if a.sayAs != "" {
		p.SayAs = clipName(a.sayAs)
	}
	p.Absent = p.Absent || a.absent
	if a.from != "" {
		p.PresentFrom = a.from
	}
	if a.until != "" {
		p.PresentUntil = a.until
	}
}
