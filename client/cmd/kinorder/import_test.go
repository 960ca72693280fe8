package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"encoding/json"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const typed = `Guests:
Mara Lind - grandmother, Ida's side
Mara Berg
Ida, Per

Photographs:
Ida & Per with Mara Lind (must)
Ida + Per + Mara
`

func TestImportTypedList(t *testing.T) {
	list := file(t, "list.txt", typed)
	out := filepath.Join(t.TempDir(), "event.yaml")
	got := run(t, &Program{}, "import", list, "-o", out)
	assert.Equal(t, exitInvalid, got.code, "which Mara is not said")
	assert.Contains(t, got.stdout, "   8  Which “Mara” do you mean: “Mara Lind” or “Mara Berg”?", "what is unclear is asked with its line")
	assert.Equal(t, "kinorder: wrote "+out+"\n", got.stderr)
	written, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.Contains(t, string(written), "Mara Lind")
	assert.Contains(t, string(written), "priority: must")
	assert.Contains(t, string(written), "# OPEN (line 8)", "and stands in the file, which is written all the same")
}

func TestImportUsesTheBase(t *testing.T) {
	guests := file(t, "guests.csv", "Guest;Ties\nMara Lind;grandmother\nIda Berg;\n")
	base := filepath.Join(t.TempDir(), "guests.yaml")
	got := run(t, &Program{}, "import", guests, "--table", "people", "--column", "name=Guest", "--column", "relation=Ties", "-o", base)
	assert.Equal(t, exitInvalid, got.code, "a list of guests cannot be planned yet")
	got = run(t, &Program{}, "import", file(t, "list.txt", "Ida + Mara\n"), "--base", base, "--format", "yaml")
	assert.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, got.stdout, "name: Mara Lind")
	assert.Contains(t, got.stdout, "members: [ida-berg, mara-lind]")
}

func TestImportWritesTables(t *testing.T) {
	for name, want := range map[string]string{"event.csv": "[People],", "event.xlsx": "PK", "event.json": "{"} {
		out := filepath.Join(t.TempDir(), name)
		got := run(t, &Program{}, "import", wedding, "-o", out)
		assert.Equal(t, exitDone, got.code, got.stderr)
		written, err := os.ReadFile(out)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(strings.TrimPrefix(string(written), "\uFEFF"), want), "%s", name)
		got = run(t, &Program{}, "check", out)
		assert.Equal(t, exitDone, got.code, "%s, blocks and rules too: %s", name, got.stderr)
	}
	got := run(t, &Program{}, "import", wedding, "--format", "csv", "--table", "groupings")
	assert.Contains(t, got.stdout, "Title,People")
}

func TestImportRefuses(t *testing.T) {
	guests := file(t, "guests.csv", "Guest\nMara\n")
	got := run(t, &Program{}, "import", guests, "--column", "nmae=Guest")
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "there are: ")
	got = run(t, &Program{}, "import", guests, "--base", filepath.Join(t.TempDir(), "none.yaml"))
	assert.Equal(t, exitFailed, got.code)
}

const told = `Formal list - Tessa & Owen

MOB Carol, FOB Len (wheelchair)
1. B&G + MOB + FOB
2. Tessa w/ bridesmaids (must)
3. Owen + each of his brothers (Jim, Ted 8)
4. B&G + bridesmaids
5. everyone - Ted

Can you bring an umbrella just in case it rains on us?
Carol can't stand for long.
`

// Of a list a person sees each line with who is in it, what is set aside, what is learned, and each question once.
func TestImportTells(t *testing.T) {
	got := run(t, &Program{}, "import", file(t, "list.txt", told))
	assert.Equal(t, exitDone, got.code, got.stderr)
	assert.Empty(t, got.stderr)
	_, name, _ := strings.Cut(got.stdout, "\n\n/")
	assert.Contains(t, name, "list.txt: can be planned: 5 photos, 7 people, ")
	assert.Equal(t, `   4  B&G + MOB + FOB                           Tessa, Owen, Carol (Tessa's mother), Len (Tessa's
                                                father)
   5  Tessa w/ bridesmaids (must)               Tessa, Bridesmaids (who?) [must]
   6  Owen + each of his brothers (Jim, Ted 8)  Owen + each of: Jim (Owen's brother), Ted (Owen's
                                                brother)
   7  B&G + bridesmaids                         Tessa, Owen, Bridesmaids (who?)
   8  everyone - Ted                            everybody but Ted (6)

Not used
  10  Can you bring an umbrella just in case it rains on us? This line asks for no photo, so it is
      not used.

Also understood
      Couple: Tessa and Owen
      Children: Ted
      Wheelchair: Len
      Needs a seat: Carol
   3  Carol, Len
  11  From this line: Carol: needs a seat.

Questions
   5  Who are “Bridesmaids”? They are in 2 photos. (lines 5, 7)
`, strings.SplitAfter(got.stdout, "(lines 5, 7)\n")[0])
}

// The JSON has the whole answer, and is an event file all the same.
func TestImportJSON(t *testing.T) {
	out := filepath.Join(t.TempDir(), "all.json")
	got := run(t, &Program{}, "import", file(t, "list.txt", told), "-o", out)
	require.Equal(t, exitDone, got.code, got.stderr)
	var all struct {
		Event struct{ Groupings []struct{ ID, Title string } }
		Lines []struct {
			Number      int
			Text        string
			Photographs []struct {
				Grouping     string
				People, Each []struct{ ID, Name, Relation string }
			}
		}
		Questions []struct {
			Text, Written string
			Lines         []int
			Choices       []string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(content(t, out)), &all))
	require.Len(t, all.Event.Groupings, 5)
	assert.Equal(t, "Tessa w/ bridesmaids", all.Event.Groupings[1].Title)
	require.Len(t, all.Lines, 9)
	photograph := all.Lines[2].Photographs[0]
	assert.Equal(t, all.Event.Groupings[0].ID, photograph.Grouping)
	assert.Equal(t, "Tessa's mother", photograph.People[2].Relation)
	assert.Len(t, all.Lines[4].Photographs[0].Each, 2)
	require.Len(t, all.Questions, 2)
	assert.Equal(t, []int{8}, all.Questions[1].Lines, "everybody counts them beside those who are named")
	assert.Equal(t, []int{5, 7}, all.Questions[0].Lines)
	assert.Equal(t, exitDone, run(t, &Program{}, "plan", out, "--budget", "100ms").code)
}
