package sheet_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// Who steps out and comes back reads so in every language, and the number of the photo is never parted from the first name.
func TestWhoStepsOutComesBack(t *testing.T) {
	e, s := quay()
	for language, back := range map[string]string{"de": "wieder bei 3:", "fr": "de retour à la photo 3\u00a0:", "es": "vuelven en la 3:", "pt": "voltam na 3:"} {
		page := string(drawn(t, e, s, sheet.Options{Kind: sheet.Reader, Form: sheet.HTML, Language: language}))
		assert.Contains(t, page, `<span class="n"><b>`+back+`</b> <span class="n"><bdi dir="auto">Nguyễn Văn Ba</bdi>`, language)
	}
}

// A made-up title in Arabic is read from right to left whatever script its names are in.
func TestMadeUpTitleInArabic(t *testing.T) {
	e := event.Event{
		People:    []event.Person{{ID: "a", Name: "Ada"}, {ID: "b", Name: "Bo"}},
		Groupings: []event.Grouping{{ID: "g", Members: []string{"a", "b"}}},
	}
	s := event.CallSheet{Blocks: []event.SheetBlock{block("", time.Time{}, []taken{{"g", "Ada & Bo", 60, 1, []string{"a", "b"}}}, nil)}}
	page := string(drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.HTML, Language: "ar"}))
	assert.Contains(t, page, "\u200f\u2068Ada\u2069 و \u2068Bo\u2069")
}

// Without a clock time the end is told as a length: "at +5" is no time.
func TestSafeLengthWithoutClock(t *testing.T) {
	e, s := quay()
	b := &s.Blocks[0]
	b.Start, b.Length, b.SafeLength = time.Time{}, 5*time.Minute, 7*time.Minute
	assert.Contains(t, strings.Join(strings.Fields(textOf(t, e, s, 0)), " "), "Should take 5 min; to be 80% sure, allow 7 min.")
}

// A message speaks to as many as it goes to, and says from when they are wanted again.
func TestMessagesSpeakToOneOrSeveral(t *testing.T) {
	e, s := quay()
	message := func(per sheet.Per, to string) string {
		all := string(drawn(t, e, s, sheet.Options{Kind: sheet.Times, Per: per, Language: "es"}))
		return strings.Split(all[strings.Index(all, to):], "----")[0]
	}
	assert.Contains(t, message(sheet.PerPerson, "Para: Duarte Sequeira"), "Le esperamos a las 14:25.")
	assert.Contains(t, message(sheet.PerCircle, "Para: Jo Marlowe (The attendants)"), "Les esperamos a las 15:10.")
	assert.Contains(t, message(sheet.PerCircle, "Para: Jo Marlowe (The attendants)"), "Podrán irse hacia las")
}

// The times at the end of the rows of the chart have a heading.
func TestChartHeadsTheTimes(t *testing.T) {
	e, s := quay()
	assert.Contains(t, page(t, e, s, sheet.Chart), `>Free</text>`)
}

// A time slot to which nobody gave a name is called what it is for, in the language of the sheet; a name stays, and so
// does an id that somebody chose.
func TestTimeSlotWithoutAName(t *testing.T) {
	e, s := quay()
	for id, name := range map[string]string{"block": "Gruppenfotos", "block-2": "Gruppenfotos", "jetty": "jetty"} {
		e.Blocks, s.Blocks[0].Block = []event.Block{{ID: id}}, id
		assert.Contains(t, string(drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.HTML, Language: "de"})), `<bdi dir="auto">`+name+`</bdi>`)
	}
}
