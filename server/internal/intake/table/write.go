package table

import (
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
)

// words of enumerations in a table; Read understands them.
var (
	ageWords      = map[event.AgeBand]string{event.Elder: "elder", event.Child: "child", event.Infant: "infant"}
	needWords     = map[event.Need]string{event.Seat: "seat", event.Wheelchair: "wheelchair", event.StepFree: "step-free", event.Interpreter: "interpreter"}
	priorityWords = map[event.Priority]string{event.Must: "must", event.Should: "should", event.Nice: "if time"}
	pinWords      = map[event.Pin]string{event.PinFirst: "first", event.PinLast: "last"}
)

// WritePeople makes a table with a person a row.
func WritePeople(e event.Event) Grid {
	g := Grid{Name: "People", Rows: [][]string{{"Name", "Nicknames", "Say as", "Relation", "Side", "Age band", "Height cm", "Needs", "Present from", "Present until", "Presence", "Interpreter", "Absent", "Release weight", "Private note", "Id", "Side id"}}}
	label := make(map[string]string)
	for _, s := range e.Sides {
		label[s.ID] = s.Label
	}
	for _, p := range e.People {
		var needs, presence []string
		for _, n := range p.Needs {
			needs = append(needs, needWords[n])
		}
		for _, s := range p.Presence {
			presence = append(presence, s.From+"/"+s.Until)
		}
		absent := ""
		if p.Absent {
			absent = "yes"
		}
		age := ageWords[p.AgeBand]
		if age == "" {
			age = "adult"
		}
		g.Rows = append(g.Rows, []string{p.Name, listed(p.Nicknames), p.SayAs, p.Relation, label[p.Side], age, whole(p.HeightCM), strings.Join(needs, "; "),
			p.PresentFrom, p.PresentUntil, strings.Join(presence, "; "), p.Interpreter, absent, optional(p.ReleaseWeight), p.PrivateNote, p.ID, p.Side})
	}
	return g
}

// WriteCircles makes a table with a circle a row; see WriteGroupings.
func WriteCircles(e event.Event, byID bool) Grid {
	g := Grid{Name: "Circles", Rows: [][]string{{"Circle", "People", "Leader", "Id"}}}
	ref := references(e, byID)
	for _, c := range e.Circles {
		g.Rows = append(g.Rows, []string{c.Title, refer(ref, c.Members), refer(ref, single(c.Leader)), c.ID})
	}
	return g
}

// WriteGroupings makes a table with a photograph a row. People and circles are named where the name says
// who is meant, and else by their ids, or all byID.
func WriteGroupings(e event.Event, byID bool) Grid {
	g := Grid{Name: "Photographs", Rows: [][]string{{"Title", "People", "Without", "Each of", "Priority", "Pin", "Minutes", "Frames", "Worth", "More guests", "Blocks", "After", "Not before", "Not after", "Confirms", "Private note", "Id"}}}
	ref := references(e, byID)
	for _, x := range e.Groupings {
		g.Rows = append(g.Rows, []string{x.Title, refer(ref, x.Members), refer(ref, x.Without), x.EachOf, priorityWords[x.Priority], pinWords[x.Pin], optional(x.Minutes), whole(x.Frames), optional(x.Worth), whole(x.Guests),
			strings.Join(x.Blocks, "; "), strings.Join(x.After, "; "), x.NotBefore, x.NotAfter, strings.Join(x.Confirms, "; "), x.PrivateNote, x.ID})
	}
	return g
}

// isolates keep the direction of a name within a made-up title to itself; a cell does that by itself.
var isolates = strings.NewReplacer("\u2068", "", "\u2069", "")

// matrixName is what the sheet of people against photographs is called.
const matrixName = "Who is in which"

// WriteMatrix makes a table of people against photographs, each of them once also where a grouping
// stands for several. An x marks who is in it, absent people left out.
func WriteMatrix(e event.Event) Grid {
	taken, _ := event.Expand(e)
	head := []string{"Id", "Name"}
	for _, p := range taken {
		head = append(head, isolates.Replace(p.Title))
	}
	g := Grid{Name: matrixName, Rows: [][]string{head}}
	row := make(map[string]int)
	for _, p := range e.People {
		row[p.ID] = len(g.Rows)
		line := make([]string, len(head))
		line[0], line[1] = p.ID, p.Name
		g.Rows = append(g.Rows, line)
	}
	for k, p := range taken {
		for _, id := range p.Members {
			g.Rows[row[id]][k+2] = "x"
		}
	}
	return g
}

// references are the words that stand for people and circles: the name or title when it is the only one
// and cannot be taken apart, else, or for all, the id.
func references(e event.Event, byID bool) map[string]string {
	if byID {
		return nil
	}
	times := make(map[string]int)
	for _, p := range e.People {
		times[p.Name]++
		times[p.ID]++
	}
	for _, c := range e.Circles {
		times[c.Title]++
		times[c.ID]++
	}
	out := make(map[string]string)
	name := func(id, words string) {
		most := 1
		if id == words {
			most = 2
		}
		if words == "" || words != strings.TrimSpace(words) || strings.ContainsAny(words, ";\n\r\t") || strings.Contains(words, "  ") || times[words] > most || clean(words) != words {
			words = id
		}
		out[id] = words
	}
	for _, p := range e.People {
		name(p.ID, p.Name)
	}
	for _, c := range e.Circles {
		name(c.ID, c.Title)
	}
	return out
}

func refer(ref map[string]string, ids []string) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = id
		if words, ok := ref[id]; ok {
			out[i] = words
		}
	}
	return strings.Join(out, "; ")
}

func single(id string) []string {
	if id == "" {
		return nil
	}
	return slices.Clone([]string{id})
}

func whole(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// optional writes a number that may be missing.
func optional[T int | float64](n *T) string {
	if n == nil {
		return ""
	}
	return strconv.FormatFloat(float64(*n), 'f', -1, 64)
}
