package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// tables as people keep them, with who is in each photograph. The forms follow those of testdata/reading; names are invented.
var keptTables = map[string]struct {
	content string
	want    map[string][]string // people by title
	asked   int                 // errors
}{
	"a title, headings and a total": {"Ada & Bram - photos,,,\n#,Photo,Who's in it,Must have?\nADA'S FAMILY,,,\n1,A's parents,\"A & B, Rosa, Nils\",Y\n2,,as above + Kim,N\nTOTAL,,,2\n",
		map[string][]string{"A's parents": {"Ada", "Bram", "Nils", "Rosa"}, "": {"Ada", "Bram", "Kim", "Nils", "Rosa"}}, 0},
	"numbers of groups with a key": {"First name,Last name,Relation,RSVP,Photo group(s)\nAda,Noor,bride,Yes,all\nBram,Ek,groom,Yes,all\nRosa,Noor,Ada's mother,Yes,1\nNils,Ek,brother,Yes,\"1, 2\"\nGuest,,,,\n,,,,\n1 = Both families,,,,\n2 = Brothers,,,,\n",
		map[string][]string{"Both families": {"Ada Noor", "Bram Ek", "Nils Ek", "Rosa Noor"}, "Brothers": {"Ada Noor", "Bram Ek", "Nils Ek"}}, 0},
	"a key with notes below the guests": {"Given,Family name,Who they are,RSVP,Photos,Comments\nAda,Noor,bride,Yes,A E,\nBram,Ek,groom,Yes,A E,\nRosa,Noor,Ada's mother,Yes,A,\nIda,Ek,Bram's gran,Yes,E,\n,,,,,\nKEY,,,,,\nA,Ada's mum,,,,\nE,Granny,,,,do this first\n",
		map[string][]string{"Ada's mum": {"Ada Noor", "Bram Ek", "Rosa Noor"}, "Granny": {"Ada Noor", "Bram Ek", "Ida Ek"}}, 0},
	"photographs in rows": {"Foto,Ada (Braut),Bram (Bräutigam),Rosa\nEltern,x,x,x\nPaar,x,x,\n",
		map[string][]string{"Eltern": {"Ada", "Bram", "Rosa"}, "Paar": {"Ada", "Bram"}}, 0},
	"a row of counts": {"Family,Guest,Who,A. Parents,B. Girls\n,Ada,bride,x,x\n,Bram,groom,x,\nNoor,Rosa,mother,x,\n,Kim,sister,,x\n,How many in each,,3,2\n",
		map[string][]string{"A. Parents": {"Ada", "Bram", "Rosa"}, "B. Girls": {"Ada", "Kim"}}, 0},
	"a column of counts": {"Photo,Ada (bride),Bram (groom),Rosa,Heads\nParents,x,x,x,3\nCouple,x,x,,2\n",
		map[string][]string{"Parents": {"Ada", "Bram", "Rosa"}, "Couple": {"Ada", "Bram"}}, 0},
	"a mark that says perhaps": {"Name,Relation,Everybody,Couple\nAda,bride,✓,✓\nBram,groom,✓,✓\nRosa,aunt,?,\n",
		map[string][]string{"Everybody": {"Ada", "Bram"}, "Couple": {"Ada", "Bram"}}, 1},
	"people in a column a side": {"Ada (bride) + Bram (groom): pics,,,\nPic,From her side,From his side,Couple?\nMums,Rosa,Ulla,yes\nHer ladies,\"Kim, Lea\",,her only\n",
		map[string][]string{"Mums": {"Ada", "Bram", "Rosa", "Ulla"}, "Her ladies": {"Ada", "Kim", "Lea"}}, 0},
	"a column for the couple, and rows named by number": {"Ada (bride) & Bram (groom),,,\nNo,Group,People,With couple?\n1,Sisters,\"Kim, Lea\",bride only\n2,Brothers,Nils,groom only\n3,All of them,1 + 2,both\n",
		map[string][]string{"Sisters": {"Ada", "Kim", "Lea"}, "Brothers": {"Bram", "Nils"}, "All of them": {"Ada", "Bram", "Kim", "Lea", "Nils"}}, 0},
}

func TestTablesAsPeopleKeepThem(t *testing.T) {
	for name, c := range keptTables {
		t.Run(name, func(t *testing.T) {
			got, err := ReadFile(t.Context(), []byte(c.content), Options{})
			require.NoError(t, err)
			in := make(map[string][]string)
			for _, g := range got.Event.Groupings {
				in[g.Title] = namesIn(got.Event, g)
			}
			assert.Equal(t, c.want, in, listing(got.Problems))
			asked := 0
			for _, p := range got.Problems {
				if p.Severity == event.Error {
					asked++
				}
			}
			assert.Equal(t, c.asked, asked, listing(got.Problems))
			accountedRows(t, c.content, got)
		})
	}
}

// What cells say beside the photographs is kept, and nobody is made of "Guest" or "+1".
func TestCellsOfGuests(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Prénom,Nom,Lien,Présence,Remarques,Table\nAda,Noor,mariée,oui,,1\nBram,Ek,marié,oui,,1\nRosa,Noor,\"grand-mère, 86 ans\",oui,fauteuil roulant,1\nLéo,Ek,neveu (5),non,,2\nGuest,,,,,2\n"), Options{})
	require.NoError(t, err)
	require.Len(t, got.Event.People, 4, listing(got.Problems))
	rosa, leo := got.Event.People[2], got.Event.People[3]
	assert.Equal(t, event.Person{ID: "rosa-noor", Name: "Rosa Noor", Relation: "grand-mère", AgeBand: event.Elder, Needs: []event.Need{event.Wheelchair}}, rosa)
	assert.Equal(t, event.Child, leo.AgeBand)
	assert.True(t, leo.Absent)
	assert.Contains(t, listing(got.Problems), "“Guest” is not a name")
	assert.Contains(t, listing(got.Problems), "The column “Table” is not needed")
}

// A mapping takes the names that messages use for columns.
func TestMappingTakesTheNamesOfMessages(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Aufnahme;Leute\nEltern;Ada, Bram\n"), Options{Format: CSV, Columns: map[string]string{"people": "Leute", "photo": "Aufnahme"}})
	require.NoError(t, err)
	require.Len(t, got.Event.Groupings, 1, listing(got.Problems))
	assert.Equal(t, "Eltern", got.Event.Groupings[0].Title)
	assert.Equal(t, []string{"Ada", "Bram"}, namesIn(got.Event, got.Event.Groupings[0]))
}

// A row with a title only is no photograph when it names something that happens, or somebody who is not there; "ca." is nobody.
func TestRowsThatAskForNothing(t *testing.T) {
	table := "Time,Shot,People,Comment\n14:00,CEREMONY,,\n14:30,Couple + Rita,\"Ana, Tom, Rita\",Not next to Gil please\n14:40,Couple + Gil,\"Ana, Tom, Gil\",\n14:45,Couple + grandparents,\"Ana, Tom, Ida, Karl\",both over 80 and can't stand long\n14:50,Couple + choir,\"Ana, Tom, choir ca. 15\",\n,Grandpa Otis,,passed away - photo on the table\n16:30,Speeches,,\n,Cousin Vik can't come,,\n"
	got, err := ReadFile(t.Context(), []byte(table), Options{})
	require.NoError(t, err)
	var titles []string
	for _, g := range got.Event.Groupings {
		titles = append(titles, g.Title)
	}
	assert.Equal(t, []string{"Couple + Rita", "Couple + Gil", "Couple + grandparents", "Couple + choir"}, titles)
	if assert.Len(t, got.Event.Rules, 1) {
		assert.ElementsMatch(t, []string{"rita", "gil"}, got.Event.Rules[0].Apart.People)
	}
	seated := 0
	for _, p := range got.Event.People {
		seated += len(p.Needs)
		assert.NotEqual(t, "Ca", p.Name)
	}
	assert.Equal(t, 2, seated)
}
