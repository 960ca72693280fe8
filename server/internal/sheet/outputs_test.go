package sheet_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// page draws a page of a kind.
func page(t *testing.T, e event.Event, s event.CallSheet, kind sheet.Kind) string {
	t.Helper()
	return string(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML}))
}

// shown returns the text of a page, without its style, with one space between words.
func shown(source string) string {
	z := html.NewTokenizer(strings.NewReader(source))
	var out strings.Builder
	skip := false
	for z.Next() != html.ErrorToken {
		tok := z.Token()
		switch {
		case tok.Data == "style" || tok.Data == "title":
			skip = tok.Type == html.StartTagToken
		case tok.Type == html.TextToken && !skip:
			out.WriteString(tok.Data)
		}
	}
	return strings.Join(strings.Fields(out.String()), " ")
}

// everything draws a sheet in every kind and form, by name.
func everything(t *testing.T, e event.Event, s event.CallSheet, language string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for kind, name := range map[sheet.Kind]string{
		sheet.Call: "call", sheet.Reader: "reader", sheet.Finder: "finder", sheet.Cards: "cards", sheet.Times: "times", sheet.Chart: "chart",
		sheet.Standing: "standing", sheet.Pocket: "pocket", sheet.Planner: "planner",
	} {
		for _, form := range kind.Forms() {
			for _, per := range []sheet.Per{sheet.PerPerson, sheet.PerCircle} {
				d := drawn(t, e, s, sheet.Options{Kind: kind, Form: form, Per: per, Language: language, Stamp: stamp})
				out[name+" "+[]string{"text", "html", "csv", "ics"}[form]+" "+[]string{"", "person", "circle"}[per]] = string(d)
			}
		}
	}
	return out
}

// No private note is in any output. What guests, and those who might read it to them, get says
// nothing of relations, age or needs.
func TestEachSheetHoldsNoMoreThanItNeeds(t *testing.T) {
	e, s := quay()
	s.Blocks[0].Entries[3].Near = []string{"kit"}
	personal := []string{"grandmother", "Duarte's daughter", "Rosa's husband", "wheelchair", "no steps", "interpreter", "Elders", "baby"}
	for name, text := range everything(t, e, s, "") {
		assert.False(t, strings.Contains(text, secret), name)
		for _, guests := range []string{"reader", "cards", "times", "chart", "pocket"} {
			if strings.HasPrefix(name, guests) {
				// A grouping's title is the planner's own text.
				text, _, _ = strings.Cut(text, "Chairs are for")
				text = regexp.MustCompile(`Linh('|&#39;)s grandmother with`).ReplaceAllString(text, "")
				for _, word := range personal {
					assert.False(t, strings.Contains(text, word), "%s in %s", word, name)
				}
			}
		}
	}
}

// The reader's sheet can run a group: what is taken when, every name to read out with how it is said, who walks out, is
// free and is to be ready.
func TestReaderSheet(t *testing.T) {
	e, s := quay()
	e.Circles[1].Leader = "duarte"
	names := map[string]event.Person{}
	for _, p := range e.People {
		names[p.ID] = p
	}
	clocks := []string{"14:30", "14:36", "14:38", "14:41", "14:44", "14:47", "14:49", "14:51", "15:15", "15:18"}
	articles := strings.Split(page(t, e, s, sheet.Reader), "<article")[1:]
	at := 0
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			text := shown("<article" + articles[at])
			assert.Contains(t, text, entry.Title)
			assert.True(t, strings.HasPrefix(text, fmt.Sprintf("%d %s", at+1, clocks[at])), text)
			assert.Contains(t, articles[at], `type="checkbox"`)
			for _, id := range entry.StepIn {
				want := names[id].Name
				if say := names[id].SayAs; say != "" {
					want += " say " + strings.ReplaceAll(say, "-", "\u2011")
				}
				assert.Contains(t, text, want)
			}
			assert.Equal(t, len(entry.StepOut) > 0, strings.Contains(text, "Step out"), text)
			guests := slices.DeleteFunc(slices.Clone(entry.Released), func(id string) bool { return id == "amara" || id == "linh" })
			assert.Equal(t, len(guests) > 0, strings.Contains(text, "Free to go"), text)
			assert.Equal(t, len(entry.StepIn) == 0, strings.Contains(text, "Nobody new"))
			assert.Equal(t, at == 1, strings.Contains(text, "Stay"), "all others step out")
			at++
		}
	}
	assert.Contains(t, shown("<article"+articles[3]), "Next upInês Sequeira, Teo Sequeira")
	first := shown("<article" + articles[0])
	assert.Contains(t, first, "Duarte's household (3) Rounds up the others: Duarte Sequeira Duarte Sequeira Bia Gil", "a call of many is by groups")
	assert.Contains(t, articles[2], `<bdi dir="auto" class="name">陳美玲</bdi> <bdi dir="auto" class="say loud">say chun may`, "what is read of it")
	assert.Contains(t, articles[0], `<bdi dir="auto" class="say">say `)
}

// A reader who draws what a link gives gets the same page as a planner who draws it for one: whatever else is
// in an event and a sheet is on neither.
func TestReaderSheetHoldsWhatReadersMaySee(t *testing.T) {
	e, s := quay()
	e.People[11].PresentFrom = "14:41"
	e.People[3].PrivateNote, e.People[3].Relation, e.People[3].Nicknames = secret, secret, []string{secret}
	s.Blocks[0].Entries[3].Wait, s.Blocks[0].Entries[3].Near = 4*time.Minute, []string{"kit"}
	s.Blocks[0].Entries[4].Lens = &event.EntryLens{FocalMM: 50}
	s.Advice = []event.Advice{{Message: wording.Said(secret)}}
	s.LeftOut = []event.LeftOut{{Grouping: "none", Why: wording.Said(secret)}}
	drawn := page(t, e, s, sheet.Reader)
	assert.Equal(t, page(t, event.ForReader(e), event.SheetForReader(s), sheet.Reader), drawn)
	assert.NotContains(t, drawn, secret)
}

// The finder's sheet: everybody once, with relation and every time they are called.
func TestFinderSheet(t *testing.T) {
	e, s := quay()
	for i := range e.People {
		e.People[i].Side = map[bool]string{true: "a", false: "l"}[i < 1 || i >= 2 && i <= 8]
	}
	e.People[16].Side = "gone"
	e.Circles[1].Leader = "duarte"
	s.Blocks[0].Entries[3].Near = []string{"kit"}
	text := shown(page(t, e, s, sheet.Finder))
	faces, index, _ := strings.Cut(text, "A to Z")
	for _, p := range e.People {
		if !strings.Contains("An Gil Bia", p.Name) { // in other words too
			assert.Equal(t, 1, strings.Count(faces, p.Name), p.Name)
			assert.Equal(t, 1, strings.Count(index, p.Name), p.Name)
		}
	}
	for _, want := range []string{
		"Duarte's household Duarte Sequeira Amara's brother Rounds up the others 1 14:30 7 14:49 Free about 14:51",
		"Teo Sequeira Amara's grandfather, wheelchair, no steps 1 14:30 5 14:44 Free about 14:47",
		"Kit Halloran-Oyelaran 4 14:41 (Close by) 9 15:15 Garden behind the hall Free about 15:18",
		"1–8 Quay steps 14:30 to 14:53 · Old quay, by the blue boat shed 9–10 Walled garden 15:15 to 15:20 · Garden behind the hall",
		"Bia Duarte's daughter, child 1",
		"陳寶珠 say chun bo\u2011joo, Linh's grandmother, interpreter 1 14:30 Free about 14:38",
	} {
		assert.Contains(t, text, want)
	}
	heard := []int{strings.Index(index, "Bia"), strings.Index(index, "陳寶珠"), strings.Index(index, "Duarte")}
	assert.True(t, slices.IsSorted(heard), "chun bo-joo stands where she is heard: %v", heard)
	sides := []int{strings.Index(text, "Amara's side"), strings.Index(text, "Linh's side"), strings.LastIndex(faces, "Both sides")}
	assert.True(t, slices.IsSorted(sides) && sides[0] > 0, sides)
	assert.Greater(t, strings.Index(text, "נועה לוי"), sides[2], "a side that the event does not know is none")
}

// Cards: one for each grouping, with everybody in it, the leader first.
func TestCards(t *testing.T) {
	e, s := quay()
	e.Circles[1].Leader = "bia"
	cards := strings.Split(page(t, e, s, sheet.Cards), "<article")[1:]
	require.Len(t, cards, 10)
	text := shown("<article" + cards[6])
	assert.Contains(t, text, "7 14:49 Duarte's household with the couple Old quay, by the blue boat shed Rounds up the others: Bia Bia Amara Sequeira")
	assert.Equal(t, 6, strings.Count(text, "Sequeira")+strings.Count(text, "Nguyễn")+strings.Count(text, "Bia")-1+strings.Count(text, "Gil"))
	// A grouping that no card holds goes on to the next, with nobody lost.
	big, bigSheet := crowd(400, 1, 350)
	source := page(t, big, bigSheet, sheet.Cards)
	parts := strings.Split(source, "<article")[1:]
	require.Greater(t, len(parts), 2)
	assert.Contains(t, source, "part 2 of ")
	assert.Equal(t, 350, strings.Count(source, "<li>"))
}

// Messages say where and when to people who come together, name by name where it differs.
func TestMessages(t *testing.T) {
	e, s := quay()
	e.Circles[1].Leader = "duarte"
	out := string(drawn(t, e, s, sheet.Options{Kind: sheet.Times}))
	messages := strings.Split(out, "----------------------------------------")
	assert.Len(t, messages, 10, "two circles and eight people by themselves; the couple gets none, and a child is told through a grown-up")
	assert.NotContains(t, out, "To: An\n")
	assert.Contains(t, out, "An: 14:25 to about 14:45")
	assert.Contains(t, out, `To: Duarte Sequeira (Duarte's household)

Hello,

Amara and Linh at the old quay
Quay steps, Saturday 12 June 2027
Place: Old quay, by the blue boat shed
- Duarte Sequeira, Bia, Gil: 14:25 to about 14:55
Please stay near until you are free.
`)
	assert.Contains(t, out, `To: Jo Marlowe (The attendants)

Hello,

Amara and Linh at the old quay
Walled garden, Saturday 12 June 2027
Place: Garden behind the hall
Please be there by 15:10.
First photo at about 15:15.
You are free at about 15:20; please stay near until then.
`)
	assert.NotContains(t, out, "To: The couple")
	e.Honour = []string{"linh"}
	out = string(drawn(t, e, s, sheet.Options{Kind: sheet.Times}))
	assert.Contains(t, out, "- Amara Sequeira: 14:25 to about 14:55, and again from 15:10\n- An: ", "nobody is called free while another block wants them")
	assert.NotContains(t, out, "Nguyễn Thị Mỹ Linh", "whom the day is about")
	e.Honour, e.Blocks[1].Photographer = nil, "Sam Okonjo"
	assert.NotContains(t, string(drawn(t, e, s, sheet.Options{Kind: sheet.Times, Per: sheet.PerPerson})), "Sam Okonjo", "who takes photographs")
	e.Blocks[1].Photographer = ""
	alone := string(drawn(t, e, s, sheet.Options{Kind: sheet.Times, Per: sheet.PerPerson}))
	assert.Len(t, strings.Split(alone, "----------------------------------------"), 16)
}

// Two who belong together and are wanted in two places are told apart.
func TestMessagesTellPeopleApart(t *testing.T) {
	e := event.Event{
		People:  []event.Person{{ID: "a", Name: "Ada"}, {ID: "b", Name: "Bo"}},
		Circles: []event.Circle{{ID: "c", Title: "The pair", Members: []string{"a", "b"}}},
		Blocks:  []event.Block{{ID: "x", Place: "Pier"}, {ID: "y", Place: "Hall"}},
	}
	s := event.CallSheet{Blocks: []event.SheetBlock{
		block("x", stamp, []taken{{"1", "One", 60, 1, []string{"a"}}}, nil),
		block("y", stamp, []taken{{"2", "Two", 60, 1, []string{"b"}}}, nil),
	}}
	out := string(drawn(t, e, s, sheet.Options{Kind: sheet.Times}))
	assert.Contains(t, out, "Place: Pier\n- Ada: 08:25 to about 08:35\n")
	assert.Contains(t, out, "Place: Hall\n- Bo: 08:25 to about 08:35\n")
}

// Titles that were made because the planner gave none are made again in the language of the sheet,
// unless somebody has changed them since.
func TestMadeTitlesFollowTheLanguage(t *testing.T) {
	e, s := quay()
	e.Groupings = append(e.Groupings, event.Grouping{ID: "made", Members: []string{"couple", "duartes", "rosa"}, Without: []string{"gil"}})
	taken, _ := event.Expand(e)
	entry := &s.Blocks[0].Entries[6]
	entry.Grouping, entry.Title = "made", taken[len(taken)-1].Title
	require.Equal(t, "The couple with Duarte's household & Rosa Sequeira without Gil", entry.Title)
	for language, want := range map[string]string{
		"de": "The couple mit Duarte's household und Rosa Sequeira ohne Gil", "zh": "The couple 与 Duarte's household、Rosa Sequeira，没有 Gil",
	} {
		assert.Contains(t, string(drawn(t, e, s, sheet.Options{Language: language, Width: 120})), want)
	}
	entry.Title = "Rosa's own words"
	assert.Contains(t, string(drawn(t, e, s, sheet.Options{Language: "de"})), "Rosa's own words")
}

// A child is not sent for alone: the smallest circle counts only when somebody grown up is in it.
func TestChildrenComeWithSomebody(t *testing.T) {
	e, s := quay()
	e.Circles = append(e.Circles, event.Circle{ID: "kids", Title: "Both cousins", Members: []string{"bia", "an"}})
	out := string(drawn(t, e, s, sheet.Options{Kind: sheet.Times}))
	assert.NotContains(t, out, "To: Both cousins")
	assert.Contains(t, out, "To: Duarte Sequeira (Duarte's household)")
}

// The chart has one mark where each person walks in, one where they walk out, and all names.
func TestChart(t *testing.T) {
	e, s := quay()
	source := page(t, e, s, sheet.Chart)
	ins := strings.Count(source, "<circle cx") - 1 // one is in the legend
	assert.Equal(t, s.Blocks[0].StepIns+s.Blocks[1].StepIns, ins)
	outs, bars := 0, 0
	for _, b := range s.Blocks {
		for k, entry := range b.Entries {
			outs += len(entry.StepOut)
			for _, id := range entry.Stay { // one bar for as long as somebody stays
				if !slices.Contains(b.Entries[k-1].Stay, id) {
					bars++
				}
			}
		}
	}
	assert.Equal(t, outs, strings.Count(source, `<circle class="out"`)-1)
	assert.Equal(t, bars, strings.Count(source, `<line class="stay"`)-1)
	for _, p := range e.People {
		assert.Contains(t, shown(source), p.Name)
	}
	assert.Equal(t, 1, strings.Count(source, `<svg class="chart"`))
	// Left to right and right to left are mirror images.
	mirrored := string(drawn(t, e, s, sheet.Options{Kind: sheet.Chart, Form: sheet.HTML, Language: "ar-u-nu-latn"}))
	dots := regexp.MustCompile(`<circle (class="out" )?cx="[\d.]+" cy="([\d.]+)"`)
	left, right := dots.FindAllString(source, -1), dots.FindAllString(mirrored, -1)
	assert.Len(t, right, len(left))
}

// Who waits for whom is said in front of the entry, wherever it is read.
func TestWaitAndNear(t *testing.T) {
	e, s := quay()
	e.People[11].PresentFrom = "14:41" // 陳偉, who walks in then
	entry := &s.Blocks[0].Entries[3]
	entry.Wait, entry.Near = 4*time.Minute, []string{"kit"}
	text := textOf(t, e, s, 0)
	assert.Contains(t, text, "Wait 4 min, until 14:41, for 陳偉\n\n[ ] 4  14:41")
	assert.Contains(t, text, "    Close by    Kit Halloran-Oyelaran\n")
	out := shown(page(t, e, s, sheet.Call))
	assert.Contains(t, out, "Wait 4 min, until 14:41, for 陳偉")
	assert.Contains(t, out, "Kit Halloran-Oyelaran")
	out = shown(page(t, e, s, sheet.Reader))
	assert.Contains(t, out, "Wait 4 min, until 14:41 4 ", "who comes when is not for readers")
	assert.NotContains(t, out, "Near")
	e.People[11].PresentFrom = ""
	e.People[11].Presence = []event.Span{{Until: "14:00"}, {From: "14:40"}}
	assert.Contains(t, textOf(t, e, s, 0), "until 14:41, for 陳偉")
	e.People[11].Presence = nil
	assert.Contains(t, textOf(t, e, s, 0), "Wait 4 min, until 14:41\n")
	entry.Wait = 29 * time.Second
	assert.NotContains(t, textOf(t, e, s, 0), "Wait ", "nobody notices that")
}

// Every page of every kind is well formed and takes nothing from outside, in every direction.
func TestPagesAreWellFormed(t *testing.T) {
	e, s := quay()
	e.Title = `</style><script>alert(1)</script>"; } @import url(//x.example)`
	e.People[0].Name = `<b onload="x">&amp; "Amara"`
	e.Blocks[0].Place, e.Circles[0].Title, e.Sides[0].Label = `"><svg onload=x>`, "<i>", "{{.}}"
	for i := range e.People {
		e.People[i].Side = "a"
	}
	for _, language := range []string{"en", "ar"} {
		for name, source := range everything(t, e, s, language) {
			if strings.Contains(name, "html") {
				wellFormed(t, name, source)
			}
		}
	}
	for name, source := range everything(t, event.Event{}, event.CallSheet{}, "") {
		if strings.Contains(name, "html") {
			wellFormed(t, name, source)
		}
	}
}

// Letters in French write times as French letters do; sheets as clocks do.
func TestFrenchLettersSayHours(t *testing.T) {
	e, s := quay()
	out := string(drawn(t, e, s, sheet.Options{Kind: sheet.Times, Language: "fr"}))
	assert.Contains(t, out, "à 14\u00a0h\u00a025 au plus tard")
	assert.NotRegexp(t, `\d:\d\d`, out)
	assert.Contains(t, string(drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.Text, Language: "fr"})), "14:30")
}
