package fields

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
)

// parts are what a list and the page can say about the day, each by itself, but the rules.
func (d *Day) parts() []any {
	return []any{&d.Title, &d.Date, &d.Zone, &d.Emphasis, &d.Latitude, &d.Longitude, &d.Blocks, &d.Walks}
}

func mark(v any) string {
	raw, _ := json.Marshal(v) // texts alone can be marshalled
	return fmt.Sprintf("%x", sha256.Sum256(raw))[:12]
}

// marks tell the rules from each other, by what their kinds have.
func (d *Day) marks() (out []string) {
	for _, r := range d.Rules {
		if r.Kind != KindApart {
			r.Scope, r.Until = "", ""
		}
		out = append(out, mark(r))
	}
	return out
}

// Seen tells what a list says about the day, so that it shows later of what it says something new.
func (d Day) Seen() string {
	var parts []string
	for _, p := range d.parts() {
		parts = append(parts, mark(p))
	}
	return strings.Join(append(parts, strings.Join(d.marks(), ",")), ".")
}

// Follow takes over of what a list says about the day what it did not say when it was seen last, and lets rules go that it
// says no more. What it is silent about, and rules from elsewhere, stay as the page has them.
func (d *Day) Follow(said Day, seen string) (new bool) {
	none := DayOf(event.Event{}, Directory{})
	was, is, open := strings.Split(seen, "."), strings.Split(said.Seen(), "."), strings.Split(none.Seen(), ".")
	to, from := d.parts(), said.parts()
	if len(was) != len(is) {
		return false
	}
	for i := range to {
		if was[i] != is[i] && is[i] != open[i] {
			reflect.ValueOf(to[i]).Elem().Set(reflect.ValueOf(from[i]).Elem())
			new = true
		}
	}
	before, had, says := strings.Split(was[len(to)], ","), d.marks(), said.marks()
	var rules []Rule
	for k, r := range d.Rules {
		if !slices.Contains(before, had[k]) || slices.Contains(says, had[k]) {
			rules = append(rules, r)
		}
	}
	for k, r := range said.Rules {
		if !slices.Contains(before, says[k]) && !slices.Contains(had, says[k]) {
			rules = append(rules, r)
		}
	}
	d.Rules = rules
	return new || !slices.Equal(had, d.marks())
}
