package phone

import (
	"regexp"
	"strings"
	"testing"

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

// What a button is called for readers of the screen begins with what is seen on it (WCAG 2.2, 2.5.3): whoever speaks to
// the phone says what they see.
func TestNamesOfButtonsBeginWithTheirText(t *testing.T) {
	for language, catalogue := range wording.PhoneTexts() {
		for seen, name := range map[string]string{"taken": "told.taken", "undo": "undoThis"} {
			assert.True(t, strings.HasPrefix(catalogue.Texts[name].Other, catalogue.Texts[seen].Other), "%s: %s", language, name)
		}
	}
}
