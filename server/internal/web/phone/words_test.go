package phone

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/wording"
)

// Every text that the script says is in the catalogue, and none is there for nothing.
func TestWordsAreThoseOfTheScript(t *testing.T) {
	texts := wording.PhoneTexts()["en"].Texts
	said := map[string]bool{}
	var script strings.Builder
	for _, f := range files {
		if strings.HasSuffix(f.name, ".js") {
			script.Write(f.content)
		}
	}
	// Plainly, and where one of two is said.
	for _, pattern := range []string{`say\("([a-zA-Z._]+)"`, `say\([^"()]*\? "([a-zA-Z._]+)" :`, `say\([^"()]*\? "[a-zA-Z._]+" : "([a-zA-Z._]+)"`} {
		for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(script.String(), -1) {
			said[m[1]] = true
		}
	}
	for _, list := range []struct{ prefix, pattern string }{
		{"tab.", `tabsOf = ([^;]*);`}, {"trouble.", `troubles = ([^;]*);`},
	} {
		found := regexp.MustCompile(list.pattern).FindStringSubmatch(script.String())
		require.NotNil(t, found, list.prefix)
		for _, word := range regexp.MustCompile(`"([a-z]+)"`).FindAllStringSubmatch(found[1], -1) {
			said[list.prefix+word[1]] = true
		}
	}
	for word := range said {
		if strings.HasSuffix(word, ".") {
			continue // the beginning of one that is put together
		}
		assert.Contains(t, texts, word)
	}
	together := regexp.MustCompile(`^(told\.|seat$|wheelchair$|stepFree$|interpreter$|kept$|notKept$|notBegun$|opening$|secure$|insecure$)`)
	for word := range texts {
		assert.True(t, said[word] || together.MatchString(word), "%s is said nowhere", word)
	}
}

// What plans say is put into words by the page as by the server, in every language.
func TestBrowserPutsPlansIntoWords(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	list := []wording.Message{
		wording.Say("plan.changedShort", wording.Few(2, []wording.Message{wording.Said("Ann"), wording.Say("%s", wording.Curly("Bo")), wording.Said("Cy"), wording.Said("Di"), wording.Said("نور")})),
		wording.Say("plan.hasAndHolds", wording.Say("sheet.personCount", 12), wording.Said("the yard"), 1, wording.Say("sheet.fewerPeople", 1)),
		wording.Sentences(wording.Say("%s.", "100 % of all"), wording.Say("plan.firmClosingIsOver", wording.Say("%s", wording.Quoted("Quay")), wording.Clock(time.Unix(0, 0)), wording.Say("sheet.wholeMinutes", 3))),
		wording.Say("%s %s %s", wording.Or("a", "b", "c"), wording.And("d", "e"), wording.Semicolons("f", "g")),
		wording.Say("plan.changedMore", 0), wording.Say("plan.itsTimeIsOver"), {},
	}
	asked, err := json.Marshal(list)
	require.NoError(t, err)
	bare := strings.NewReplacer(wording.FirstIsolate, "", wording.PopIsolate, "")
	for _, language := range wording.Languages() {
		var got []string
		answer := b.js(fmt.Sprintf(`import("/day/words.js").then(async ({ loadWords, sentence }) => {
			await loadWords(%q);
			return JSON.stringify(%s.map(sentence));
		})`, language, asked))
		require.NoError(t, json.Unmarshal([]byte(answer), &got))
		in, _ := wording.For(language)
		for i, m := range list {
			assert.Equal(t, bare.Replace(in.Render(m)), bare.Replace(got[i]), language)
		}
	}
	assert.Empty(t, b.js(`import("/day/words.js").then(({ sentence }) => sentence({ Key: "plan.ofLaterYears" }) + sentence(undefined))`))
}

// What a button is called for readers of the screen begins with what is seen on it (WCAG 2.2, 2.5.3): whoever speaks to
// the phone says what they see.
func TestNamesOfButtonsBeginWithTheirText(t *testing.T) {
	for language, catalogue := range wording.PhoneTexts() {
		for seen, name := range map[string]string{"taken": "told.taken", "undo": "undoThis"} {
			assert.True(t, strings.HasPrefix(catalogue.Texts[name].Other, catalogue.Texts[seen].Other), "%s: %s", language, name)
		}
	}
}
