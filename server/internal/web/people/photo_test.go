package people

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
)

func reader(t *testing.T) Reader {
	return func(text string) (intake.Reading, error) {
		return intake.ReadFile(t.Context(), []byte(text), intake.Options{})
	}
}

// lists have names of many kinds, and things at their ends that are no photos.
var lists = map[string]string{
	"english":  "Wedding of Mara and Ilyas, 2027-05-15\n\nCouple\nCouple with Mara's parents (Vera and Tom)\nCouple with Ilyas's parents (Nadia and Karim)\nCouple with Rosa\n\nPlease be gentle with Rosa.\nVera and Karim must not stand together",
	"guests":   "Guests:\n- Anne-Zoë O'Neill\n- José \"Pepe\" Ruiz\n- Dr. Uma Berg\n- Per Berg, 8\n- 王小明\n- نور الهدى\n- Katharina von der Heide\n\nPhotos:\nUma and Per\n",
	"german":   "Hochzeit von Jana und Emre\n\nBrautpaar\nBrautpaar mit Janas Eltern (Petra und Uwe)\nBrautpaar mit Emres Eltern (Aylin und Kerem)\nBrautpaar mit den Trauzeugen (Mia, Ben)\n\nWer ist wer:\nPetra: 71",
	"arabic":   "زفاف ليلى وسامر\n\nالعروسان\nالعروسان مع والدي ليلى (هدى وكريم)\nالعروسان مع والدي سامر (منى ويوسف)\n",
	"chinese":  "新人：小芳、大伟\n\n新人合影\n新人和小芳的父母（王建国、李秀英）\n新人和大伟的父母（张强、刘梅）\n",
	"brackets": "Couple: Mara (Mimi) & Ilyas\nCouple with Rosa (great-aunt, wheelchair)\nCouple with Karim [Kay] Berg\nCouple with Vera (née Lang), Tom",
}

// A photo that was ticked reads back as exactly these people, whatever they are called, and changes nothing else.
func TestTickedPhotosReadBack(t *testing.T) {
	for name, text := range lists {
		read := reader(t)
		was, err := read(text)
		require.NoError(t, err)
		ids := []string{}
		for _, p := range was.Event.People {
			ids = append(ids, p.ID)
		}
		tried, refused := 0, 0
		for mask := 1; mask < 1<<len(ids); mask += 1 + mask/16 {
			var some []string
			for k, id := range ids {
				if mask>>k&1 == 1 {
					some = append(some, id)
				}
			}
			tried++
			added, err := Add(text, was, Photo{People: some}, read)
			if err != nil {
				assert.ErrorIs(t, err, ErrNotRead)
				t.Log(name, some, "is refused")
				refused++
				continue
			}
			list, line := added.List, added.Line
			now, err := read(list)
			require.NoError(t, err)
			assert.Equal(t, was.Event.People, now.Event.People)
			members := inEach(&now.Event)[len(now.Event.Groupings)-1]
			assert.Equal(t, some, idsOf(now.Event, members), "%s, line %d of\n%s", name, line, list)
			assert.Equal(t, text, strings.Join(without(list, line), "\n"))
		}
		t.Log(name, len(ids), tried, refused)
		assert.LessOrEqual(t, refused*20, tried, name)
	}
}

func without(list string, line int) []string {
	lines := strings.Split(list, "\n")
	return append(lines[:line-1:line-1], lines[line:]...)
}

func idsOf(e event.Event, people []int) []string {
	var out []string
	for _, p := range people {
		out = append(out, e.People[p].ID)
	}
	return out
}

// A title is written where the line is still read as these people, and kept beside the list where it is not. It goes with
// its line.
func TestTitlesOfTickedPhotos(t *testing.T) {
	read := reader(t)
	text := lists["english"]
	was, err := read(text)
	require.NoError(t, err)
	for title, written := range map[string]bool{"By the old oak": true, "Silly faces": true, "Wedding of Vera and Karim, 2029-01-01": false} {
		added, err := Add(text, was, Photo{Title: title, People: []string{"rosa", "tom"}}, read)
		require.NoError(t, err, title)
		line := strings.Split(added.List, "\n")[added.Line-1]
		assert.Equal(t, written, strings.Contains(line, title), line)
		for list, called := range map[string]bool{added.List: true, strings.Replace(added.List, line, "Tom, Vera", 1): false} {
			now, err := read(list)
			require.NoError(t, err)
			Over{Titles: added.Over}.Apply(&now.Event, now.Lines)
			assert.Equal(t, called, strings.Contains(now.Event.Groupings[len(now.Event.Groupings)-1].Title, title), list)
		}
	}
	_, err = Add(text, was, Photo{Title: "x"}, read)
	assert.ErrorIs(t, err, ErrFewPeople)
}

// Somebody who is not on the list yet comes onto it by a photo, as one more person and nobody else.
func TestSomebodyNewInATickedPhoto(t *testing.T) {
	read := reader(t)
	for name, text := range lists {
		was, err := read(text)
		require.NoError(t, err)
		added, err := Add(text, was, Photo{New: "Rosalind Amber", People: []string{was.Event.People[1].ID}}, read)
		require.NoError(t, err, name)
		now, err := read(added.List)
		require.NoError(t, err)
		assert.Len(t, now.Event.People, len(was.Event.People)+1, name)
		assert.Contains(t, strings.Split(added.List, "\n")[added.Line-1], "Rosalind Amber")
	}
	was, err := read(lists["english"])
	require.NoError(t, err)
	for _, no := range []string{"Rosa", "the whole family", "Vera and Karim"} {
		_, err = Add(lists["english"], was, Photo{New: no}, read)
		assert.ErrorIs(t, err, ErrNotRead, no)
	}
}

// An event that is written out takes names of any kind, because it goes by ids; a table has an order of its own.
func TestTickedPhotosInEventsThatAreWrittenOut(t *testing.T) {
	read := reader(t)
	e := event.Event{People: []event.Person{{ID: "a", Name: "Duarte, Rosa (\"Oma\")"}, {ID: "b", Name: "Berg & Sons, [Per]: 王"}, {ID: "c", Name: "نور، الهدى"}},
		Groupings: []event.Grouping{{ID: "g", Title: "All", Members: []string{"a", "b", "c"}}}}
	text := string(intake.WriteYAML(e, nil))
	was, err := read(text)
	require.NoError(t, err)
	added, err := Add(text, was, Photo{Title: "Two: a, b", People: []string{"a", "c"}}, read)
	require.NoError(t, err)
	now, err := read(added.List)
	require.NoError(t, err)
	assert.Contains(t, strings.Split(added.List, "\n")[added.Line-1], "Two: a, b")
	assert.Equal(t, event.Grouping{Title: "Two: a, b", Members: []string{"a", "c"}}, now.Event.Groupings[1])
	for _, other := range []string{"# by hand\n" + text, "Name,Side\nRosa,Mara\n"} {
		was, err := read(other)
		require.NoError(t, err)
		_, err = Add(other, was, Photo{People: []string{"a"}}, read)
		assert.ErrorIs(t, err, ErrTable, other)
	}
}

// What the house list has is offered where the people are there and no photo has exactly these; each can be added as a line.
func TestSuggestions(t *testing.T) {
	read := reader(t)
	text := "Wedding of Mara and Ilyas\n\nCouple with Mara's parents (Vera and Tom)\nCouple with Ilyas's parents (Nadia and Karim)\n" +
		"Couple with Mara's grandmother (Rosa)\nCouple with Mara's brother Per\nCouple with the bridesmaids (Ana, Bea)"
	was, err := read(text)
	require.NoError(t, err)
	var said []string
	for _, s := range Suggest(english, was.Event) {
		said = append(said, s.Text)
	}
	assert.Equal(t, []string{"The couple", "Mara with parents", "Ilyas with parents", "Mara with brothers and sisters",
		"Close family of Mara, with the couple", "Both sets of parents, with the couple", "Both families, with the couple", "Everybody"}, said)
	for left := len(said); left > 0; left-- {
		all := Suggest(english, was.Event)
		require.Len(t, all, left)
		added, err := Add(text, was, all[0].Photo, read)
		require.NoError(t, err, all[0].Text)
		if all[0].Everybody {
			assert.Contains(t, added.List, "\nEverybody")
		}
		text = added.List
		if was, err = read(text); err != nil {
			t.Fatal(err)
		}
	}
	e := was.Event
	e.People, e.Honour = []event.Person{{ID: "a", Name: "Ann"}}, nil
	assert.Empty(t, Suggest(english, e))
}
