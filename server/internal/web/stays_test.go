package web

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/planning"
)

// A rule of the list that a photo is excepted from can be deleted, and the photo with it stays one that can be planned.
func TestADeletedRuleIsMissedByNothing(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": "Bride Eva, groom Tim\nMother of the bride: Ruth\nFather of the groom: Karl (80)\n" +
		"Photos:\nCouple with Ruth\nCouple with Karl\nEverybody\nRuth and Karl not in the same photo\n"})
	require.True(t, p.has("Keep apart: Ruth, Karl"), p.text())
	for p.has("Keep apart: Ruth, Karl") {
		p = v.press(p, "drop-rule:0", nil)
	}
	assert.False(t, p.has("There is no rule"), p.text())
	assert.Len(t, v.press(p, "plan", nil).order(), 3)
}

// What was typed into the fields of the day stays when the list says something new of other things, and so do rules.
func TestWhatIsTypedOfTheDayStays(t *testing.T) {
	v := visit(t, planning.Plan)
	const list = "Bride Eva, groom Tim\n\nCouple with Ruth\nCouple with Karl\nCouple with Ruth and Karl\n"
	p := v.press(v.get("/"), "read", map[string]string{"text": list})
	p = v.press(p, "add-rule", map[string]string{"title": "Eva & Tim", "zone": "Europe/Berlin"})
	p = v.press(p, "read", map[string]string{"rule.0.kind": "apart", "rule.0.scope": "neighbours", "rule.0.who.0": "Ruth", "rule.0.who.1": "Tim"})
	p = v.press(p, "read", map[string]string{"text": "Date: 2027-05-15\nPhotos 15:00-16:00\n" + list})
	f := fieldsOf(p.root)
	assert.Equal(t, []string{"Eva & Tim", "2027-05-15", "Europe/Berlin", "15:00"}, []string{f["title"], f["date"], f["zone"], f["block.0.opens"]})
	assert.Equal(t, []string{"Ruth", "Tim"}, []string{f["rule.0.who.0"], f["rule.0.who.1"]})
	assert.True(t, p.has("The list says something new about the day"))
	p = v.press(p, "read", map[string]string{"text": f["text"] + "Ruth and Karl not side by side\n"})
	assert.Equal(t, "Ruth", fieldsOf(p.root)["rule.0.who.0"])
	assert.True(t, p.has("Keep apart: Ruth, Karl"), "beside it, what the list says now")
	p = v.press(p, "read", map[string]string{"text": f["text"]})
	assert.False(t, p.has("Keep apart: Ruth, Karl"), "and it goes with its line")
	assert.Equal(t, "Ruth", fieldsOf(p.root)["rule.0.who.0"])
}

// While something has to be fixed, what was pressed elsewhere has the focus all the same.
func TestTheFocusIsWhereItWasPressed(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": strings.Replace(small, "[sisters]", "[sister]", 1)})
	require.Equal(t, []string{"line.12"}, focused(p))
	for act, want := range map[string]string{"add-block": "block.1.title", "add-rule": "rule.0.who.0", "person:dag": "who.name", "priority:must:g-dag": "priority:nice:g-dag"} {
		assert.Equal(t, []string{want}, focused(v.press(p, act, nil)), act)
	}
	p = v.press(p, "photo:g-dag", nil)
	assert.Equal(t, []string{"photo:g-dag"}, focused(p))
	assert.Empty(t, focused(v.press(p, "photo-gone:g-dag", nil)), "a file has no line for it")
	assert.Equal(t, []string{"line.12"}, focused(v.press(p, "plan", nil)))
	p = v.press(v.get("/"), "read", map[string]string{"text": "Bride Eva, groom Tim\n\nCouple with Ruth\nCouple with Karl\n"})
	assert.Equal(t, []string{"photo-listed:karl"}, focused(v.press(v.press(p, "photo:karl", nil), "photo-gone:karl", nil)))
}

// A question that was answered on the page is asked no more.
func TestAnsweredQuestionsGo(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": "Bride Eva, groom Tim\n\nRuth and Karl not in the same photo\n\nCouple with Ruth\nCouple with Ruth and Karl\n"})
	require.True(t, p.has("Questions"), p.text())
	for p.has("Keep apart: Ruth, Karl") {
		p = v.press(p, "drop-rule:0", nil)
	}
	assert.False(t, p.has("Questions"), p.text())
}

// focused are the ids of what a page puts the focus on.
func focused(p page) (out []string) {
	each(p.root, func(n *html.Node) {
		for _, a := range n.Attr {
			if a.Key == "autofocus" {
				out = append(out, firstOf(attribute(n, "id"), attribute(n, "value")))
			}
		}
	})
	return out
}

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
