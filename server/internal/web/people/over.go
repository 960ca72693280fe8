// Package people has what planners decide of guests and photos on the pages of package web, over what their list says: what
// was put right of somebody, photos by ticking and by suggestion. It keeps nothing and draws nothing.
package people

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// Over is what was decided on the page over what the list says. It is kept beside the list, and put into what is read of it
// each time.
type Over struct {
	// Priorities are those of photos.
	Priorities []fields.Priority `json:",omitempty"`
	People     []Mended          `json:",omitempty"`
	Titles     []Titled          `json:",omitempty"`
	Casts      []Cast            `json:",omitempty"`
}

// Titled is what a photo is called whose line says so in words that reading takes for something else. ID is the photo's. It
// holds while the line has the title, or is the Line that was written for it.
type Titled struct {
	ID, Title string
	Line      string `json:",omitempty"`
}

// Mended is what was put right of one person. ID and Name are those of the list; Fields are by the names of fieldNames, and
// have only what the list says otherwise.
type Mended struct {
	ID, Name string
	Fields   map[string]string
}

const (
	// field is the hidden field that carries all that was put right. The fields of somebody who is open begin with open.
	field, titlesField = "people", "titles"
	open               = "who."
)

// Read reads what the form carries, what was changed in the fields of somebody who is open, and what a button says.
func Read(p fields.Posted) Over {
	o := Over{Priorities: fields.ReadPriorities(p)}
	if json.Unmarshal([]byte(p.Get(field)), &o.People) != nil {
		o.People = nil
	}
	if json.Unmarshal([]byte(p.Get(titlesField)), &o.Titles) != nil {
		o.Titles = nil
	}
	if json.Unmarshal([]byte(p.Get(castField)), &o.Casts) != nil {
		o.Casts = nil
	}
	o.Casts = o.Casts[:min(len(o.Casts), event.MaxPhotographs)]
	o.recast(p)
	o.People, o.Titles = o.People[:min(len(o.People), event.MaxPeople)], o.Titles[:min(len(o.Titles), event.MaxPhotographs)]
	o.change(p)
	if id, ok := strings.CutPrefix(p.Line("act"), "as-listed:"); ok {
		o.People = slices.DeleteFunc(o.People, func(m Mended) bool { return m.ID == id })
	}
	return o
}

// change takes what somebody changed in the fields of a person. A field says what it showed: what has not been touched
// stays as it is kept, also where another window changed it.
func (o *Over) change(p fields.Posted) {
	changed := map[string]string{}
	for _, name := range fieldNames {
		was, now := p.Line(open+name+".was"), p.Line(open+name)
		if p.Has(open+name+".was") && now != was && (name != "name" || now != "") {
			changed[name] = now
		}
	}
	id := p.Line(open + "id")
	if id == "" || len(changed) == 0 {
		return
	}
	if _, both := changed["years"]; !both && changed["age"] != "" {
		changed["years"] = "" // they went before it
	}
	at := slices.IndexFunc(o.People, func(m Mended) bool { return m.ID == id })
	if at < 0 {
		at = len(o.People)
		o.People = append(o.People, Mended{ID: id, Name: p.Line(open + "listed")})
	}
	m := &o.People[at]
	if m.Fields == nil {
		m.Fields = changed
	}
	maps.Copy(m.Fields, changed)
}

// Hidden lists the fields that carry it.
func (o Over) Hidden() []fields.Hidden {
	out := fields.HiddenPriorities(o.Priorities)
	if len(o.People) > 0 {
		raw, _ := json.Marshal(o.People) // texts alone can be marshalled
		out = append(out, fields.Hidden{Name: field, Value: string(raw)})
	}
	if len(o.Titles) > 0 {
		raw, _ := json.Marshal(o.Titles)
		out = append(out, fields.Hidden{Name: titlesField, Value: string(raw)})
	}
	if len(o.Casts) > 0 {
		raw, _ := json.Marshal(o.Casts)
		out = append(out, fields.Hidden{Name: castField, Value: string(raw)})
	}
	return out
}

// Said is what a field of somebody has that no event has.
func (o Over) Said(id, field string) string {
	for _, m := range o.People {
		if m.ID == id {
			return m.Fields[field]
		}
	}
	return ""
}

// Empty says that nothing was decided.
func (o Over) Empty() bool { return len(o.Priorities)+len(o.People)+len(o.Titles)+len(o.Casts) == 0 }

// Apply puts it into an event that was read, and returns it as it fits that: what the list says by now goes, and what fits
// nobody stays, because a line that is being changed comes back.
func (o Over) Apply(e *event.Event, lines []intake.Line) (Over, []fields.Fault) {
	out := Over{Priorities: fields.ApplyPriorities(e, o.Priorities), Titles: o.Titles, Casts: o.Casts}
	o.applyTitles(e, lines)
	if len(o.People) == 0 {
		return out, nil
	}
	e.People = slices.Clone(e.People)
	find := finder(e.People)
	var faults []fields.Fault
	for _, m := range o.People {
		k := find(m)
		if k < 0 {
			out.People = append(out.People, m)
			continue
		}
		p := &e.People[k]
		listed := valuesOf(*p)
		fit := Mended{ID: p.ID, Name: p.Name, Fields: map[string]string{}}
		for _, name := range fieldNames {
			if now, ok := m.Fields[name]; ok && now != listed[name] {
				fit.Fields[name] = now
			}
		}
		if len(fit.Fields) == 0 {
			continue
		}
		if out.People = append(out.People, fit); !fit.apply(p, e.Sides) {
			faults = append(faults, fields.Fault{Field: RowID(p.ID), Message: wording.Say("page.noWholeNumber", wording.Say("page.ageInYears"))})
		}
	}
	return out, faults
}

// applyTitles puts titles into the photos whose lines have them.
func (o Over) applyTitles(e *event.Event, lines []intake.Line) {
	if len(o.Titles) == 0 {
		return
	}
	e.Groupings = slices.Clone(e.Groupings)
	text := map[string]string{} // of the line that a grouping is from
	for _, l := range lines {
		for _, f := range l.Fields {
			text[f] = l.Text
		}
	}
	for k := range e.Groupings {
		for _, t := range o.Titles {
			line := text[fmt.Sprintf("groupings[%d]", k)]
			if t.ID == event.GroupingID(e, k) && (strings.Contains(line, t.Title) || t.Line != "" && strings.TrimSpace(line) == t.Line) {
				e.Groupings[k].Title = t.Title
			}
		}
	}
}

// finder finds whom something was put right of: the only one of that name in the list, else whoever has the id.
func finder(list []event.Person) func(Mended) int {
	ids, names := map[string]int{}, map[string]int{}
	for k, p := range list {
		if _, double := ids[p.ID]; !double {
			ids[p.ID] = k
		}
		if _, double := names[p.Name]; double {
			names[p.Name] = -1
		} else {
			names[p.Name] = k
		}
	}
	taken := map[int]bool{}
	return func(m Mended) int {
		k, ok := names[m.Name]
		if !ok || k < 0 {
			if k, ok = ids[m.ID]; !ok {
				return -1
			}
		}
		if taken[k] {
			return -1
		}
		taken[k] = true
		return k
	}
}

// RowID is the id of somebody's row on the page.
func RowID(id string) string { return "person." + id }

// Fields are those of a form that say what they showed, with its button.
func Fields(all url.Values) url.Values {
	out := url.Values{}
	for name, list := range all {
		if strings.HasPrefix(name, open) || strings.HasPrefix(name, inIt) || name == "act" || name == "lang" {
			out[name] = list
		}
	}
	return out
}

// Overlap says that two changed the same of what was decided, or that more than fields of people was changed by both.
func Overlap(was, mine, theirs Over) bool {
	same := func(a, b any) bool { x, _ := json.Marshal(a); y, _ := json.Marshal(b); return string(x) == string(y) }
	both := func(of func(Over) any) bool { return !same(of(was), of(mine)) && !same(of(was), of(theirs)) }
	if both(func(o Over) any { return o.Casts }) || !same(was.Priorities, mine.Priorities) || !same(was.Titles, mine.Titles) {
		return true
	}
	for _, m := range mine.People {
		for _, name := range fieldNames {
			before, here, there := was.Said(m.ID, name), m.Fields[name], theirs.Said(m.ID, name)
			if before != here && before != there && here != there {
				return true
			}
		}
	}
	return false
}
