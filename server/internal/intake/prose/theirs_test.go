package prose

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// Children are those of whoever they are said to be, and a guest's family is that guest with partner and children.
func TestChildrenSaidToBeSomebodys(t *testing.T) {
	got, res := photographsOf(t, "Dad's 80th", "", "Hello, it's Fiona. My dad is Douglas.", "Their children: me (Fiona), Andrew and Catriona", "Spouses: my husband Neil, Andrew's wife Sally.",
		"Grandchildren: Isla (16) and Callum (13) are mine, Rory (9) and Skye (2) are Andrew's, and Lewis (11) is Catriona & Rob's", "", "- Fiona's family", "- Andrew's family", "- Catriona with Lewis", "- Dad with all the grandkids")
	assert.Equal(t, []string{"Callum, Fiona, Isla, Neil", "Andrew, Rory, Sally, Skye", "Catriona, Lewis", "Callum, Douglas, Isla, Lewis, Rory, Skye"}, got)
	k := slices.IndexFunc(res.Event.People, func(p event.Person) bool { return p.Name == "Isla" })
	assert.Equal(t, "Fiona's daughter", res.Event.People[k].Relation)

	got, _ = photographsOf(t, "Nell & Otto", "", "Bridesmaids: Megan, Priya", "Flower girl Poppy (4) and page boy Noah (6) - they're Priya's", "Ben (7) is Megan's nephew", "", "Photos", "1. Couple with Priya's family", "2. Couple with Megan and Ben")
	assert.Equal(t, []string{"Nell, Noah, Otto, Poppy, Priya", "Ben, Megan, Nell, Otto"}, got)
}

// "One with" in a line is another photo: of whom the line begins with, or of all before "as well".
func TestOneWithInALine(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "1. Ida with Lewis, and one with Rob in as well", "2. Otto with Ed and one with Max", "3. Couple with Ida and Rob, another one with Ed too", "4. Nell with one of the ushers")
	assert.Equal(t, []string{"Ida, Lewis", "Ida, Lewis, Rob", "Ed, Otto", "Max, Otto", "Ida, Nell, Otto, Rob", "Ed, Ida, Nell, Otto, Rob"}, got[:6])
	assert.Len(t, got, 7, "%v", res.Problems)
}

// What is done in a photo stays in its title; what somebody needs does not.
func TestTitlesSayWhatIsDone(t *testing.T) {
	_, res := photographsOf(t, "Dad's 80th", "", "- Dad blowing out the candles", "- Dad needing a rest", "- Dad with Ida jumping off the pier", "- everybody walking in")
	var titles []string
	for _, g := range res.Event.Groupings {
		titles = append(titles, g.Title)
	}
	assert.Equal(t, []string{"Dad blowing out the candles", "Dad", "Dad with Ida jumping off the pier", "everybody walking in"}, titles)
	assert.Empty(t, res.Event.Groupings[0].PrivateNote)
}

// At a birthday of a parent the other parent of whoever writes is the wife or husband.
func TestOtherParentAtABirthday(t *testing.T) {
	got, res := photographsOf(t, "Dad's 80th - Sunday 18 July 2027", "", "Hello, it's Fiona. This is for my dad Douglas's 80th at the golf club. We've got you from 3 till 3.30.", "",
		"Mum is Maureen (she's 78, bad hip so needs a chair).", "Their children: me (Fiona), Andrew and Catriona", "Spouses: my husband Neil, Andrew's wife Sally.", "Dad's brother Hamish (84) and his wife Betty", "",
		"Could we please have:", "- Everybody", "- Mum and Dad", "- Mum with Andrew", "- Dad with Hamish")
	assert.Equal(t, []string{"Douglas, Maureen", "Andrew, Maureen", "Douglas, Hamish"}, got[1:])
	k := slices.IndexFunc(res.Event.People, func(p event.Person) bool { return p.Name == "Maureen" })
	assert.Equal(t, "Douglas's wife", res.Event.People[k].Relation)
	assert.Equal(t, []event.Need{event.Seat}, res.Event.People[k].Needs)
}
