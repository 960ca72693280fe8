package speech

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"

	"kinorder.example/server/internal/intake/prose/words"
)

// Term is one thing that a line joins to others: a person by name, words of kin, a role, the couple, everybody.
type Term struct {
	Kind       byte       // see below
	Word       words.Word // of kin, a role, a half of the couple
	Owner      *Owner
	Name       string // of a person, without kin
	Rank       string // "Capt", "Nana": shown before the name
	Text       string // as written
	Start, End int    // bytes of the line
	Sep        string // what joins it to the term before: "," "+" "&" "/" ";"
	Minus      bool
	Each       bool
	Sets       bool // "each set of"
	All        bool // "both", "all"
	Every      bool // "all"
	Line       byte // 'm' maternal, 'p' paternal, 'g' of a label: generations of one line
	Close      byte // 'i' immediate, 'e' extended family
	Number     int  // "2 grandparents"
	Count      int  // of people, in brackets
	Names      []*Term
	Attrs      []Attribute
	only       bool // the bracket names some of them
	Open       bool // "etc" follows
	Beside     bool // words that mean nothing stand with it
	Article    bool // an article or "his" stands before it
	Ways       bool // one photograph with them and one without
	Sex        byte // "(men only)"
	Qualified  bool // the words say what for: "padrinos de arras"
	Shared     bool // the names of a bracket behind another word are its own
	Guests     []int
}

// The kinds of terms.
const (
	Person  = 'n'
	Kin     = 'k'
	Role    = 'r'
	Couple  = 'c'
	Half    = 'h'
	All     = 'a'
	Label   = 'g' // a group that only the words name
	Letter  = 'l' // other lines by their letters or numbers
	Same    = 's'
	Pronoun = 'p' // "her", "them": of those whom the words before name
	Us      = 'u' // whoever writes and is not of the couple, with others: "us", "the four of us"
)

// Owner is whose kin is meant.
type Owner struct {
	Half    byte // 'w' the bride's, 'm' the groom's
	Name    string
	Pronoun string // "her", "his", "their", "my", "your"
	Both    bool
	Said    string // "our", of both
	Kin     *Term
	Near    bool // not said, but named right before: "Sten & family"
}

// Parsed is a stretch of a line as terms, and what it says beside them.
type Parsed struct {
	Terms   []*Term
	Attrs   []Attribute // of the whole
	Add     bool        // it begins with "add" or "+"
	Unknown []Attribute // words that are nothing known
	Solo    bool        // "alone", "only"
	Split   bool        // "separately"
	Apart   bool
	Each    bool
	Owner   *Owner // whose the words behind a colon are: "Hallie's:"
}

// plain reports whether a term is a name without kin, a role or a bracket.
func (t *Term) plain() bool { return t.Kind == Person && t.Word.Class == "" && len(t.Names) == 0 }

// OpenTerms are the words for several people or a role that have no names.
func OpenTerms(terms []*Term) []*Term {
	var out []*Term
	for _, t := range terms {
		if (t.Kind == Kin || t.Kind == Role || t.Kind == Label || t.Kind == Us) && len(t.Names) == 0 && !t.Minus && !(t.Word.Arg == "partner" && t.Word.Plural) {
			out = append(out, t)
		}
	}
	return out
}

// OnlySaid reports whether words behind a name say what that person is, and name nobody.
func (r *Reader) OnlySaid(p Parsed) bool {
	return !slices.ContainsFunc(p.Terms, func(t *Term) bool { return t.Kind == Person })
}

// Said is what is said beside the terms and of each.
func (p Parsed) Said() []Attribute {
	out := slices.Clone(p.Attrs)
	for _, t := range p.Terms {
		out = append(out, t.Attrs...)
	}
	return out
}

// HasRemark reports whether words beside the terms are kept as a note.
func (p Parsed) HasRemark() bool {
	return slices.ContainsFunc(p.Attrs, func(a Attribute) bool { return a.Class == "note" })
}

// Without are the terms that are not dropped.
func Without(terms []*Term, drop func(*Term) bool) []*Term {
	return slices.DeleteFunc(slices.Clone(terms), drop)
}

// Myself is who of the couple writes: in a chat the author of the line.
func (r *Reader) Myself() int {
	if h := r.HalfNamed(r.Line.By); h > 0 {
		return h
	}
	if r.Author > 0 {
		return r.Author
	}
	return r.WhoWrites()
}

// ByWriter reports whether the line is written by somebody who is not of the couple.
func (r *Reader) ByWriter() bool {
	return r.Writes != "" && (r.Line.By == "" || names.Plain(r.Line.By) == names.Plain(r.Writes))
}

// WriterID is who writes and is not of the couple, by the name or the beginning of it that stands below the list, or -1.
func (r *Reader) WriterID() int {
	if !r.ByWriter() {
		return -1
	}
	first, _, _ := strings.Cut(names.Plain(r.Writes), " ")
	for _, name := range []string{r.Writes, first} {
		if ids := r.Find(name); len(ids) == 1 {
			return ids[0]
		}
	}
	found := -1
	if !r.Effort.Spend(10 * len(r.Guests)) {
		return -1
	}
	for i := range r.Guests {
		if key := names.Plain(r.Guests[i].Given); len(first) > 2 && strings.HasPrefix(key, first) {
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

// Leads reports whether a term is the couple or one of them.
func (r *Reader) Leads(t *Term) bool {
	return t.Kind == Half || t.Kind == Couple || t.Kind == Person && r.HalfNamed(t.Name) > 0
}

// Said is all that is said of a term and of those in its brackets.
func (t *Term) Said() []Attribute {
	out := slices.Clone(t.Attrs)
	for _, x := range t.Names {
		out = append(out, x.Said()...)
	}
	return out
}

// IsInfant reports whether it is said to be one: "baby Fin".
func (t *Term) IsInfant() bool {
	return slices.ContainsFunc(t.Attrs, func(a Attribute) bool { return a.Class == "infant" })
}

// whereFrom takes a bracket behind somebody that says where they are from for a remark: "Ann, Bea (vom Rudern)", "(from Kerry)".
func (p *parser) whereFrom(t *Phrase, target *Term) bool {
	in, team := t.Inside, target != nil && target.Kind == Person && p.r.headed[words.Key(strings.Trim(p.r.Line.Text[t.Start:t.End], "()[]"))]
	if !team && (len(in) < 2 || len(in) > 4 || target == nil || target.Kind != Person || !in[0].Has("of") && !in[0].Has("from") && in[0].Key != "from") || AnyHas(in, "kin", "role", "half", "couple", "side", "unitmin") {
		return false
	}
	for k := range in[1:] {
		q := &in[k+1]
		if team {
			break
		}
		if _, given := words.Given(q.Key); given || q.Kind != 'w' || p.r.Known[q.Key] || p.r.Times[q.Key] > 1 && !q.Has("fill") && !q.Has("of") {
			return false
		}
	}
	text, s, e := p.chunkText(in)
	p.out.Attrs = append(p.out.Attrs, Attribute{Class: "note", Text: text, Start: s, End: e})
	return true
}

// members takes names behind a dash for those of the group before it: "Helen + book club - Viv, Anthea".
func (p *parser) members() {
	if p.told == 0 {
		return
	}
	us := p.out.Terms[p.told-1].Kind == Us
	end := p.behind
	for end < len(p.out.Terms) && p.out.Terms[end].Kind == Person && !p.out.Terms[end].Minus && (us || !p.r.InCouple(p.out.Terms[end].Name)) && (end == p.behind || p.out.Terms[end].Sep != "+") {
		end++
	}
	if end > p.behind+1 && (end == len(p.out.Terms) || p.out.Terms[end].Sep == "+") {
		p.out.Terms[p.told-1].Names, p.out.Terms = slices.Clone(p.out.Terms[p.behind:end]), slices.Delete(p.out.Terms, p.behind, end)
	}
}

// leads reports whether a term is of the couple, or whom the day is about.
func (p *parser) leads(t *Term) bool {
	return t.Kind == Couple || t.Kind == Half || t.Kind == Person && (p.r.InCouple(t.Name) || p.r.IsHonour(t.Name))
}

// sentenceOfNames takes a last sentence of names only for those of the role or kin for several before it: "groomsmen with me. Kit,
// Bram, Idris".
func (p *parser) sentenceOfNames() {
	at := slices.IndexFunc(p.out.Terms, func(t *Term) bool { return t.Sep == "." })
	if at < 1 || len(p.out.Terms)-at < 2 || slices.ContainsFunc(p.out.Terms[at:], func(t *Term) bool {
		return t.Kind != Person || t.Word.Class != "" || t.Minus || p.r.InCouple(t.Name)
	}) {
		return
	}
	open := OpenTerms(p.out.Terms[:at])
	if len(open) == 1 && open[0].Word.Plural && (open[0].Kind == Role || open[0].Kind == Kin) {
		open[0].Names, p.out.Terms = slices.Clone(p.out.Terms[at:]), p.out.Terms[:at]
	}
}
