package web

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

// idOf finds the id of a photograph of the small list.
func idOf(title string) string {
	return map[string]string{"Everybody": "g-all", "The sisters": "g-sisters", "Bo with Dag": "g-dag", "Ann alone": "g-ann"}[title]
}

func TestMovesByHand(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.planSmall()
	best := p.order()

	p = v.press(p, "to:"+idOf(best[3]), map[string]string{"place." + idOf(best[3]): "1"})
	assert.Equal(t, []string{best[3], best[0], best[1], best[2]}, p.order())
	p = v.press(p, "again", nil)
	assert.Equal(t, best[3], p.order()[0], "what is locked stays where the hand put it")
	assert.True(t, p.has("Locked: 1"))

	p = v.press(p, "drop:"+idOf(best[1]), nil)
	assert.Len(t, p.order(), 3)
	assert.True(t, p.has("Left out by hand."))
	assert.Regexp(t, `[−±]\d`, p.text())
	p = v.press(p, "again", nil)
	assert.NotContains(t, p.order(), best[1], "what is dropped stays out")
	p = v.press(p, "put:"+idOf(best[1]), nil)
	assert.Len(t, p.order(), 4)

	p = v.press(p, "free", nil)
	assert.Equal(t, best, p.order(), "the best order is back")
	assert.False(t, p.has("compared with the best order"))

	p = v.press(p, "go", map[string]string{"place." + idOf(best[0]): "3"})
	assert.Equal(t, []string{best[1], best[2], best[0], best[3]}, p.order(), "the Enter key in a field for a place moves")
	p = v.press(p, "unlock:"+idOf(best[0]), nil)
	assert.False(t, p.has("Locked: 1"))
}

// A move is made whatever wish it breaks or how late the block ends, and what it breaks is told. A firm closing is not
// run over.
func TestMovesAreMadeAndTold(t *testing.T) {
	v := visit(t, planning.Plan)
	list := strings.Replace(small, "{id: g-all, title: Everybody,", "{id: g-all, title: Everybody, pin: first,", 1)
	p := v.press(v.press(v.get("/"), "read", map[string]string{"text": list}), "plan", nil)
	before := p.order()
	p = v.press(p, "down:g-all", nil)
	assert.Equal(t, before[0], p.order()[1])
	assert.True(t, p.has("Your order goes against a wish. “Everybody” has to be first."), p.text())
	assert.Equal(t, before[0], v.press(p, "again", nil).order()[1], "planned again it stays there")

	for closing, moved := range map[string]bool{"soft": true, "firm": false} {
		list := strings.Replace(small, `closes: "15:30"`, `closes: "15:08", overrunMinutes: 0, closing: `+closing, 1)
		list = strings.ReplaceAll(strings.ReplaceAll(list, "members: [ann]}", "members: [ann], minutes: 2}"), "dag]}", "dag], minutes: 2}")
		list = strings.Replace(list, "members: [sisters],", "members: [sisters], minutes: 3,", 1)
		p := v.press(v.press(v.get("/"), "read", map[string]string{"text": list}), "plan", nil)
		left := "g-ann"
		require.NotContains(t, p.order(), "Ann alone")
		p = v.press(p, "put:"+left, nil)
		assert.Equal(t, moved, slices.Contains(p.order(), "Ann alone"), closing)
		assert.Equal(t, moved, p.has("On the lawn runs about "), p.text())
	}
}

// What the hand decided is in the file that is saved, and holds when that is read again.
func TestTheHandSurvivesSaving(t *testing.T) {
	v := visit(t, planning.Plan)
	list := strings.Replace(small, `closes: "15:30"`, `closes: "15:30", closing: firm, overrunMinutes: 3`, 1)
	p := v.press(v.press(v.get("/"), "read", map[string]string{"text": list}), "plan", nil)
	best := p.order()
	p = v.press(p, "to:"+idOf(best[3]), map[string]string{"place." + idOf(best[3]): "1"})
	p = v.press(p, "drop:"+idOf(best[0]), nil)
	after := p.order()
	saved := v.press(p, "/save", map[string]string{"file-kind": "event"}).Body.String()
	e, _, err := intake.Read([]byte(saved), intake.YAML)
	require.NoError(t, err)
	assert.Equal(t, event.HandPlace{Grouping: idOf(best[3]), Block: "lawn", Locked: true}, e.Order[0])
	assert.Len(t, e.Order, 3)
	assert.Equal(t, []string{idOf(best[0])}, e.LeftOut)
	assert.Equal(t, event.FirmClosing, e.Blocks[0].Closing)
	assert.NotNil(t, e.Blocks[0].Overrun)

	p = v.press(v.press(v.get("/"), "read", map[string]string{"text": saved}), "plan", nil)
	assert.Equal(t, after[0], p.order()[0])
	assert.ElementsMatch(t, after, p.order())
	assert.True(t, p.has("Locked: 1"))
	p = v.press(p, "free", nil)
	assert.Equal(t, best, p.order())
	saved = v.press(p, "/save", map[string]string{"file-kind": "event"}).Body.String()
	assert.NotContains(t, saved, "leftOut")
}

func TestCompareAndUse(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.planSmall(), "compare", nil)
	text := p.text()
	for _, name := range []string{"Balanced", "Least coming and going", "Older guests and children first"} {
		assert.Contains(t, text, name)
	}
	assert.Regexp(t, `15:\d\d`, text, "when elders are free")
	p = v.press(p, "use:early_release", nil)
	assert.True(t, p.has("Planned for: Older guests and children first."))
	assert.True(t, p.has("older guests and children go as early as possible"), p.text())
}

// What the hand decided holds on a list that was changed, for the photos that are still called what they were. What is lost
// is told.
func TestTheHandHoldsWhenTheListChanges(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.planSmall()
	locked, dropped := p.order()[1], p.order()[2]
	p = v.press(p, "down:"+idOf(p.order()[0]), nil)
	p = v.press(p, "drop:"+idOf(dropped), nil)
	p = v.press(p, "/list", nil)
	moved := v.press(p, "plan", nil)
	require.True(t, moved.has("Locked: 1"), "the same list keeps it")
	at := slices.Index(moved.order(), locked)

	added := strings.Replace(small, "groupings:\n", "groupings:\n  - {id: g-new, title: Two of us, members: [cleo, dag]}\n", 1)
	require.NotEqual(t, small, added)
	p = v.press(v.press(moved, "/list", nil), "plan", map[string]string{"text": added})
	assert.False(t, p.has("The list has changed since"), "nothing is lost")
	assert.True(t, p.has("Locked: 1"), p.text())
	assert.Contains(t, p.order(), "Two of us")
	assert.NotContains(t, p.order(), dropped)
	assert.GreaterOrEqual(t, slices.Index(p.order(), locked), at)

	added = strings.ReplaceAll(added, "title: ", "title: Other ")
	p = v.press(v.press(p, "/list", nil), "plan", map[string]string{"text": added})
	assert.True(t, p.has("The list has changed since"))
	assert.False(t, p.has("Locked: 1"))
	assert.Len(t, p.order(), 5)
}

func TestDeltaWords(t *testing.T) {
	best := event.Totals{StepIns: 10, Length: 600e9}
	for want, now := range map[string]event.Totals{
		"Step-ins: +3, +2 min":                       {StepIns: 13, Length: 720e9},
		"Step-ins: +1, +0.5 min":                     {StepIns: 11, Length: 630e9},
		"Step-ins: −2, −1.5 min":                     {StepIns: 8, Length: 510e9},
		"Step-ins: ±0, ±0 min":                       {StepIns: 10, Length: 605e9},
		"No more coming and going, and no more time": best,
	} {
		assert.Equal(t, want, deltaWords(wording.Accepted(""), now, best))
	}
}
