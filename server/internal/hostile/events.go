package hostile

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
)

// An Event makes an event of a kind, as large as is allowed when of is 1 and a part of that otherwise.
type Event struct {
	Name string
	Make func(of float64) event.Event
}

// part is a share of a limit.
func part(of float64, limit int) int { return max(2, int(of*float64(limit))) }

func people(n int, name func(i int) string) []event.Person {
	out := make([]event.Person, n)
	for i := range out {
		out[i] = event.Person{ID: fmt.Sprint("p", i), Name: name(i)}
	}
	return out
}

// all are the ids of as many people.
func all(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = fmt.Sprint("p", i)
	}
	return out
}

func repeat[T any](n int, one func(i int) T) []T {
	out := make([]T, n)
	for i := range out {
		out[i] = one(i)
	}
	return out
}

// circlesOf are circles of everybody, and their ids.
func circlesOf(of float64, n int) ([]event.Circle, []string) {
	ids := repeat(part(of, event.MaxCircles), func(i int) string { return fmt.Sprint("c", i) })
	return repeat(len(ids), func(i int) event.Circle { return event.Circle{ID: ids[i], Title: "C" + word(i), Members: all(n)} }), ids
}

// Events are events that are within the limits, with and without errors.
var Events = []Event{
	{"everybody in every photograph", func(of float64) event.Event {
		n := part(of, event.MaxPeople)
		ids := all(n)
		return event.Event{People: people(n, name), Groupings: repeat(part(of, event.MaxPhotographs), func(i int) event.Grouping {
			return event.Grouping{ID: fmt.Sprint("g", i), Members: ids[:n-i%n]}
		})}
	}},
	{"all circles in every photograph", func(of float64) event.Event {
		n := part(of, event.MaxPeople)
		circles, ids := circlesOf(of, n)
		return event.Event{People: people(n, name), Circles: circles, Groupings: repeat(part(of, event.MaxPhotographs), func(i int) event.Grouping {
			return event.Grouping{ID: fmt.Sprint("g", i), Members: append([]string{"p0"}, ids...)}
		})}
	}},
	{"all circles left out of every photograph", func(of float64) event.Event {
		n := part(of, event.MaxPeople)
		circles, ids := circlesOf(of, n-1)
		last := fmt.Sprint("p", n-1)
		return event.Event{People: people(n, name), Circles: circles, Groupings: repeat(part(of, event.MaxPhotographs), func(i int) event.Grouping {
			return event.Grouping{ID: fmt.Sprint("g", i), Members: []string{last}, Without: ids}
		})}
	}},
	{"circles in circles", func(of float64) event.Event {
		n := part(of, event.MaxPeople)
		circles, ids := circlesOf(of, n)
		for i := range circles {
			circles[i].Members = append(circles[i].Members[:min(n, event.MaxPeople-len(ids))], ids[i+1:]...)
		}
		return event.Event{People: people(n, name), Circles: circles, Groupings: repeat(part(of, event.MaxPhotographs), func(i int) event.Grouping {
			return event.Grouping{ID: fmt.Sprint("g", i), Members: ids}
		})}
	}},
	{"each of a circle", func(of float64) event.Event {
		n := part(of, event.MaxPeople)
		k := part(of, event.MaxPhotographs)
		return event.Event{People: people(n, name), Circles: []event.Circle{{ID: "c", Title: "C", Members: all(k)}, {ID: "d", Title: "D", Members: all(n)}},
			Groupings: []event.Grouping{{ID: "g", EachOf: "c", Members: []string{"d"}}}}
	}},
	{"after all of each of a circle", func(of float64) event.Event {
		k := part(of, event.MaxPhotographs/2)
		after := strings.Split(strings.Repeat("g ", part(of, event.MaxPhotographs-1))+"g", " ")
		return event.Event{People: people(k, name), Circles: []event.Circle{{ID: "c", Title: "C", Members: all(k)}}, Groupings: append(repeat(k-1, func(i int) event.Grouping {
			return event.Grouping{ID: fmt.Sprint("h", i), Members: []string{"p0", "p1"}, After: after}
		}), event.Grouping{ID: "g", EachOf: "c"})}
	}},
	{"after all before", func(of float64) event.Event {
		ids := repeat(part(of, event.MaxPhotographs), func(i int) string { return fmt.Sprint("g", i) })
		return event.Event{People: people(5, name), Groupings: repeat(len(ids), func(i int) event.Grouping {
			return event.Grouping{ID: ids[i], Members: []string{"p0", "p1"}, After: ids[:i]}
		})}
	}},
	{"waiting in rings", func(of float64) event.Event {
		ids := repeat(part(of, event.MaxPhotographs), func(i int) string { return fmt.Sprint("g", i) })
		return event.Event{People: people(5, name), Groupings: repeat(len(ids), func(i int) event.Grouping {
			return event.Grouping{ID: ids[i], Members: []string{"p0", "p1"}, After: ids, Pin: event.Pin(i % 3)}
		})}
	}},
	{"people of one name", func(of float64) event.Event { return ordinary(of, same("Anna Bell")) }},
	{"names one slip apart", func(of float64) event.Event {
		return ordinary(of, func(i int) string { return "Annabell " + word(i%700) + "anna" })
	}},
	{"long names one slip apart", func(of float64) event.Event {
		return ordinary(of, func(i int) string {
			at := i % 50
			return strings.Repeat("n", at) + word(i%20) + strings.Repeat("n", 50-at)
		})
	}},
	{"long names of another script", func(of float64) event.Event {
		return ordinary(of, func(i int) string { return strings.Repeat("ኢትዮ ", 45) + word(i) })
	}},
	{"long relations", func(of float64) event.Event {
		e := ordinary(of, name)
		for i := range e.People {
			e.People[i].Relation = strings.Repeat("mère de la ", 3) + "sœur du frère's cousin's Ñ " + word(i)
		}
		return e
	}},
	{"unknown ids like those of people", func(of float64) event.Event {
		n := part(of, event.MaxPeople)
		long := strings.Repeat("n", 58)
		e := event.Event{People: repeat(n, func(i int) event.Person { return event.Person{ID: long + word(i), Name: "É " + long + word(i)} })}
		e.Groupings = repeat(part(of, event.MaxPhotographs), func(i int) event.Grouping {
			return event.Grouping{ID: fmt.Sprint("g", i), Members: repeat(20, func(k int) string { return long + "x" + word(20*i+k) }), Confirms: all(20), EachOf: "x" + word(i)}
		})
		e.Circles, _ = circlesOf(of, 2)
		e.Rules = repeat(part(of, event.MaxRules), func(i int) event.Rule {
			return event.Rule{ID: fmt.Sprint("r", i), Turns: &event.Turns{People: all(40)}}
		})
		return e
	}},
	{"rules about nobody", func(of float64) event.Event {
		e := ordinary(of, name)
		e.Circles = []event.Circle{{ID: "c", Title: "C"}}
		nobody := repeat(part(of, event.MaxPeople), func(int) string { return "c" })
		e.Rules = repeat(part(of, event.MaxRules), func(i int) event.Rule {
			return event.Rule{ID: fmt.Sprint("r", i), Apart: &event.Apart{People: nobody}}
		})
		return e
	}},
	{"rules that end", func(of float64) event.Event {
		e := ordinary(of, name)
		e.Date, e.TimeZone = "2026-06-20", "Europe/Lisbon"
		e.Blocks = repeat(part(of, event.MaxBlocks), func(i int) event.Block {
			return event.Block{ID: fmt.Sprint("b", i), Opens: "15:00", Closes: fmt.Sprintf("16:%02d", i)}
		})
		e.Rules = repeat(part(of, event.MaxRules), func(i int) event.Rule {
			return event.Rule{ID: fmt.Sprint("r", i), Apart: &event.Apart{People: []string{fmt.Sprint("p", 2*i%len(e.People)), "p1"}, Until: "14:00"}}
		})
		return e
	}},
	{"rules of many pairs", func(of float64) event.Event {
		e := ordinary(of, name)
		e.Circles = []event.Circle{{ID: "c", Title: "C", Members: all(part(of, 99))}, {ID: "d", Title: "D", Members: []string{"p1"}}}
		e.Rules = repeat(part(of, event.MaxRules), func(i int) event.Rule {
			return event.Rule{ID: fmt.Sprint("r", i), Apart: &event.Apart{People: []string{"c", "d"}}}
		})
		return e
	}},
	{"times of everybody", func(of float64) event.Event {
		e := ordinary(of, name)
		e.Date, e.TimeZone = "2026-06-20", "Europe/Lisbon"
		for i := range e.People {
			e.People[i].PresentFrom, e.People[i].PresentUntil = "15:30", "15:40"
			e.People[i].Presence = repeat(20, func(int) event.Span { return event.Span{From: "15:30", Until: "15:20"} })
		}
		e.Blocks = repeat(part(of, event.MaxBlocks), func(i int) event.Block {
			return event.Block{ID: fmt.Sprint("b", i), Opens: "16:00", Closes: "17:00"}
		})
		return e
	}},
	{"walks to unknown places", func(of float64) event.Event {
		e := ordinary(of, name)
		e.Blocks = repeat(part(of, event.MaxBlocks), func(i int) event.Block {
			return event.Block{ID: fmt.Sprint("b", i), Place: strings.Repeat("ñ", 120) + word(i)}
		})
		e.Walks = repeat(part(of, event.MaxBlocks*event.MaxBlocks), func(i int) event.Walk {
			return event.Walk{From: strings.Repeat("ñ", 120) + "x" + word(i), To: strings.Repeat("ñ", 120) + "y" + word(i)}
		})
		return e
	}},
	{"long titles and notes", func(of float64) event.Event {
		e := ordinary(of, func(i int) string { return strings.Repeat("é", 195) + word(i) })
		for i := range e.People {
			e.People[i].PrivateNote = strings.Repeat("note\n", 390)
		}
		for i := range e.Groupings {
			e.Groupings[i].Title = strings.Repeat("ש", 190) + word(i)
		}
		return e
	}},
	{"more than is allowed", func(of float64) event.Event {
		n := 4 * part(of, event.MaxPeople)
		return event.Event{People: people(n, name), Circles: []event.Circle{{ID: "c", Title: "C", Members: all(n)}},
			Groupings: repeat(n, func(int) event.Grouping { return event.Grouping{EachOf: "c"} })}
	}},
}

// ordinary is an event of which every photograph has some twenty people.
func ordinary(of float64, name func(i int) string) event.Event {
	n := part(of, event.MaxPeople)
	return event.Event{People: people(n, name), Groupings: repeat(part(of, event.MaxPhotographs), func(i int) event.Grouping {
		return event.Grouping{ID: fmt.Sprint("g", i), Members: repeat(20, func(k int) string { return fmt.Sprint("p", (i*7+k*k)%n) })}
	})}
}
