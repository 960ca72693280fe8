package sheet_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// What must be had is marked where not all of it must, and what is nice to have says so: when time is short a glance has to
// tell what to drop. The caller's sheet drops nothing and says nothing.
func TestMustHavesAreMarked(t *testing.T) {
	e, s := quay()
	e.Groupings[1].Priority, e.Groupings[2].Priority = event.Must, event.Nice
	for _, kind := range []sheet.Kind{sheet.Pocket, sheet.Call} {
		text := shown(page(t, e, s, kind))
		for _, want := range []string{"★ must have", "★ Linh's grandmother with the couple", "if time"} {
			assert.Contains(t, text, want, kind)
		}
		assert.NotContains(t, text, "★ Both families")
	}
	text := textOf(t, e, s, 0)
	assert.Contains(t, text, "★ must have\n")
	assert.Contains(t, text, "14:36  ★ Linh's grandmother with the couple")
	assert.Contains(t, text, "14:38  Linh's parents (if time)")
	assert.NotContains(t, page(t, e, s, sheet.Reader), "★")
	for i := range e.Groupings {
		e.Groupings[i].Priority = event.Must
	}
	assert.NotContains(t, textOf(t, e, s, 0), "★", "a mark on all of them says nothing")
}

// The end of the time slot is on the pocket list, the call sheet and the text, with a warning where the safe end is after it.
func TestTheEndOfTheTimeSlot(t *testing.T) {
	e, s := quay()
	e.Blocks[0].Closes, e.Blocks[1].Closes = "15:00", "15:30"
	s.Blocks[0].SafeLength = 34 * time.Minute
	warning := "Allow until 15:04, but the time slot ends at 15:00: agree beforehand what to leave out."
	for _, text := range []string{shown(page(t, e, s, sheet.Pocket)), shown(page(t, e, s, sheet.Call)), textOf(t, e, s, sheet.MaxWidth)} {
		assert.Contains(t, text, "14:30 to 14:53 (allow until 15:04), time slot until 15:00")
		assert.Contains(t, text, "time slot until 15:30")
		assert.Contains(t, text, warning)
	}
	s.Blocks[0].SafeLength = 25 * time.Minute
	assert.NotContains(t, shown(page(t, e, s, sheet.Call)), "agree beforehand")
}

// Somebody who steps in twice is counted twice, so what is counted is no people.
func TestStepInsAreNoPeople(t *testing.T) {
	e, s := quay()
	for language, want := range map[string]string{"en": "25 step-ins", "de": "25-mal kommt jemand ins Bild", "fr": "25 entrées dans le cadre", "es": "25 entradas en la foto", "pt": "25 entradas na foto", "ar": "٢٥ مرة دخول", "zh": "25 人次入镜"} {
		assert.Contains(t, shown(string(drawn(t, e, s, sheet.Options{Form: sheet.HTML, Language: language}))), want)
	}
	assert.Contains(t, shown(page(t, e, s, sheet.Pocket)), "People · Step in")
}

// Cards and call sheet name the same people as those who gather, of as many; and a card says how a name is said.
func TestCardsGatherAsTheCallSheet(t *testing.T) {
	e, s := quay()
	e.Circles = append(e.Circles, event.Circle{ID: "as", Title: "Amara's family", Leader: "teo", Members: []string{"teo", "ines", "rosa", "karim", "duarte", "bia", "gil"}})
	e.Circles[1].Leader = "duarte"
	entry := &s.Blocks[0].Entries[0]
	entry.StepIn = entry.StepIn[4:] // Teo is there already
	entry.Stay = []string{"amara", "linh", "ines", "teo"}
	leader := regexp.MustCompile(`ounds up the others: Duarte Sequeira`)
	card := shown("<article" + strings.Split(page(t, e, s, sheet.Cards), "<article")[1])
	call := shown("<article" + strings.Split(page(t, e, s, sheet.Call), "<article")[1])
	for _, text := range []string{card, call} {
		assert.Regexp(t, leader, text)
		assert.NotContains(t, text, "Amara's family")
	}
	assert.Contains(t, card, "陳美玲say chun may")
}

// How a name is said follows it in the direction of the sheet, whatever that of the name: only the name is set apart.
func TestHowANameIsSaidFollowsIt(t *testing.T) {
	e, s := quay()
	assert.Contains(t, page(t, e, s, sheet.Pocket), "<bdi dir=\"auto\">\u200e\u2068كريم المنصوري\u2069 say ka\u2011REEM</bdi>")
	arabic := string(drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.HTML, Language: "ar"}))
	assert.Contains(t, arabic, "\u200f\u2068陳寶珠\u2069 يُنطق")
}

// A card says of the rule of safety what applies to it; what is for licensed people is on the call sheet alone.
func TestSafetyWhereItApplies(t *testing.T) {
	e, s := quay()
	assert.Contains(t, page(t, e, s, sheet.Call), "licensed or qualified")
	for _, kind := range []sheet.Kind{sheet.Pocket, sheet.Reader, sheet.Finder, sheet.Cards} {
		text := page(t, e, s, kind)
		assert.Contains(t, text, "have the last word")
		assert.NotContains(t, text, "licensed", kind)
	}
	s = inRows(s, 8)
	cards := strings.Split(page(t, e, s, sheet.Cards), "<article")[1:]
	assert.Contains(t, cards[4], "Put wheelchair brakes on.", "Teo is in it")
	assert.NotContains(t, cards[4], "Chairs are for sitting.", "nobody sits")
	assert.NotContains(t, strings.Split(cards[9], `rule">`)[0], "brakes")
}

// Who is free when the next photo begins is not told a minute more by rounding alone.
func TestFreeAsTheNextBegins(t *testing.T) {
	e, s := quay()
	block := &s.Blocks[0]
	require.Equal(t, 8*time.Minute+55*time.Second, block.Entries[2].Offset)
	text := textOf(t, e, s, 0)
	assert.Contains(t, text, "by 14:38, after photo 2")
	assert.Contains(t, text, "[ ] 3  14:38")
	assert.Contains(t, text, "by 14:53, after photo 8", "nothing follows")
}

// Words that a name or a relation has are not said again.
func TestNothingIsSaidTwiceOfSomebody(t *testing.T) {
	e, s := quay()
	e.People[10].Name, e.People[10].Relation = "Auntie Mei", "auntie"
	e.People[13].Relation = "Linh's child"
	text := textOf(t, e, s, 120)
	assert.NotContains(t, text, "Auntie Mei   auntie")
	assert.NotContains(t, text, "child, child")
}

// What children in no house of their own are told goes to whoever they are of, not to all who attend with that person.
func TestChildrenAreToldThroughTheirOwn(t *testing.T) {
	e, s := quay()
	e.Circles[2].Members = append(e.Circles[2].Members, "duarte")
	e.Circles = append(e.Circles[:1], e.Circles[2])
	for i := range e.People {
		if id := e.People[i].ID; id == "jo" || id == "sam" {
			e.People[i].Relation = "bridesmaid"
		} else if id == "bia" || id == "gil" {
			e.People[i].Relation = "Duarte Sequeira's child"
		}
	}
	var to []string
	for _, m := range sheet.Messages(e, s, "en") {
		to = append(to, m.To)
		assert.True(t, strings.HasPrefix(m.Body, "Hello,\n\nAmara and Linh at the old quay\n"), "what it is about")
		if strings.Contains(m.Body, "Jo Marlowe") {
			assert.NotContains(t, m.Body, "Bia")
		}
	}
	assert.Contains(t, to, "Duarte Sequeira (Bia, Gil)")
}

// Family stays on its side for whoever fetches it, also when it attends with people of none.
func TestFamilyStaysOnItsSide(t *testing.T) {
	e, s := quay()
	e.Circles[2].Members = append(e.Circles[2].Members, "duarte")
	e.Circles = append(e.Circles[:1], e.Circles[2])
	for i := range e.People {
		e.People[i].Side = map[string]string{"duarte": "a", "kit": "l"}[e.People[i].ID]
		if e.People[i].ID == "kit" {
			e.People[i].Relation = "best man"
		}
	}
	text := shown(page(t, e, s, sheet.Finder))
	amara, both := strings.Index(text, "Amara's side"), strings.Index(text, "Both sides")
	require.True(t, amara > 0 && both > amara)
	assert.Contains(t, text[amara:both], "Duarte Sequeira")
	assert.NotContains(t, text[amara:both], "Kit Halloran")
}

// How many people a photo has is one number, as many as stand there: "26+64" would run into the next column.
func TestPocketCountsGuestsToo(t *testing.T) {
	e, s := crowd(26, 1, 26)
	e.Groupings[0].Guests = 64
	assert.Contains(t, page(t, e, s, sheet.Pocket), `<td class="count">90</td>`)
}

// After a photo of many nobody calls out who steps out of it: who stays is said, and who is wanted next.
func TestTheOthersStepOutTogether(t *testing.T) {
	e, s := quay()
	entries := s.Blocks[0].Entries
	require.Len(t, entries[1].StepOut, 11)
	for _, kind := range []sheet.Kind{sheet.Call, sheet.Reader} {
		text := shown(strings.Split(page(t, e, s, kind), "<article")[2])
		assert.Contains(t, text, "all the others (11) back for 3: Nguyễn Văn Ba, 陳美玲 StayThe couple, 陳寶珠", kind)
		assert.NotContains(t, text, "back for 4")
	}
	known := drawn(t, e, s, sheet.Options{Kind: sheet.Call, Form: sheet.HTML, Numbers: map[string]int{entries[2].Grouping: 30}})
	assert.Contains(t, shown(strings.Split(string(known), "<article")[2]), "back for 30: Nguyễn Văn Ba", "by the numbers of the day")
}

// Where there is room the pocket list has who steps in, whom the title does not name, in type as large as fits.
func TestPocketListNamesWhoStepsIn(t *testing.T) {
	e, s := quay()
	text := page(t, e, s, sheet.Pocket)
	assert.Contains(t, text, `class="pocket p16 `)
	assert.Contains(t, shown(text), "Linh's parentsNguyễn Văn Ba, \u200e陳美玲 say")
	assert.NotContains(t, shown(text), "The coupleThe couple", "the title has them")
	e, s = crowd(135, 45, 4)
	e.Title = "Amara & Théo"
	assert.NotContains(t, page(t, e, s, sheet.Pocket), `class="in"`, "45 photos leave none")
}

// A terminal does not spend lines on work at height where there are no steps.
func TestSafetyInATerminal(t *testing.T) {
	e, s := quay()
	assert.NotContains(t, textOf(t, e, s, 0), "licensed")
	e.Blocks[0].Space.Steps = 1
	assert.Contains(t, strings.Join(strings.Fields(textOf(t, e, s, 0)), " "), "licensed")
}

// A list to be read at a glance names a place shortly, the call sheet whole.
func TestPlacesAreShortOnLists(t *testing.T) {
	e, s := quay()
	e.Blocks[0].Place = "Harbour quay, in the shade of the net loft"
	for kind, times := range map[sheet.Kind]int{sheet.Pocket: 0, sheet.Reader: 0, sheet.Call: 1} {
		text := page(t, e, s, kind)
		assert.Contains(t, text, "Harbour quay", kind)
		assert.Equal(t, times, strings.Count(text, "net loft"), kind)
	}
}

// In the notes for the planner a name is whole, and has its quotation marks beside it.
func TestNotesKeepNamesTogether(t *testing.T) {
	e, s := quay()
	s.Advice = []event.Advice{{Severity: event.Info, Message: wording.Say("advice.withSiblings", wording.Quoted("Duarte Sequeira"))}}
	text := page(t, e, s, sheet.Planner)
	assert.Contains(t, text, `&#34;<span class="n">Duarte Sequeira</span>&#34; with siblings`)
	assert.Contains(t, text, ".notes .n { white-space: nowrap; }")
}
