package web

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/planning"
)

const guests = `Bride Eva, groom Tim
Mother of the bride: Ruth
Father of the groom: Karl (80)
Photos:
Couple with Ruth
Couple with Karl
Everybody
Ruth and Karl not in the same photo`

// A rule of the list that is deleted on the page is gone, and nothing asks for it any more.
func TestADeletedRuleAsksForNothing(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": guests})
	assert.True(t, p.has("Keep apart: Ruth, Karl"), p.text())
	p = v.press(p, "drop-rule:0", nil)
	assert.NotContains(t, p.text(), "There is no rule")
	p = v.press(p, "plan", nil)
	assert.True(t, p.has("This plan"), p.text())
}

// What was typed about the day stays when the list is read again and says something else of the day.
func TestTheTitleStaysWhenTheListSaysADate(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": guests})
	p = v.press(p, "add-rule", map[string]string{"title": "Eva & Tim", "block.0.opens": "15:00", "block.0.closes": "16:00"})
	p = v.press(p, "read", map[string]string{"rule.1.kind": "turns", "rule.1.who.0": "Ruth", "rule.1.who.1": "Karl"})
	p = v.press(p, "read", map[string]string{"text": "Date: 2026-12-05\n" + guests})
	typed := fieldsOf(p.root)
	assert.Equal(t, []string{"Eva & Tim", "2026-12-05", "15:00"}, []string{typed["title"], typed["date"], typed["block.0.opens"]}, p.text())
	assert.Equal(t, "Karl", typed["rule.1.who.1"])
}

// While a line has to be fixed, a press elsewhere stays where it was.
func TestALineToFixTakesTheFocusOnlyWhenTheListIsRead(t *testing.T) {
	v := visit(t, planning.Plan)
	at := func(p page) string {
		_, after, _ := strings.Cut(p.Body.String(), "autofocus")
		before := strings.TrimSuffix(p.Body.String(), "autofocus"+after)
		return before[strings.LastIndex(before, "<"):]
	}
	p := v.press(v.get("/"), "read", map[string]string{"text": strings.Replace(small, "members: [ann]}", "members: [nobody]}", 1)})
	assert.Contains(t, at(p), "line.14")
	p = v.press(p, "person:bo", nil)
	assert.NotContains(t, at(p), "line.14")
	p = v.press(p, "add-block", nil)
	assert.NotContains(t, at(p), "line.14")
	assert.Contains(t, at(v.press(p, "read", nil)), "line.14")
}

// A plan that was moved by hand isn't called the best that was found, nor the one that was compared.
func TestAPlanByHandIsNotCalledTheBest(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": harbour(t)})
	p = v.press(v.press(p, "plan", nil), "compare", nil)
	assert.True(t, p.has("shown here"), p.text())
	assert.Regexp(t, "This is the best order", p.text())
	p = v.press(p, "down:a-all", nil)
	assert.NotRegexp(t, "This is the best order", p.text())
	assert.False(t, p.has("shown here"), p.text())
}
