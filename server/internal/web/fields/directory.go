package fields

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/wording"
)

// Directory knows the people and circles of an event by labels that tell them apart.
type Directory struct {
	labels map[string]string // by id
	ids    map[string]string // by label, as it is compared
	Order  []string          // labels, circles first
	index  names.Index
	byPos  []string // ids by their number in index
}

// NewDirectory is that of an event.
func NewDirectory(e event.Event) Directory {
	d := Directory{labels: map[string]string{}, ids: map[string]string{}}
	add := func(id, name, more string) {
		if _, double := d.labels[id]; id == "" || double {
			return
		}
		label := called(name, id)
		if _, taken := d.ids[names.Plain(label)]; taken && more != "" {
			label = fmt.Sprintf("%s (%s)", label, more)
		}
		if _, taken := d.ids[names.Plain(label)]; taken {
			label = fmt.Sprintf("%s [%s]", called(name, id), id)
		}
		d.labels[id], d.ids[names.Plain(label)] = label, id
		d.Order = append(d.Order, label)
		d.index.Add(len(d.byPos), called(name, id))
		d.byPos = append(d.byPos, id)
	}
	for _, c := range e.Circles {
		add(c.ID, c.Title, "")
	}
	for _, p := range e.People {
		add(p.ID, p.Name, p.Relation)
		for _, n := range p.Nicknames {
			if d.labels[p.ID] != "" {
				d.index.Add(len(d.byPos)-1, n)
			}
		}
	}
	return d
}

// Or finds by the labels of another directory of the same event what has none such in this one.
func (d Directory) Or(other Directory) Directory {
	for label, id := range other.ids {
		if _, taken := d.ids[label]; !taken {
			d.ids[label] = id
		}
	}
	return d
}

// called is the name of something, or its id where it has none.
func called(name, id string) string {
	if strings.TrimSpace(name) == "" {
		return id
	}
	return name
}

// label returns what an id is called on the page; an id that nobody has stands for itself.
func (d Directory) label(id string) string {
	if l, ok := d.labels[id]; ok {
		return l
	}
	return id
}

// find returns the id that a label, a name or an id stands for, or what to write instead. Who may be meant is
// only looked for when it is asked to guess.
func (d Directory) find(who string, guess bool) (id string, advice wording.Message) {
	if id, ok := d.ids[names.Plain(who)]; ok {
		return id, wording.Message{}
	}
	if _, ok := d.labels[who]; ok {
		return who, wording.Message{}
	}
	match := d.index.FindAt(who, names.Part, nil)
	if at, ok := match.One(); ok && match.How >= names.Part {
		return d.byPos[at], wording.Message{}
	}
	guesses := match.People
	if len(guesses) == 0 && guess {
		match = d.index.Find(who, nil)
		guesses = match.People
	}
	if len(guesses) == 0 && guess {
		guesses = d.index.Closest(who, 3)
	}
	var labels []string
	for _, at := range guesses[:min(len(guesses), 5)] {
		labels = append(labels, d.labels[d.byPos[at]])
	}
	switch {
	case len(labels) == 0:
		return "", wording.Say("page.nobodyInTheListIsCalledChoose", wording.Quoted(who))
	case len(match.People) > 1:
		return "", wording.Say("page.canBeSeveral", wording.Quoted(who), labels)
	default:
		return "", wording.Say("page.nobodyInTheListIsCalled", wording.Quoted(who), wording.Or(labels...))
	}
}
