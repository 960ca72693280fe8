package web

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// Under each line stands who is in it with the relation, what is set aside, and each question once.
func TestTold(t *testing.T) {
	read, err := draft{text: "Wedding of Tessa & Owen\n\nMOB Carol\n1. B&G + MOB\n2. Tessa w/ bridesmaids (must)\n3. B&G + bridesmaids\nCan you bring an umbrella just in case it rains on us?\n"}.read(t.Context())
	assert.NoError(t, err)
	c, _ := wording.For("en")
	v := people.ToldOf(c, read.said, read.event, read.lines, read.Over, "", "")
	mother := v.Lines[2].Photographs[0].People[2]
	assert.Equal(t, "Carol", mother.Name)
	assert.Equal(t, "Tessa's mother", mother.Relation)
	assert.Equal(t, "must have", v.Lines[3].Photographs[0].Chosen.Word)
	assert.True(t, v.Lines[5].Aside)
	assert.Equal(t, []people.ToldQuestion{{Text: "Who are “Bridesmaids”? They are in 2 photos.", Lines: []int{5, 6}}}, v.Questions)
	page, err := draw(c, "list", shell{Title: "x"}, listView{Told: v})
	assert.NoError(t, err)
	assert.Contains(t, string(page.content), `<a href="#person.carol"><bdi dir="auto">Carol</bdi></a> <small><bdi dir="auto">Tessa&#39;s mother</bdi></small>`)
	assert.Contains(t, string(page.content), `class="mark">not used</span>`)
}
