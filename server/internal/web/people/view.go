package people

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// View is the part of the page with all guests.
type View struct {
	Count, Mended int
	Open          bool
	Theirs        bool // it is on the page of the couple
	Sides         []Side
	// Astray is what was put right and fits the list no more.
	Astray []Astray
}

// Side is one family, or those whose side is not known.
type Side struct {
	Title string
	Open  bool
	Rows  []Row
}

// Row is one person. Form is nil unless the fields are shown.
type Row struct {
	ID, Row, Name, About string
	Listed               string // what the list says otherwise
	Focus                bool
	Form                 *Form
}

// Astray is what was put right of somebody and is not used.
type Astray struct{ ID, Text string }

// Form are the fields of one person.
type Form struct {
	Hidden []fields.Hidden
	Fields []Field
	Ticks  []Tick
}

// Field is one to type in, or with Options one to choose in.
type Field struct {
	fields.Input
	Options []Option
}

// Option is one of several values to choose.
type Option struct {
	Value, Text string
	Chosen      bool
}

// Tick is a box to tick.
type Tick struct {
	ID, Label string
	Checked   bool
}

// Of shows the people of an event that was put right over what the list says, with the fields of one of them, and
// with the focus where act was pressed.
func Of(c *wording.Catalogue, listed, now event.Event, o Over, who, act string) View {
	if act != "person" && act != "person-done" && act != "as-listed" {
		who = ""
	}
	v := View{Count: len(now.People), Open: who != ""}
	find := finder(listed.People)
	mended, of := map[string]Mended{}, map[string]event.Person{} // by ids
	for _, p := range listed.People {
		of[p.ID] = p
	}
	for _, m := range o.People {
		k := find(m)
		if k >= 0 {
			mended[listed.People[k].ID] = m
		}
		if k >= 0 && at(&now, listed.People[k].ID) < 0 {
			v.Astray = append(v.Astray, Astray{m.ID, m.Name + c.Say("sheet.listSeparator") + strings.Join(m.told(c, now.Sides), "; ")})
			continue
		}
		if side := m.Fields["side"]; k < 0 || !hasSide(now.Sides, side) {
			astray := wording.Say("page.doesNotFitTheList", wording.Curly(m.Name), strings.Join(m.told(c, now.Sides), "; "))
			v.Astray = append(v.Astray, Astray{m.ID, c.Render(astray)})
		}
	}
	v.Mended = len(mended)
	for _, s := range sidesOf(now) {
		side := Side{Title: s.title}
		for _, k := range s.people {
			p := now.People[k]
			row := Row{ID: p.ID, Row: RowID(p.ID), Name: firstOf(p.Name, p.ID), About: About(c, p)}
			if m, ok := mended[p.ID]; ok {
				row.Listed = strings.Join(Mended{Fields: only(valuesOf(of[p.ID]), m.Fields)}.told(c, now.Sides), "; ")
			}
			if who == p.ID && who != "" {
				row.Focus, side.Open = true, true
				if act == "person" {
					row.Form = formOf(c, of[p.ID], k, now, mended[p.ID])
				}
			}
			side.Rows = append(side.Rows, row)
		}
		v.Sides = append(v.Sides, side)
	}
	if len(v.Sides) == 1 {
		v.Sides[0].Open = true
	}
	return v
}

// mostOpen is how many people a phone shows unfolded.
const mostOpen = 40

// ours are the fields that are between the list and whoever plans.
var ours = []string{"note", "same", "gone"}

// Shared leaves out what is not for the couple: private notes, and what the list says otherwise.
func (v View) Shared() View {
	v.Open, v.Theirs, v.Mended, v.Astray = true, true, 0, nil
	for i, s := range v.Sides {
		v.Sides[i].Open = s.Open || v.Count <= mostOpen
		for k := range s.Rows {
			if s.Rows[k].Listed = ""; s.Rows[k].Form != nil {
				f := *s.Rows[k].Form
				f.Hidden = slices.DeleteFunc(f.Hidden, func(h fields.Hidden) bool { return !Shares(h.Name) })
				f.Fields = slices.DeleteFunc(f.Fields, func(x Field) bool { return !Shares(x.ID) })
				s.Rows[k].Form = &f
			}
		}
	}
	return v
}

// Shares says that a field of a form is one that the couple has, too.
func Shares(name string) bool {
	of, ok := strings.CutPrefix(strings.TrimSuffix(name, ".was"), open)
	return ok && !slices.Contains(ours, of) || strings.HasPrefix(name, tick) || strings.HasPrefix(name, inIt) || name == titleField || name == newField
}

// sideOf are the people of a side.
type sideOf struct {
	title  string
	people []int
}

// sidesOf are the people of an event by their sides, those whose side is not known last.
func sidesOf(e event.Event) []sideOf {
	var out []sideOf
	for _, s := range append(slices.Clone(e.Sides), event.Side{}) {
		side := sideOf{title: firstOf(s.Label, s.ID)}
		for k, p := range e.People {
			if p.Side == s.ID || s.ID == "" && !hasSide(e.Sides, p.Side) {
				side.people = append(side.people, k)
			}
		}
		if len(side.people) > 0 {
			out = append(out, side)
		}
	}
	return out
}

// only leaves of some values those of which others are put right.
func only(values, of map[string]string) map[string]string {
	out := map[string]string{}
	for name := range of {
		switch name {
		case "years": // of which the list says the band
			out["age"] = values["age"]
		case "contact", "tongue": // of which it says nothing
		default:
			out[name] = values[name]
		}
	}
	return out
}

// told writes fields with what is in them.
func (m Mended) told(c *wording.Catalogue, sides []event.Side) []string {
	var out []string
	for _, name := range fieldNames {
		if value, ok := m.Fields[name]; ok {
			out = append(out, c.Say(labels[name])+c.Say("sheet.colon")+" "+said(c, name, value, sides))
		}
	}
	return out
}

// Told writes all that was put right, a line each, for a page that compares.
func (o Over) Told(c *wording.Catalogue, sides []event.Side) []string {
	var out []string
	for _, m := range o.People {
		for _, line := range m.told(c, sides) {
			out = append(out, m.Name+c.Say("sheet.listSeparator")+line)
		}
	}
	for _, x := range o.Casts {
		out = append(out, firstOf(x.Title, x.ID)+c.Say("sheet.colon")+" "+x.told(c))
	}
	return out
}

// formOf are the fields of a person, as they are now.
func formOf(c *wording.Catalogue, listed event.Person, k int, e event.Event, m Mended) *Form {
	f := &Form{Hidden: []fields.Hidden{{Name: open + "id", Value: listed.ID}, {Name: open + "listed", Value: listed.Name}}}
	p, sides := e.People[k], e.Sides
	values := valuesOf(p)
	for _, name := range []string{"years", "contact", "tongue"} { // of which an event has nothing
		values[name] = m.Fields[name]
	}
	kinds := map[string]string{"years": "number", "from": "time", "until": "time"}
	hints := map[string]wording.Key{"years": "page.yearsGoBefore", "note": "page.forYouAlone", "relation": "page.relationSays", "contact": "page.contactSays"}
	for _, name := range fieldNames {
		value := values[name]
		if name == "side" && len(sides) == 0 {
			continue
		}
		f.Hidden = append(f.Hidden, fields.Hidden{Name: open + name + ".was", Value: value})
		if ticked(name) {
			f.Ticks = append(f.Ticks, Tick{open + name, c.Say(labels[name]), value != ""})
			continue
		}
		in := Field{Input: fields.Input{ID: open + name, Label: c.Say(labels[name]), Value: value, Kind: "text", Focus: name == "name"}}
		if kind, ok := kinds[name]; ok {
			in.Kind = fields.KindFor(kind, value)
		}
		if hint, ok := hints[name]; ok {
			in.Hint = c.Say(hint)
		}
		switch name {
		case "age":
			for _, b := range bands {
				in.Options = append(in.Options, Option{b.value, c.Say(b.words), b.value == value})
			}
		case "tongue":
			in.Options = append(in.Options, Option{"", "–", value == ""})
			for _, tag := range wording.Languages() {
				words, _ := wording.For(tag)
				in.Options = append(in.Options, Option{tag, words.Name(), tag == value})
			}
		case "same":
			in.Options = append(in.Options, Option{"", "–", true})
			for i, x := range e.People {
				if i != k {
					in.Options = append(in.Options, Option{label(x), c.Facts(firstOf(x.Name, x.ID), About(c, x)), false})
				}
			}
		case "side":
			in.Options = append(in.Options, Option{"", "–", value == ""})
			for _, s := range sides {
				in.Options = append(in.Options, Option{s.ID, firstOf(s.Label, s.ID), s.ID == value})
			}
		}
		f.Fields = append(f.Fields, in)
	}
	return f
}

// firstOf is the first of some texts in which something stands.
func firstOf(list ...string) string {
	for _, s := range list {
		if strings.TrimSpace(s) != "" {
			return s
		}
	}
	return ""
}
