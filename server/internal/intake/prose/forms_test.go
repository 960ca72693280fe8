package prose

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
)

// photographsOf reads a list and returns the names in each of its photographs, sorted.
func photographsOf(t *testing.T, lines ...string) ([]string, place.Result) {
	t.Helper()
	got := Read(effort.New(t.Context(), 50_000_000), strings.Join(lines, "\n"), event.Event{}, time.Time{})
	var out []string
	for _, g := range got.Event.Groupings {
		var in []string
		for _, m := range g.Members {
			for _, id := range event.NewIndex(&got.Event).Members(m) {
				if k := slices.IndexFunc(got.Event.People, func(p event.Person) bool { return p.ID == id }); k >= 0 && !slices.Contains(g.Without, id) {
					in = append(in, got.Event.People[k].Name)
				}
			}
		}
		slices.Sort(in)
		out = append(out, strings.Join(slices.Compact(in), ", "))
	}
	return out, got
}

// Letters that a list gives its people stand for them, whatever mark stands behind the letter.
func TestLettersStandForPeople(t *testing.T) {
	for _, mark := range []string{" = ", ": ", " - ", ") "} {
		got, _ := photographsOf(t, "Wedding of Nell & Otto",
			"A"+mark+"Nell & Otto", "B"+mark+"Nell's parents (Ida, Karl)", "C"+mark+"Otto's parents: Vera, Emil", "D"+mark+"bridesmaids: Pia, Lotte",
			"", "1. A + B", "2. A + C", "3. B + C + A", "4. A, B without Karl", "5. Nell + D")
		assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Emil, Nell, Otto, Vera", "Emil, Ida, Karl, Nell, Otto, Vera", "Ida, Nell, Otto", "Lotte, Nell, Pia"}, got, mark)
	}
}

// What sentences beside the photographs say of people is kept, in the words of people who are no planners.
func TestSayings(t *testing.T) {
	for _, c := range []struct {
		line string
		need event.Need
	}{
		{"Nan Ruby can't stand for long, chair please.", event.Seat},
		{"Please note that Ruby will be in a wheelchair!", event.Wheelchair},
		{"Ruby struggles with stairs", event.StepFree},
	} {
		_, got := photographsOf(t, "Wedding of Nell & Otto", "", "1. Couple + Nan Ruby", "2. Couple + Ida, Karl", "", c.line)
		k := slices.IndexFunc(got.Event.People, func(p event.Person) bool { return strings.Contains(p.Name, "Ruby") })
		assert.Equal(t, []event.Need{c.need}, got.Event.People[k].Needs, c.line)
	}
	for _, line := range []string{
		"Please keep Ida and Karl apart (long story)", "Don't put Ida next to Karl please", "Ida and Karl must never be side by side",
		"Ida NOT beside Karl!!", "Bitte Ida und Karl nicht nebeneinander", "Ida et Karl : jamais côte à côte", "No pongas a Ida al lado de Karl", "Não colocar Ida ao lado do Karl",
	} {
		_, got := photographsOf(t, "Wedding of Nell & Otto", "", "1. Couple + Ida", "2. Couple + Karl", "3. Couple + Ida, Karl, Pia", "", line)
		if assert.Len(t, got.Event.Rules, 1, line) {
			assert.Equal(t, []string{"ida", "karl"}, got.Event.Rules[0].Apart.People, line)
		}
	}
}

// Whoever is named in a remark only, and is in no photograph, is said; a remark with a bullet is no photograph.
func TestToldOfNobody(t *testing.T) {
	for _, line := range []string{"Uncle Mick leaves at 4", "* Uncle Mick leaves at 4", "Mick can't stand for long, be kind", "Hi Jo, so sorry, Uncle Mick leaves at 4!"} {
		got, out := photographsOf(t, "Wedding of Nell & Otto", "", "- Couple + Ida", "- Couple + Karl", "- Everyone", line)
		assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Nell, Otto", "Ida, Karl, Nell, Otto"}, got, line)
		var told []string
		for _, p := range out.Problems {
			if p.Line == 6 && p.Severity == event.Warning {
				told = append(told, p.Text())
			}
		}
		assert.Equal(t, []string{"“Mick” is in no photo: what this line says of them is not used."}, told, line)
	}
}

// An apposition with its owner is whom it names: "Karl's ex (Pia)".
func TestKeptApartByWhatSomebodyIs(t *testing.T) {
	for _, line := range []string{"Ida and Karl's ex (Pia) not together", "Ida and Karl's ex Pia: not next to each other please", "Don't put Ida next to Karl's ex (Pia)"} {
		_, got := photographsOf(t, "Wedding of Nell & Otto", "", "1. Couple + Ida", "2. Couple + Karl", "3. Couple + Pia", "", line)
		var apart [][]string
		for _, rule := range got.Event.Rules {
			apart = append(apart, rule.Apart.People)
		}
		assert.Equal(t, [][]string{{"ida", "pia"}}, apart, line)
	}
}

// Marks before photographs, and sentences that number them, say how much each is wanted.
func TestPriorityMarks(t *testing.T) {
	for _, lines := range [][]string{
		{"★ = must have, ☆ = if time", "", "★ Couple + Ida", "☆ Couple + Karl", "- Couple + Pia"},
		{"Couple + Ida ***", "Couple + Karl *", "Couple + Pia", "", "*** must have, * if there's time"},
		{"★★★ Couple + Ida", "★ Couple + Karl", "★★ Couple + Pia"},
		{"1. Couple + Ida", "2. Couple + Karl", "3. Couple + Pia", "", "Number 1 is a must. No. 2 only if there's time."},
	} {
		_, got := photographsOf(t, append([]string{"Wedding of Nell & Otto"}, lines...)...)
		var is []event.Priority
		for _, g := range got.Event.Groupings {
			is = append(is, g.Priority)
		}
		assert.Equal(t, []event.Priority{event.Must, event.Nice, event.Should}, is, lines[0])
	}
}

// A day without a couple is about somebody whom the list calls by kin or by what the day makes of them.
func TestWhomTheDayIsAbout(t *testing.T) {
	got, _ := photographsOf(t, "Nan's 90th birthday", "Nan is Winifred.", "", "1. Nan on her own", "2. Nan + her sister, Auntie Glad", "3. Nan + us three (Tom, Una, Vic)", "4. the whole gang")
	assert.Equal(t, []string{"Winifred", "Auntie Glad, Winifred", "Tom, Una, Vic, Winifred", "Auntie Glad, Tom, Una, Vic, Winifred"}, got)
	got, _ = photographsOf(t, "Christening of Milo", "", "1. the baby with Mum and Dad (Ruth, Sam)", "2. the baby + Pia")
	assert.Equal(t, []string{"Milo, Ruth, Sam", "Milo, Pia"}, got)
}

// A name behind a comma is that of the kin or role before it where the list knows nobody else as that.
func TestNameBehindAComma(t *testing.T) {
	got, _ := photographsOf(t, "Wedding of Nell & Otto", "", "1. Otto and his best man, Karl, without Nell", "2. Nell with her sister, Ida", "3. Nell + mum (Vera)", "4. Nell with her mum, Pia")
	assert.Equal(t, []string{"Karl, Otto", "Ida, Nell", "Nell, Vera", "Nell, Pia, Vera"}, got)
}

// The couple of a letter by one of them: the name at its end, and whose side it tells; who is in all is in all.
func TestLetterOfOne(t *testing.T) {
	got, _ := photographsOf(t, "Olá! Aqui vai a lista.", "", "Comigo e com o Otto em todas:", "os meus pais, Ida e Karl", "a minha avó Vera connosco", "", "Do lado do Otto:", "a mãe, Pia", "", "Beijinhos, Nell")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, Otto, avó Vera", "Nell, Otto, Pia"}, got)
}

// Numbers need no mark behind them when they count on.
func TestBareNumbers(t *testing.T) {
	got, _ := photographsOf(t, "Wedding of Nell & Otto", "1 Couple + Ida", "2 Nell + Karl", "3 Otto + Vera")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Nell", "Otto, Vera"}, got)
}

// A day without its year, or a time without a day, is asked about once.
func TestDateIsAsked(t *testing.T) {
	for _, title := range []string{"Nell & Otto, Sat June 13", "Nell & Otto - groups at 2:30pm", "Hochzeit Nell & Otto, 12. September", "Nell & Otto wedding 10/17"} {
		_, got := photographsOf(t, title, "", "1. Couple + Ida", "2. Couple + Karl", "", "Everybody back inside by 16:00 please")
		var asked []int
		for _, p := range got.Problems {
			if p.Code == event.CodeMissing {
				asked = append(asked, p.Line)
			}
		}
		assert.Equal(t, []int{1}, asked, title)
	}
}

// A paragraph is divided where one wish ends and the next begins, and says so.
func TestParagraph(t *testing.T) {
	got, all := photographsOf(t, "Wedding of Nell & Otto", "",
		"The two of us with Nell's parents Ida and Karl, then the two of us with Otto's mum Vera. Nell with her sister Pia would be lovely, and one of Otto with his brother Emil.")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, Otto, Vera", "Nell, Pia", "Emil, Otto"}, got)
	assert.True(t, slices.ContainsFunc(all.Problems, func(p place.Problem) bool { return p.Line == 3 && strings.Contains(p.Message.String(), "paragraph") }))
}

// Lines above the numbers say who somebody is, and need no heading for it; a title may hold the day.
func TestWhoIsWhoAboveTheNumbers(t *testing.T) {
	got := Read(effort.New(t.Context(), effort.Most), "Formal list - Tessa & Owen - Sat 13 June 2026\n\nMOB Carol, FOB Len (wheelchair)\nMOG Sharon, FOG Big Jim\n1. B&G + both sets of parents\n2. Tessa w/ MOB\n3. Owen with each of his parents\n", event.Event{}, time.Time{})
	require.Equal(t, "2026-06-13", got.Event.Date)
	require.Len(t, got.Event.People, 6)
	require.Equal(t, []string{"couple", "carol", "len", "sharon", "big-jim"}, got.Event.Groupings[0].Members)
	require.Equal(t, []string{"tessa", "carol"}, got.Event.Groupings[1].Members)
	require.Empty(t, got.Event.People[2].Needs, "of one of two in a line")
	require.Equal(t, []event.Need{event.Wheelchair}, got.Event.People[3].Needs)
}

// A line that begins with somebody and a verb asks for no photograph.
func TestWhoDoesSomething(t *testing.T) {
	got := Read(effort.New(t.Context(), effort.Most), "Bea & Migs with Ana\nBea & Migs with Uncle Stan\n\nUncle Stan can't stand for long. Ana has to leave by 4pm.\n", event.Event{}, time.Time{})
	require.Len(t, got.Event.Groupings, 2)
}

// "Her sisters" behind her mum are hers; a partner is that of whom it follows.
func TestWhoseSisters(t *testing.T) {
	got := Read(effort.New(t.Context(), effort.Most), "Tessa (bride) & Owen (groom)\n1. Tessa with her mum Carol and her sisters (Lottie, Bea)\n2. Owen + aunt Jo + her husband Al\n"+
		"3. Couple + all the children (Max 7, Ella 5, baby Fin)", event.Event{}, time.Time{})
	relation := make(map[string]string)
	for _, p := range got.Event.People {
		relation[p.ID] = p.Relation
	}
	assert.Equal(t, "sister", relation["lottie"])
	assert.Equal(t, "sister", relation["bea"])
	assert.Contains(t, relation["al"], "Jo")
	assert.NotContains(t, relation["fin"], "Ella", "a child has none")
}

// A list is written before its day: a day without a year is the next one, and is said to be a guess.
func TestADayWithoutItsYear(t *testing.T) {
	today := time.Date(2026, 11, 27, 0, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"Helen & Simon\nSat 12 September - group shots\n1. Helen with her mum Joan": "2027-09-12",
		"Helen & Simon\n29 February\n1. Helen with her mum Joan":                    "2028-02-29",
		"Helen & Simon\n27 November, 3pm\n1. Helen with her mum Joan":               "2026-11-27",
		"Helen & Simon\nmeet at 3pm\n1. Helen with her mum Joan":                    "",
		"Helen & Simon\n12 September 2026\n1. Helen with her mum Joan":              "2026-09-12",
	} {
		got := Read(effort.New(t.Context(), effort.Most), text, event.Event{}, today)
		assert.Equal(t, want, got.Event.Date, text)
		asked := slices.ContainsFunc(got.Problems, func(p place.Problem) bool { return p.Code == event.CodeMissing })
		assert.Equal(t, want != "2026-09-12", asked, "%s: %v", text, got.Problems)
		got = Read(effort.New(t.Context(), effort.Most), text, event.Event{}, time.Time{})
		assert.True(t, got.Event.Date == "" || want == "2026-09-12", text)
	}
}

// What sentences tell of ages, and when somebody goes.
func TestAgesAndTimesInSentences(t *testing.T) {
	text := "Ann & Bo\nSat 12 September 2026, photos about 2.15\n1. Ann & Bo with Rosa, Nico, Luna\n2. Ann & Bo with Uncle Jo\n\nRosa is 84. Nico 6, Luna 4.\nJo has 2 kids. Jo's lift home is at 5pm.\nDinner is at 7.\n"
	got := Read(effort.New(t.Context(), effort.Most), text, event.Event{}, time.Time{})
	bands := make(map[string]event.AgeBand)
	until := make(map[string]string)
	for _, p := range got.Event.People {
		bands[p.Name], until[p.Name] = p.AgeBand, p.PresentUntil
	}
	assert.Equal(t, map[string]event.AgeBand{"Ann": event.Adult, "Bo": event.Adult, "Rosa": event.Elder, "Nico": event.Child, "Luna": event.Child, "Uncle Jo": event.Adult}, bands)
	assert.Equal(t, "17:00", until["Uncle Jo"])
	assert.Equal(t, "2026-09-12", got.Event.Date)
	if assert.Len(t, got.Event.Blocks, 1) {
		assert.Equal(t, "14:15", got.Event.Blocks[0].Opens)
	}
}

// A remark may tell the whole date; its year counts.
func TestTheYearInARemarkCounts(t *testing.T) {
	today := time.Date(2026, 11, 27, 0, 0, 0, 0, time.UTC)
	got := Read(effort.New(t.Context(), effort.Most), "Dear Sir,\nPlease find below the photographs for the wedding of Ann and Bo, Sunday 4 October 2026.\n\n1. Ann and Bo with Rosa\n2. Ann and Bo with Jo\n", event.Event{}, today)
	assert.Equal(t, "2026-10-04", got.Event.Date)
}

// A need behind several people is not that of whom the day is about.
func TestTheGuestOfHonourStands(t *testing.T) {
	got := Read(effort.New(t.Context(), effort.Most), "XV de Ximena - fotos en el altar\n\nXimena con papá y mamá (Arturo y Leticia)\nXimena c/abuelitos paternos (Don Chuy y Doña Mago), sentados pf\n", event.Event{}, time.Time{})
	var seated []string
	for _, p := range got.Event.People {
		if slices.Contains(p.Needs, event.Seat) {
			seated = append(seated, p.Name)
		}
	}
	assert.Equal(t, []string{"Don Chuy", "Doña Mago"}, seated)
}

// A line that tells the day heads nothing, and letters with "=" name the couple.
func TestFirstLinesThatTell(t *testing.T) {
	got, _ := photographsOf(t, "Ann & Bob - group photos", "ceremony 1pm, everyone called in for food at 3.15 so be quick", "☐ Ann + Cleo", "☐ Ann + Dora")
	assert.Equal(t, []string{"Ann, Cleo", "Ann, Dora"}, got)
	got, _ = photographsOf(t, "POOLE / FRY formals", "B = Ann   G = Bob", "1  B Cleo", "2  G Dan")
	assert.Equal(t, []string{"Ann, Cleo", "Bob, Dan"}, got)
}
