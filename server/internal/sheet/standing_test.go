package sheet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// inRows stands the people of every entry in rows of at most so many, shoulder to shoulder.
func inRows(s event.CallSheet, most int) event.CallSheet {
	out := s
	out.Blocks = slices.Clone(s.Blocks)
	for i := range out.Blocks {
		out.Blocks[i].Entries = slices.Clone(out.Blocks[i].Entries)
		for k := range out.Blocks[i].Entries {
			entry := &out.Blocks[i].Entries[k]
			ids := slices.Concat(entry.StepIn, entry.Stay)
			rows := (len(ids) + most - 1) / most
			entry.Standing = &event.Standing{WidthCM: 50 * min(most, len(ids)), DepthCM: 40 + 70*(rows-1), HeightCM: 170}
			for row := range slices.Chunk(ids, most) {
				r := event.StandingRow{Kind: event.PlainRow, WidthCM: 50 * len(row)}
				for at, id := range row {
					r.Places = append(r.Places, event.StandingPlace{Person: id, XCM: 50*at - 25*len(row) + 25, Posture: event.Upright, HeadCM: 170, WidthCM: 50})
				}
				entry.Standing.Rows = append(entry.Standing.Rows, r)
			}
		}
	}
	return out
}

// Of people who stand in one row on the ground the booklet says how wide they are, and nothing that the picture shows.
func TestOneRowSaysItsWidthOnly(t *testing.T) {
	e, s := quay()
	one, two := page(t, e, inRows(s, 40), sheet.Standing), page(t, e, inRows(s, 3), sheet.Standing)
	assert.Contains(t, one, "m wide</p>")
	for _, noise := range []string{"One row, standing", "<b>:</b>", "m deep"} {
		assert.NotContains(t, one, noise)
	}
	assert.Contains(t, two, "m deep</p>")
	assert.Contains(t, two, "Back row, standing")
}

// The booklet has a picture for each grouping, with every name of it.
func TestStandingSheet(t *testing.T) {
	e, s := quay()
	s = inRows(s, 8)
	s.Blocks[0].Entries[1].Standing.Moves = []string{"po"}
	source := page(t, e, s, sheet.Standing)
	articles := strings.Split(source, "<article")[1:]
	at := 0
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			assert.Equal(t, 1, strings.Count(articles[at], "<svg"), entry.Title)
			text := shown("<article" + articles[at])
			for _, id := range slices.Concat(entry.StepIn, entry.Stay) {
				for _, p := range e.People {
					if p.ID == id {
						for _, word := range strings.FieldsFunc(p.Name, func(r rune) bool { return r == ' ' || r == '-' }) {
							assert.Contains(t, text, word, entry.Title)
						}
					}
				}
			}
			at++
		}
	}
	assert.Len(t, articles, at)
	assert.Contains(t, shown(articles[1]), "New place: 陳寶珠")
	assert.NotContains(t, source, secret)
	assert.Contains(t, source, `id="n3"`, "pages link to a photograph")
}

// What cannot be is said with what to do, in every language, and the one rule of safety is on every page.
func TestStandingNotes(t *testing.T) {
	e, s := quay()
	s = inRows(s, 8)
	first := s.Blocks[0].Entries[0].Standing
	first.Notes = []event.StandingNote{event.TooWide, event.FaceHidden, event.HeightsGuessed, event.WheelchairAlone}
	first.Remedy, first.RemedyChairs = event.RemedyChairs, 6
	text := shown(page(t, e, s, sheet.Standing))
	for _, want := range []string{
		"It does not fit the space: 4 m wide and 1.1 m deep.", "A face may be hidden", "Put a front row on chairs: 6 of them.",
		"Some heights are guessed from ages", "A wheelchair is at the end of a row",
	} {
		assert.Contains(t, text, want)
	}
	for kind, name := range printed {
		if kind != "planner" {
			assert.Equal(t, 1, strings.Count(shown(page(t, e, s, name)), "nobody stands on chairs or walls"), kind)
		}
	}
	arabic := string(drawn(t, e, s, sheet.Options{Kind: sheet.Standing, Form: sheet.HTML, Language: "ar"}))
	assert.Contains(t, shown(arabic), "العرض ٤ م والعمق ١٫١ م")
	assert.Contains(t, arabic, `direction="rtl"`)
}

// A sheet without plans, or with one of other people, says so and draws no wrong picture.
func TestStandingOfOthers(t *testing.T) {
	e, s := quay()
	assert.Contains(t, shown(page(t, e, s, sheet.Standing)), "This sheet has no standing plan yet.")
	s = inRows(s, 8)
	entry := &s.Blocks[0].Entries[0]
	entry.StepIn = entry.StepIn[1:]
	articles := strings.Split(page(t, e, s, sheet.Standing), "<article")[1:]
	assert.NotContains(t, articles[0], "<svg")
	assert.Contains(t, articles[1], "<svg")
	assert.Equal(t, strings.Count(page(t, e, s, sheet.Cards), "<svg"), len(articles)-1)
}

// Cards with pictures list everybody by the number in it.
func TestCardsWithPictures(t *testing.T) {
	e, s := separate()
	s = inRows(s, 10)
	source := page(t, e, s, sheet.Cards)
	text := shown(source)
	for _, entry := range s.Blocks[0].Entries {
		for _, id := range entry.StepIn {
			assert.Equal(t, 1, strings.Count(text, id), id)
		}
	}
	assert.Greater(t, strings.Count(source, "<svg"), len(s.Blocks[0].Entries)/2, "a picture where it fits")
}

// A card of few is filled by them; where somebody sits, or many are called, it has the rule of safety in short. A large
// group is spread evenly over its cards.
func TestCardsAreFilled(t *testing.T) {
	e, s := crowd(40, 3, 2)
	s = inRows(s, 8)
	s.Blocks[0].Entries[1].Standing.Rows[0].Places[0].Posture = event.OnChair
	cards := strings.Split(page(t, e, s, sheet.Cards), "<article")[1:]
	assert.Contains(t, cards[0], `class="people t24"`)
	assert.Contains(t, cards[0], `viewBox="0 0 110 `, "as large as a card holds it")
	for i, careful := range []bool{false, true, false} {
		assert.Equal(t, careful, strings.Contains(cards[i], "Chairs are for sitting."), i)
		assert.NotContains(t, cards[i], "Steps: only", "nobody is on one")
	}
	e, s = crowd(110, 1, 105)
	for i := range e.People {
		e.People[i].Name = fmt.Sprintf("Guest Number%03d", i)
	}
	cards = strings.Split(page(t, e, s, sheet.Cards), "<article")[1:]
	for i, card := range cards {
		assert.Contains(t, card, "Chairs are for sitting.")
		assert.Greater(t, strings.Count(card, "<li"), 105/len(cards)-12, "card %d", i)
	}
}

// Printed, no picture is parted from its title or its names.
func TestStandingPrint(t *testing.T) {
	e, s := separate()
	printed := printer(t)
	s = inRows(s, 9)
	for name, paper := range papers {
		t.Run(name, func(t *testing.T) {
			pages := printed(drawn(t, e, s, sheet.Options{Kind: sheet.Standing, Form: sheet.HTML, Paper: paper}))
			together(t, s, pages)
			for i, text := range pages {
				assert.Contains(t, text, fmt.Sprintf("%d / %d", i+1, len(pages)))
			}
			cards := printed(drawn(t, e, s, sheet.Options{Kind: sheet.Cards, Form: sheet.HTML, Paper: paper}))
			together(t, s, cards)
		})
	}
	require.Len(t, s.Blocks[0].Entries, 40)
}
