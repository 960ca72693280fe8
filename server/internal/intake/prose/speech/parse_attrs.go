package speech

import (
	"slices"
	"strconv"

	"kinorder.example/server/internal/intake/prose/words"
)

// Attribute is something that is said of a person or photograph.
type Attribute struct {
	Class      string // of the word, or "age", "months", "note", "more", "who"
	Arg        string
	Num        int
	Text       string
	Start, End int
}

func (p *parser) number(t *Phrase) {
	next := p.peek(1)
	if p.reference(t) {
		return
	}
	if n := DayInFigures(p.ph, p.i); n > 0 {
		p.attr(Attribute{Class: "day", Text: t.Text, Start: t.Start, End: p.peek(n).End})
		p.i += n
		return
	}
	if at := TimeAt(p.ph, p.i); at != "" { // "8 pm", "half 3"
		p.lost = slices.DeleteFunc(p.lost, func(l Phrase) bool { return l.Has("ampm") })
		if next.Has("ampm") {
			p.i++
		}
		p.attr(Attribute{Class: "time", Arg: at, Text: t.Text, Start: t.Start, End: p.peek(0).End})
		return
	}
	for _, unit := range []string{"years", "months", "weeks"} {
		if next.Has(unit) && !p.r.NameLike(next) {
			p.age(Attribute{Class: unit, Num: t.Num, Text: t.Text + " " + next.Text, Start: t.Start, End: next.End})
			p.i++
			return
		}
	}
	last := p.lastPerson()
	switch {
	case t.Num < 24 && (p.behindTime(-1) || p.behindTime(-2)):
		p.attr(HourSaid(t))
	case next.Has("frames"):
		p.out.Attrs = append(p.out.Attrs, Attribute{Class: "frames", Num: t.Num, Start: t.Start, End: next.End})
		p.i++
	case next.Has("count") || next.Has("unitmin"):
		class := "count"
		if next.Has("unitmin") {
			class = "minutes"
		}
		p.attr(Attribute{Class: class, Num: t.Num, Text: t.Text + " " + next.Text, Start: t.Start, End: next.End})
		p.i++
	case next.Kind == 'w' && (next.Has("kin") || next.Has("role") || next.Has("group")):
		p.num = t.Num
	case p.own != nil && p.own.Pronoun != "" && next.Open: // "her 3 (Lily, Sam, Zoe)"
		p.num = t.Num
		p.kin(t, words.Word{Class: "kin", Arg: "child", Plural: true, Text: t.Text})
	case next.Key == "x" || p.peek(-1).Key == "x" || p.peek(-1).Key == "×":
		p.lost = slices.DeleteFunc(p.lost, func(l Phrase) bool { return l.Key == "x" })
		if next.Key == "x" {
			p.i++
		}
		class := "times"
		if n := len(p.cur); p.grp || n > 0 && p.cur[n-1].Word.Plural { // "BMs x5"
			class = "count"
		}
		p.attr(Attribute{Class: class, Num: t.Num, Text: t.Text, Start: t.Start, End: t.End})
	case len(p.cur) > 0 && last != nil && last == p.cur[len(p.cur)-1] && t.Num <= 110:
		last.Attrs = append(last.Attrs, Attribute{Class: "years", Num: t.Num, Text: t.Text, Start: t.Start, End: t.End})
	default:
		p.attr(Attribute{Class: "number", Num: t.Num, Text: t.Text, Start: t.Start, End: t.End})
	}
}

// reference takes the numbers of other photographs: "same as 3", "9 + 10", "1 to 6".
func (p *parser) reference(t *Phrase) bool {
	if p.ages || !p.r.Counted[t.Num] {
		return false
	}
	last := p.lastTerm()
	if n := len(p.cur); n > 0 && last.number() == 0 {
		if last.Kind != Same {
			return false
		}
		last.Kind, last.Name = Letter, strconv.Itoa(t.Num)
		return true
	}
	next, after, behind := p.peek(1), p.peek(2), p.peek(3)
	joins := func(x *Phrase) bool {
		return x.Key == "+" || x.Key == "&" || x.Key == "," || x.Key == "-" || x.Has("and") || x.Has("to")
	}
	counted := behind.Has("years") || behind.Has("unitmin") || behind.Has("count") || behind.Has("kin") || behind.Has("role") || behind.Has("group")
	n := 1
	for p.peek(n).Has("fill") || p.peek(n).Has("same") { // "no. 4 again, with Ben"
		n++
	}
	changed := p.peek(n).Key == "+" || p.peek(n).Has("with") || p.peek(n).Has("minus") || n > 1 && p.peek(n).Kind == 0
	goesOn := last != nil && last.Kind == Letter && joins(p.peek(-1))
	switch {
	case goesOn, joins(next) && after.Kind == 'n' && p.r.Counted[after.Num] && !counted:
	case (p.i == 0 || p.ph[0].Has("ref") && (p.i == 1 || p.i == 2 && p.ph[1].Key == ".")) && !p.in && changed:
	default:
		return false
	}
	if goesOn && (p.peek(-1).Key == "-" || p.peek(-1).Has("to")) {
		for k := last.number() + 1; k < t.Num; k++ {
			p.add(&Term{Kind: Letter, Name: strconv.Itoa(k)}, t)
		}
	}
	p.lost = slices.DeleteFunc(p.lost, func(l Phrase) bool { return l.Has("ref") || l.Has("to") })
	p.add(&Term{Kind: Letter, Name: strconv.Itoa(t.Num)}, t)
	return true
}

// lastTerm is the term before, of this chunk or the one before it, or nil.
func (p *parser) lastTerm() *Term {
	for _, list := range [][]*Term{p.cur, p.out.Terms} {
		if n := len(list); n > 0 {
			return list[n-1]
		}
	}
	return nil
}

// number is that of the photograph that a term refers to, or 0.
func (t *Term) number() int {
	if t == nil || t.Kind != Letter {
		return 0
	}
	n, _ := strconv.Atoi(t.Name)
	return n
}

// behindTime reports whether a phrase before says until or from when: "by 3".
func (p *parser) behindTime(n int) bool {
	t := p.peek(n)
	return (t.Has("until") || t.Has("from")) && !p.r.NameLike(t) && (n == -1 || p.peek(-1).Key == "by" || p.peek(-1).Key == "at")
}

// age gives an age to the last person, or to all in this stretch who have none: "Leonor e Matilde, 4 anos".
func (p *parser) age(a Attribute) {
	if len(p.cur) > 0 {
		if last := p.cur[len(p.cur)-1]; last.Kind == Person {
			last.Attrs = append(last.Attrs, a)
			return
		}
	}
	found := false
	for k := len(p.out.Terms) - 1; k >= 0; k-- {
		t := p.out.Terms[k]
		if t.Kind != Person || HasAge(t) || t.Word != p.out.Terms[len(p.out.Terms)-1].Word {
			break
		}
		t.Attrs = append(t.Attrs, a)
		if found = true; k < len(p.out.Terms)-1 {
			t.Attrs[len(t.Attrs)-1].Arg = "shared"
		}
		if t.Sep == "," || t.Sep == ";" {
			break
		}
	}
	if !found {
		p.attr(a)
	}
}

// HasAge reports whether a term is said to have an age.
func HasAge(t *Term) bool {
	return slices.ContainsFunc(t.Attrs, func(a Attribute) bool { return a.Class == "years" || a.Class == "months" || a.Class == "weeks" })
}

func (p *parser) lastPerson() *Term {
	if p.tells && len(p.cur) == 0 && p.shes != 0 { // "Nana Ida with Baby. She is 93"
		for k := len(p.out.Terms) - 1; k >= 0; k-- {
			if t := p.out.Terms[k]; t.Kind == Person && t.Word.Class == "kin" && t.Word.Sex == p.shes {
				return t
			}
		}
	}
	for _, list := range [][]*Term{p.cur, p.out.Terms} {
		if n := len(list); n > 0 {
			if list[n-1].Kind == Person || list[n-1].Kind == Kin && !list[n-1].Word.Plural {
				return list[n-1]
			}
			return nil
		}
	}
	return nil
}

// attr keeps what is said: of the last person in this chunk, else of the whole.
func (p *parser) attr(a Attribute) {
	if Personal[a.Class] {
		p.needs = true
		if last := p.lastPerson(); last != nil && (len(p.cur) > 0 || p.in || p.sep != "+" && p.sep != "&") {
			last.Attrs = append(last.Attrs, a)
			return
		}
	}
	if a.Class == "open" {
		if n := len(p.cur); n > 0 {
			p.cur[n-1].Open = true
		} else if n := len(p.out.Terms); n > 0 {
			p.out.Terms[n-1].Open = true
		}
	}
	p.out.Split = p.out.Split || a.Class == "split"
	p.out.Attrs = append(p.out.Attrs, a)
}

// Personal are the classes of what is said of one person.
var Personal = map[string]bool{"time": true, "need": true, "absent": true, "dead": true, "from": true, "until": true, "elder": true, "child": true, "infant": true, "years": true, "months": true, "weeks": true, "nick": true, "say": true}

// timeNext reports whether a time of day follows: "until 17:00", "by 1500".
func (p *parser) timeNext() bool {
	for k := 1; k < 4; k++ {
		if t := p.peek(k); t.Kind == 't' || t.Kind == 'n' {
			return true
		}
	}
	if words.IsHan(p.peek(0).Text) && p.peek(-1).Kind == 't' { // 14:00要先走
		return true
	}
	return p.peek(0).Has("from") && p.peek(0).Text != "from"
}
