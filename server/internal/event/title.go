package event

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/wording"
)

// fillTitles gives every photograph a title: the planner's own, with the person's name when it
// stands for several photographs, or one made of the names.
func (x *Expansion) fillTitles() {
	often := x.Often()
	for i := range x.All {
		s := &x.All[i]
		title := x.e.Groupings[s.Photo.Source].Title
		switch {
		case !Visible(title):
			title = x.title(s, often)
		case s.Only >= 0:
			title = TitleWords{}.joinMixed([]string{title, x.e.People[s.Only].Name}, func(parts []string) string {
				return parts[0] + ": " + parts[1]
			})
		}
		s.Photo.Title = title
	}
}

// Often tells who is in more than half of the photographs: made-up titles start with them.
func (x *Expansion) Often() []bool {
	times := make([]int, len(x.e.People))
	for _, s := range x.All {
		for _, p := range s.Members {
			times[p]++
		}
	}
	out := make([]bool, len(times))
	for p, n := range times {
		out[p] = n > 2 && 2*n > len(x.All)
	}
	return out
}

// mostAbsent is how many people left out of circles a title names; of more it names none.
const mostAbsent = 2

// titlePart is one name in a title.
type titlePart struct {
	name   string
	people int
	core   bool     // all of its people are in most photographs
	absent []string // of a circle: who is left out of it by Without
}

// title makes a title of what the grouping names: "Amara & Theo with Rosa", "Amara & Theo with
// Rosa's cousins without Ben". Those who are in most photographs come first.
func (x *Expansion) title(s *Shot, often []bool) string {
	people := s.Members
	if !s.Taken() {
		people = s.invited // the title of what is left out says who was wanted
	}
	w := x.wanted(s, people)
	listed := x.e.Groupings[s.Photo.Source].Members
	if s.Only >= 0 {
		listed = append(slices.Clone(listed), x.e.People[s.Only].ID)
	}
	var core, others []titlePart
	for _, id := range listed {
		for _, part := range x.titleParts(id, w, often) {
			if part.core {
				core = append(core, part)
			} else {
				others = append(others, part)
			}
		}
	}
	if len(core) > 3 || len(others) == 0 {
		core, others = nil, append(core, others...)
	}
	return joinTitle(x.words, core, others, len(people))
}

// wanted holds who is to be named in a title, by index.
type wanted struct {
	unnamed []bool          // in the photograph and not yet named
	invited []bool          // in it before absences
	read    map[string]bool // ids already looked at
}

func (x *Expansion) wanted(s *Shot, people []int) *wanted {
	n := len(x.e.People)
	w := &wanted{unnamed: make([]bool, n), invited: make([]bool, n), read: make(map[string]bool)}
	for _, p := range people {
		w.unnamed[p] = true
	}
	for _, p := range s.invited {
		w.invited[p] = true
	}
	return w
}

// titleParts names a person, or a circle by its title, or a circle without one person by person.
// An id or person that was named before has no parts.
func (x *Expansion) titleParts(id string, w *wanted, often []bool) []titlePart {
	if w.read[id] {
		return nil
	}
	w.read[id] = true
	var parts []titlePart
	whole := titlePart{core: true}
	for _, p := range x.r.Of(id) {
		if !w.unnamed[p] {
			if !w.invited[p] && len(whole.absent) <= mostAbsent {
				whole.absent = append(whole.absent, x.e.People[p].Name)
			}
			continue
		}
		w.unnamed[p] = false
		whole.people++
		whole.core = whole.core && often[p]
		parts = append(parts, titlePart{name: x.e.People[p].Name, people: 1, core: often[p]})
	}
	c, circle := x.r.Circles[id]
	if !circle || whole.people < 2 || !Visible(x.e.Circles[c].Title) {
		return parts
	}
	whole.name = x.e.Circles[c].Title
	return []titlePart{whole}
}

// joinTitle writes the parts, the first few when there are many, and the few people who are left out of
// a circle. people is how many are in the photograph.
func joinTitle(w TitleWords, core, others []titlePart, people int) string {
	const most = 5 // more names do not fit on a line of the sheet
	shown := others
	if len(core)+len(others) > most {
		shown = others[:max(1, most-1-len(core))]
	}
	var names, absent []string
	for _, part := range append(slices.Clone(core), shown...) {
		names = append(names, part.name)
		absent = append(absent, part.absent...)
		people -= part.people
	}
	if len(absent) > mostAbsent {
		absent = nil
	}
	more := ""
	if len(shown) < len(others) && people > 0 {
		more = w.More(people)
	}
	cores, all := len(core), len(names)
	return w.joinMixed(append(names, absent...), func(parts []string) string {
		title := w.and(parts[:cores], "")
		if cores > 0 && all > cores {
			title += w.With
		}
		title += w.and(parts[cores:all], more) + more
		if len(parts) > all && all > 0 {
			title += w.Without + w.and(parts[all:], "")
		}
		return title
	})
}

// TitleWords are the words that made-up titles put between names, each with the spaces around it.
type TitleWords struct {
	Comma, And    string
	With, Without string
	More          func(people int) string // for those who are not named
	RightLeft     bool
}

// EnglishTitles are the words of Expand.
var EnglishTitles = TitleWords{
	Comma: ", ", And: " & ", With: " with ", Without: " without ",
	More: func(people int) string { return fmt.Sprintf(" and %d more", people) },
}

// and joins names with commas and, unless more follow or a name has one itself, an ampersand or
// what stands for it before the last.
func (w TitleWords) and(names []string, more string) string {
	has := slices.ContainsFunc(names, func(s string) bool { return strings.Contains(s, "&") })
	if n := len(names); n > 1 && more == "" && !has {
		and, last := w.And, names[n-1]
		if strings.HasPrefix(last, wording.FirstIsolate) { // a word that is written onto the next stands apart from another script
			and = strings.TrimRight(and, " ") + " "
		}
		return strings.Join(names[:n-1], w.Comma) + and + last
	}
	return strings.Join(names, w.Comma)
}

// joinMixed joins parts and, when the result runs both ways, isolates the parts that run against the words between
// them, so that each keeps its place. A title that runs one way needs no marks. One that is read from right to left
// begins with a mark of its direction, as its first name may tell otherwise.
func (w TitleWords) joinMixed(parts []string, join func([]string) string) string {
	plain := join(parts)
	if !wording.RightToLeft(plain) || !wording.LeftToRight(plain) {
		return plain
	}
	against, begin := wording.RightToLeft, ""
	if w.RightLeft {
		against, begin = wording.LeftToRight, "\u200f"
	}
	marked := make([]string, len(parts))
	for i, part := range parts {
		marked[i] = part
		if against(part) {
			marked[i] = wording.Isolate(part)
		}
	}
	return begin + join(marked)
}
