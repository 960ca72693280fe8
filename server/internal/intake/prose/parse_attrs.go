package prose

import (
	"slices"
	"strconv"

	"kinorder.example/server/internal/intake/prose/words"
)

// attr is something that is said of a person or photograph.
type attr struct {
	class string // of the word, or "age", "months", "note", "more", "who"
	arg   string
	num   int
	text  string
	s, e  int
}

func (p *parser) number(t *phrase) {
	next := p.peek(1)
	if p.reference(t) {
		return
	}
	for _, unit := range []string{"years", "months", "weeks"} {
		if next.has(unit) && !p.r.nameLike(next) {
			p.age(attr{class: unit, num: t.Num, text: t.Text + " " + next.Text, s: t.Start, e: next.End})
			p.i++
			return
		}
	}
	last := p.lastPerson()
	switch {
	case t.Num < 24 && (p.behindTime(-1) || p.behindTime(-2)):
		p.attr(hourSaid(t))
	case next.has("frames"):
		p.out.attrs = append(p.out.attrs, attr{class: "frames", num: t.Num, s: t.Start, e: next.End})
		p.i++
	case next.has("count") || next.has("unitmin"):
		class := "count"
		if next.has("unitmin") {
			class = "minutes"
		}
		p.attr(attr{class: class, num: t.Num, text: t.Text + " " + next.Text, s: t.Start, e: next.End})
		p.i++
	case next.Kind == 'w' && (next.has("kin") || next.has("role") || next.has("group")):
		p.num = t.Num
	case p.own != nil && p.own.pron != "" && next.open: // "her 3 (Lily, Sam, Zoe)"
		p.num = t.Num
		p.kin(t, words.Word{Class: "kin", Arg: "child", Plural: true, Text: t.Text})
	case next.Key == "x" || p.peek(-1).Key == "x" || p.peek(-1).Key == "×":
		p.lost = slices.DeleteFunc(p.lost, func(l phrase) bool { return l.Key == "x" })
		if next.Key == "x" {
			p.i++
		}
		class := "times"
		if n := len(p.cur); n > 0 && p.cur[n-1].w.Plural { // "BMs x5"
			class = "count"
		}
		p.attr(attr{class: class, num: t.Num, text: t.Text, s: t.Start, e: t.End})
	case len(p.cur) > 0 && last != nil && last == p.cur[len(p.cur)-1] && t.Num <= 110:
		last.attrs = append(last.attrs, attr{class: "years", num: t.Num, text: t.Text, s: t.Start, e: t.End})
	default:
		p.attr(attr{class: "number", num: t.Num, text: t.Text, s: t.Start, e: t.End})
	}
}

// reference takes the numbers of other photographs: "same as 3", "9 + 10", "1 to 6".
func (p *parser) reference(t *phrase) bool {
	if p.ages || !p.r.counted[t.Num] {
		return false
	}
	last := p.lastTerm()
	if n := len(p.cur); n > 0 && last.number() == 0 {
		if last.kind != same {
			return false
		}
		last.kind, last.name = letter, strconv.Itoa(t.Num)
		return true
	}
	next, after, behind := p.peek(1), p.peek(2), p.peek(3)
	joins := func(x *phrase) bool {
		return x.Key == "+" || x.Key == "&" || x.Key == "," || x.Key == "-" || x.has("and") || x.has("to")
	}
	counted := behind.has("years") || behind.has("unitmin") || behind.has("count") || behind.has("kin") || behind.has("role") || behind.has("group")
	goesOn := last.number() > 0 && joins(p.peek(-1))
	switch {
	case goesOn, joins(next) && after.Kind == 'n' && p.r.counted[after.Num] && !counted:
	case p.i == 0 && !p.in && (next.Key == "+" || next.has("with") || next.has("minus")):
	default:
		return false
	}
	if goesOn && (p.peek(-1).Key == "-" || p.peek(-1).has("to")) {
		for k := last.number() + 1; k < t.Num; k++ {
			p.add(&term{kind: letter, name: strconv.Itoa(k)}, t)
		}
	}
	p.add(&term{kind: letter, name: strconv.Itoa(t.Num)}, t)
	return true
}

// lastTerm is the term before, of this chunk or the one before it, or nil.
func (p *parser) lastTerm() *term {
	for _, list := range [][]*term{p.cur, p.out.terms} {
		if n := len(list); n > 0 {
			return list[n-1]
		}
	}
	return nil
}

// number is that of the photograph that a term refers to, or 0.
func (t *term) number() int {
	if t == nil || t.kind != letter {
		return 0
	}
	n, _ := strconv.Atoi(t.name)
	return n
}

// behindTime reports whether a phrase before says until or from when: "by 3".
func (p *parser) behindTime(n int) bool {
	t := p.peek(n)
	return (t.has("until") || t.has("from")) && !p.r.nameLike(t) && (n == -1 || p.peek(-1).Key == "by" || p.peek(-1).Key == "at")
}

// age gives an age to the last person, or to all in this stretch who have none: "Leonor e Matilde, 4 anos".
func (p *parser) age(a attr) {
	if len(p.cur) > 0 {
		if last := p.cur[len(p.cur)-1]; last.kind == person {
			last.attrs = append(last.attrs, a)
			return
		}
	}
	found := false
	for k := len(p.out.terms) - 1; k >= 0; k-- {
		t := p.out.terms[k]
		if t.kind != person || hasAge(t) {
			break
		}
		t.attrs = append(t.attrs, a)
		found = true
		if t.sep == "," || t.sep == ";" {
			break
		}
	}
	if !found {
		p.attr(a)
	}
}

func hasAge(t *term) bool {
	return slices.ContainsFunc(t.attrs, func(a attr) bool { return a.class == "years" || a.class == "months" || a.class == "weeks" })
}

func (p *parser) lastPerson() *term {
	for _, list := range [][]*term{p.cur, p.out.terms} {
		if n := len(list); n > 0 {
			if list[n-1].kind == person || list[n-1].kind == kinTerm && !list[n-1].w.Plural {
				return list[n-1]
			}
			return nil
		}
	}
	return nil
}

// attr keeps what is said: of the last person in this chunk, else of the whole.
func (p *parser) attr(a attr) {
	if personal[a.class] {
		if last := p.lastPerson(); last != nil && (len(p.cur) > 0 || p.in || p.sep != "+" && p.sep != "&") {
			last.attrs = append(last.attrs, a)
			return
		}
	}
	if a.class == "open" {
		if n := len(p.cur); n > 0 {
			p.cur[n-1].open = true
		} else if n := len(p.out.terms); n > 0 {
			p.out.terms[n-1].open = true
		}
	}
	p.out.attrs = append(p.out.attrs, a)
}

// personal are the classes of what is said of one person.
var personal = map[string]bool{"time": true, "need": true, "absent": true, "dead": true, "from": true, "until": true, "elder": true, "child": true, "infant": true, "years": true, "months": true, "weeks": true, "nick": true, "say": true}
