package wording

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMessagesInEachLanguage(t *testing.T) {
	m := Say("advice.notAskedFor",
		Say("advice.coupleWithTheParentsOf", Say("%s (%s)", Quoted("Ann"), "ann")), And("Ann", "Bo", "Cleo"))
	for c, want := range map[*Catalogue]string{
		english: `Not on your list: the couple with the parents of "Ann" (ann). To include it, add a photo of Ann, Bo and Cleo.`,
		german:  "Noch nicht auf Ihrer Liste: das Paar mit den Eltern von „Ann“ (ann). Soll es auf die Liste, ergänzen Sie ein Foto mit Ann, Bo und Cleo.",
		chinese: "您的清单中没有：新人与“Ann” (ann)的父母。如需加入，请加一张合影：Ann、Bo和Cleo。",
	} {
		assert.Equal(t, want, c.Render(m))
	}
	// What is read from left to right is isolated in a sentence that is not.
	assert.Contains(t, arabic.Render(m), "«\u2068Ann\u2069»")
	assert.Contains(t, arabic.Render(m), "\u2068Bo\u2069 و\u2068Cleo\u2069")
	assert.Equal(t, english.Render(m), m.String())
	assert.Equal(t, `Which “Rosa” do you mean: “Rosa A” or “Rosa B”?`,
		Say("list.whichIsMeant", Curly("Rosa"), Or(Curly("Rosa A"), Curly("Rosa B"))).String())
	assert.Equal(t, "\"\u2068نور\u2069\" is a side, which cannot stand for its people here: make a group of them.",
		Say("check.sideWhichCannotStandForIts", Quoted("نور")).String())
	assert.Equal(t, "%s", english.Render(Say("%s")), "a place without an argument stays as it is")
	assert.Equal(t, "%d", english.Render(Said("%d")), "an argument is never filled in itself")
}

func TestCountsAndTimesInMessages(t *testing.T) {
	at := time.Date(2026, 6, 20, 15, 4, 0, 0, time.UTC)
	m := Say("plan.noTimeLeftIn", And(Clock(at), ClockText("16:30")))
	assert.Equal(t, "No time left in 15:04 and 16:30.", m.String())
	assert.Contains(t, arabic.Render(m), "١٥:٠٤ و١٦:٣٠")
	for n, want := range map[int]string{1: "Es ginge, wenn der Zeitblock 1 Minute später endete.", 5: "Es ginge, wenn der Zeitblock 5 Minuten später endete."} {
		assert.Equal(t, want, german.Render(Say("plan.wouldFitIfTheBlockClosed", Say("sheet.wholeMinutes", n))))
	}
	assert.Equal(t, "\u061c+٣", arabic.Signed("+", arabic.Number(3)))
}

func TestMessagesOfUnknownWording(t *testing.T) {
	m := Say("Nobody translated %s.", "this")
	assert.False(t, german.Known(m))
	assert.False(t, german.Known(Say("plan.first", m)), "inside of another")
	assert.False(t, german.Known(Say("plan.wouldFit", Or(m))), "inside of a list")
	assert.True(t, german.Known(Say("%s (%s)", "a", 1)), "signs need no words")
	assert.False(t, german.Known(Message{}))
	assert.Equal(t, "", german.Render(Message{}))
}

func TestSentences(t *testing.T) {
	a, b := Say("plan.noTimeLeft"), Say("plan.noBlockMayTakeIt")
	assert.Equal(t, "No time left. It cannot be taken in any time slot.", Sentences(Message{}, a, Message{}, b).String())
	assert.Equal(t, a, Sentences(a))
	assert.True(t, Sentences().Empty())
}

func TestMessagesAsJSON(t *testing.T) {
	m := Say("%s %s", Semicolons(Say("plan.first", Curly("=1")), Say("plan.apart")), []string{"a", "b"}, 7, Clock(time.Unix(0, 0).UTC()))
	raw, err := json.Marshal(m)
	require.NoError(t, err)
	var back Message
	require.NoError(t, json.Unmarshal(raw, &back))
	assert.Equal(t, m, back)
	assert.Panics(t, func() { Say("%s", 1.5) }, "a number with a point has to be written by whoever knows its unit")
}

func TestAcceptedLanguages(t *testing.T) {
	assert.Equal(t, "١٢", Accepted("ar-EG,ar;q=0.9").Number(12))
	assert.Equal(t, "12", Accepted("ar-MA").Number(12))
	assert.Equal(t, "en", Accepted("tlh").Tag())
}

// Whatever a message holds, it is rendered.
func FuzzRender(f *testing.F) {
	f.Add("%s holds %s", "a", "نور", 3)
	f.Add("sheet.moreErrors", "%[9]s%%", "", -1)
	f.Fuzz(func(t *testing.T, key, a, b string, n int) {
		m := Say(Key(key), a, Quoted(b), n, And(Say("%s", Curly(a)), Say(Key(b), n)))
		for _, c := range append(others(), english) {
			c.Render(m)
		}
	})
}
