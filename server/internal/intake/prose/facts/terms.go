package facts

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// Pairs divides "A + B, C + D": each part between commas has several names, joined alike. "Ann with Bea, Cleo and Dot" is one.
func Pairs(terms []*speech.Term) [][]*speech.Term {
	var out [][]*speech.Term
	from := 0
	for k := 1; k <= len(terms); k++ {
		if k < len(terms) && terms[k].Sep != "," && terms[k].Sep != ";" {
			continue
		}
		if k-from < 2 || terms[from+1].Sep == "+" != (terms[1].Sep == "+") || terms[from].Kind == speech.Letter || terms[from].Kind == speech.Same { // "#1 + Ann, Bob and his kids"
			return nil
		}
		out = append(out, terms[from:k])
		from = k
	}
	return out
}

// BothHalves reports whether two terms are the two of the couple: "Hallie/Jonah with ...".
func (r *Reader) BothHalves(a, b *speech.Term) bool {
	if a.Kind == speech.Half && b.Kind == speech.Half {
		return a.Word.Sex != b.Word.Sex
	}
	return a.Kind == speech.Person && b.Kind == speech.Person && r.HalfNamed(a.Name) != r.HalfNamed(b.Name)
}

// TimeAfter is the time of day that follows "until" or "arrives".
func TimeAfter(attrs []speech.Attribute) string {
	for _, a := range attrs {
		switch {
		case a.Class == "time":
			return a.Arg
		case a.Class == "number" && a.Num >= 100 && a.Num < 2400 && a.Num%100 < 60:
			at, _ := words.Clock(string(rune('0'+a.Num/1000))+string(rune('0'+a.Num/100%10)), string(rune('0'+a.Num/10%10))+string(rune('0'+a.Num%10)), "")
			return at
		}
	}
	return ""
}

// youngTeam reports whether a team of a club is of children: "Minis", "Junior Girls", "Boys Squad".
func (r *Reader) youngTeam(label string) bool {
	ws := strings.Fields(label)
	if len(r.Principals()) > 0 || len(ws) == 0 {
		return false
	}
	squad := len(ws) > 1 && (words.Listed("body", ws[len(ws)-1]) || ws[len(ws)-1] == "squad") && (words.Listed("sons", ws[0]) || words.Listed("daughters", ws[0]))
	return squad || slices.ContainsFunc(ws, func(w string) bool { return words.Listed("young team", w) })
}

// KeepTitle makes the title of a group known as words that belong together.
func (r *Reader) KeepTitle(title string) {
	key := ""
	for _, t := range words.Tokenize(title) {
		if key += " " + t.Key; t.Possessive {
			key += " s"
		}
	}
	key = strings.TrimSuffix(strings.TrimSpace(key), " s")
	short := people.LabelKey(key)
	for _, k := range []string{key, short} {
		first, _, _ := strings.Cut(k, " ")
		if first != "" {
			r.Whole[k], r.Starts[first] = words.Word{Class: "titled", Text: title}, true
		}
	}
}

// ordinal is a day as it is said: "26th", "1er".
var ordinal = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|er|e|o|a)$`)

// DayOf is the day of a month that a number may be, or 0.
func DayOf(p *speech.Phrase) int {
	n := 0
	if p.Kind == 'n' {
		n = p.Num
	} else if m := ordinal.FindStringSubmatch(p.Key); m != nil {
		n, _ = strconv.Atoi(m[1])
	}
	if n > 31 {
		return 0
	}
	return n
}

// ofGroup keeps who is of a group that only words name, and that those of a team of children are some.
func (r *Reader) ofGroup(t *speech.Term, i int) {
	key := people.LabelKey(t.Text)
	if r.youngTeam(key) {
		r.Describe(i, []speech.Attribute{{Class: "child"}})
	}
	r.Describe(i, slices.DeleteFunc(slices.Clone(t.Attrs), func(a speech.Attribute) bool { return a.Class != "child" })) // "U9s: Leo, Mia"
	if !slices.Contains(r.Groups[key], i) {
		r.Groups[key] = append(r.Groups[key], i)
	}
}

// alreadyKnown adds the parent whom the list has named before to the one in a bracket behind both: "mum and dad (Karl)".
func (r *Reader) alreadyKnown(t *speech.Term, free []*speech.Term, owners []int) {
	if t.Word.Arg != "parent" || !t.Word.Plural || !strings.Contains(t.Text, " ") || len(free) != 1 || len(t.Names) != 1 || len(free[0].Guests) != 1 || len(owners) != 1 {
		return
	}
	others := slices.DeleteFunc(r.KinOf(owners[0], words.Word{Class: "kin", Arg: "parent"}, 0), func(i int) bool { return i == free[0].Guests[0] })
	if len(others) == 1 {
		t.Names = append(t.Names, &speech.Term{Kind: speech.Person, Name: r.Guests[others[0]].Name, Text: r.Guests[others[0]].Name, Sep: "&", Start: t.Start, End: t.End, Guests: others})
	}
}
