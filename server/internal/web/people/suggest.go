package people

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/wording"
)

//go:embed house.txt
var houseFile string

// combination is a line of the house list.
type combination struct {
	name   string
	sets   []string
	bySide bool
}

var house = readHouse(houseFile)

func readHouse(text string) []combination {
	var out []combination
	for line := range strings.Lines(text) {
		name, sets, ok := strings.Cut(strings.TrimSpace(line), ":")
		if !ok || strings.HasPrefix(name, "#") {
			continue
		}
		c := combination{name: name, sets: strings.Fields(sets)}
		c.bySide = slices.ContainsFunc(c.sets, func(s string) bool {
			return !strings.HasPrefix(s, "both-") && s != "couple" && s != "attendants" && s != "everybody"
		})
		out = append(out, c)
	}
	return out
}

// suggestWords say what a combination is; those of a side name the one whose side it is.
var suggestWords = map[string]wording.Key{
	"couple": "page.suggestCouple", "parents": "page.suggestParents", "parentsOf": "page.suggestParentsOf", "grandparents": "page.suggestGrandparents",
	"siblings": "page.suggestSiblings", "siblingsOf": "page.suggestSiblingsOf", "nearest": "page.suggestNearest", "bothParents": "page.suggestBothParents",
	"bothGrandparents": "page.suggestBothGrandparents", "bothFamilies": "page.suggestBothFamilies", "children": "page.suggestChildren",
	"attendants": "page.suggestAttendants", "everybody": "page.everybody",
}

// Suggested is a photo that a house list has and this one has not.
type Suggested struct {
	Photo
	Key   string // of the button
	Text  string
	Names []string
	More  int // people who are not named
}

// mostNamed is how many people of a suggestion are named.
const mostNamed = 12

// Suggest lists the photos of the house list of which the people are there, where no photo has exactly these already.
func Suggest(c *wording.Catalogue, e event.Event) []Suggested {
	index := event.NewIndex(&e)
	tree := family.Of(&e, index, event.NewExpansion(&e, index))
	halves := tree.Halves()
	if tree.Couple == nil || len(halves) != 2 {
		return nil
	}
	there := map[string]bool{}
	taken, _ := event.Expand(e)
	for _, photo := range taken {
		there[strings.Join(photo.Members, " ")] = true
	}
	var out []Suggested
	for _, line := range house {
		for side := range halves {
			who, ok := line.people(&e, tree, halves, side)
			s := Suggested{Photo: Photo{Everybody: line.name == "everybody"}, Key: line.name + "." + strconv.Itoa(side)}
			for _, p := range who {
				s.People = append(s.People, e.People[p].ID)
			}
			key := strings.Join(s.People, " ")
			if !ok || there[key] || key == "" {
				continue
			}
			there[key] = true
			for _, p := range who {
				if len(s.Names) < mostNamed {
					s.Names = append(s.Names, e.People[p].Name)
				} else {
					s.More++
				}
			}
			if s.Text = c.Say(suggestWords[line.name]); line.bySide {
				s.Text = c.Say(suggestWords[line.name], wording.Said(e.People[halves[side].One].Name))
			}
			out = append(out, s)
		}
	}
	return out
}

// people are those of a combination, sorted. It is false where one of its sets is empty, or there is nothing of one side.
func (c combination) people(e *event.Event, tree *family.Tree, halves []family.Half, side int) ([]int, bool) {
	if !c.bySide && side > 0 {
		return nil, false
	}
	var out []int
	for _, name := range c.sets {
		of := halves[side : side+1]
		kind, both := strings.CutPrefix(name, "both-")
		if both {
			of = halves
		}
		missing := 0
		for _, h := range of {
			some := setOf(kind, e, tree, h)
			if out = append(out, some...); len(some) == 0 {
				missing++
			}
		}
		if missing == len(of) || missing > 0 && kind != "children" {
			return nil, false
		}
	}
	out = tree.Coming(out)
	slices.Sort(out)
	return slices.Compact(out), true
}

// setOf are the people of a set of the house list, for one side.
func setOf(name string, e *event.Event, tree *family.Tree, h family.Half) []int {
	switch name {
	case "couple":
		return tree.Coming(tree.Couple[:])
	case "one":
		return tree.Coming([]int{h.One})
	case "parents":
		return slices.Concat(h.Parents, h.StepParents)
	case "grandparents":
		return h.Grandparents
	case "siblings":
		return slices.Concat(h.Siblings, h.HalfSiblings)
	case "children":
		return h.Children
	case "nearest":
		return slices.Concat(h.Parents, h.StepParents, h.Siblings, h.HalfSiblings, h.SiblingPartners, h.SiblingsFamily, h.Grandparents, h.Children)
	}
	var out []int
	for p := range e.People {
		if name == "everybody" || tree.Attendant(p) {
			out = append(out, p)
		}
	}
	return tree.Coming(out)
}
