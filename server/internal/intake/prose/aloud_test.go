package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/wording"
)

// How a name is said is read in the words in which the sheets print it, and the advice asks for it.
func TestHowANameIsSaid(t *testing.T) {
	for _, tag := range wording.Languages() {
		c, _ := wording.For(tag)
		couple, say := c.Say("list.theCouple"), c.Say("sheet.say", "sah-MEER")
		t.Run(tag, func(t *testing.T) {
			_, got := photographsOf(t, couple+": Amara & Théo", "Guests:", "سمير حداد, "+say, "Rosa Lindqvist", "", "Photos:", couple+" + Rosa Lindqvist", couple+" + سمير حداد")
			said := map[string]string{}
			for _, p := range got.Event.People {
				said[p.Name] = p.SayAs
			}
			assert.Equal(t, map[string]string{"Amara": "", "Théo": "", "سمير حداد": "sah-MEER", "Rosa Lindqvist": ""}, said, say)
		})
	}
}
