package check

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// What makes a usual list, what reads as a slip and who can gather people is common practice, no
// source: the cases say what a planner would and would not want to be told.

// wedding makes an event of people written as "id relation@side" and photographs of ids.
func wedding(people []string, photographs ...string) event.Event {
	e := event.Event{Sides: []event.Side{{ID: "x"}, {ID: "y"}}}
	for _, line := range people {
		line, side, _ := strings.Cut(line, "@")
		id, relation, _ := strings.Cut(line, " ")
		e.People = append(e.People, event.Person{ID: id, Name: strings.ToUpper(id[:1]) + id[1:] + "na Reed", Relation: relation, Side: side})
	}
	for _, p := range photographs {
		e.Groupings = append(e.Groupings, event.Grouping{Members: strings.Fields(p)})
	}
	e.Circles = []event.Circle{{ID: "couple", Members: []string{"a", "b"}}}
	return e
}

// family4 is the couple, parents and two siblings of the first, one of them with a partner and a child.
func family4() []string {
	return []string{"a @x", "b @y", "mia mother@x", "fred father@x", "sis sister@x", "bro brother@x", "kit sister's husband@x", "tot niece, 2@x"}
}

// told lists advice as "severity CODE subjects", leaving out codes that are not asked for.
func told(list []event.Advice, codes ...string) []string {
	out := []string{}
	for _, a := range list {
		for _, code := range codes {
			if a.Code == code {
				out = append(out, fmt.Sprint([...]string{"info", "warning", "error"}[a.Severity], " ", a.Code, " ", strings.Join(a.Subjects, " ")))
			}
		}
	}
	return out
}

func TestAdviceOnFamilies(t *testing.T) {
	everybody := "couple mia fred sis bro kit tot"
	complete := []string{everybody, "a mia fred sis bro", "couple mia fred", "a sis bro"}
	divorced := append(family4(), "wil father's wife@x")
	cases := []struct {
		name   string
		e      event.Event
		change func(*event.Event)
		want   []string
	}{
		{"all asked for", wedding(family4(), complete...), nil, nil},
		{"birth family never alone", wedding(family4(), everybody, "couple mia fred", "couple sis bro"), nil,
			[]string{"info BIRTH_FAMILY a mia fred sis bro g1"}},
		{"birth family never", wedding(append(family4(), "aunt aunt@x"), everybody+" aunt", "couple mia fred", "couple sis bro"), nil,
			[]string{"warning BIRTH_FAMILY a mia fred sis bro", "info NEAR_FAMILY a b mia fred sis bro kit tot"}},
		{"birth family with the other half", wedding(family4(), everybody, "couple mia fred sis bro", "couple mia fred", "couple sis bro"), nil,
			[]string{"info BIRTH_FAMILY a mia fred sis bro g2"}},
		{"birth family of an only child", wedding(family4()[:4], "couple mia fred"), nil, []string{"info BIRTH_FAMILY a mia fred g1"}},
		{"one parent, no siblings", wedding(family4()[:3], "couple mia"), nil, nil},
		{"near family without partners", wedding(family4(), complete[1:]...), nil,
			[]string{"info NEAR_FAMILY a b mia fred sis bro kit tot"}},
		{"parents never", wedding(family4(), everybody, complete[1], complete[3]), nil, []string{"info MISSING_COMBINATION a b mia fred"}},
		{"siblings never", wedding(family4(), complete[:3]...), nil, []string{"info MISSING_COMBINATION a sis bro"}},
		{"a sibling is not coming", wedding(family4(), everybody, "a mia fred sis bro", "couple mia fred", "a sis"), func(e *event.Event) { e.People[5].Absent = true }, nil},
		{"parents of both never", wedding([]string{"a @x", "b @y", "mia mother@x", "pia mother@y"}, "couple mia", "couple pia"), nil,
			[]string{"info MISSING_COMBINATION a b mia pia"}},
		{"grandparent forgotten", wedding([]string{"a @x", "b @y", "gran grandmother@x", "opa grandfather@x"}, "couple gran"), nil,
			[]string{"info MISSING_COMBINATION a opa"}},
		{"grandparents one by one", wedding([]string{"a @x", "b @y", "gran grandmother@x", "opa grandfather@x"}, "a gran", "couple opa"), nil, nil},
		{"parent with another partner", wedding(divorced, everybody+" wil", "a mia", "a sis bro fred", "a sis bro"), nil, nil},
		{"separated parent forgotten", wedding(divorced, everybody+" wil", "a mia", "a sis bro"), nil, []string{"info MISSING_COMBINATION a fred"}},
		{"parents kept apart by a rule", wedding(family4(), "a mia", "a fred", "a sis bro"), func(e *event.Event) {
			e.Rules = []event.Rule{{Apart: &event.Apart{People: []string{"mia", "fred"}, Scope: event.Neighbours}}}
		}, nil},
		{"parents photographed one at a time", wedding(append(family4(), "aunt aunt@x"), everybody+" aunt", "a mia", "a fred", "a sis bro"), nil, nil},
		{"siblings kept apart", wedding(family4(), complete[:3]...), func(e *event.Event) {
			e.Rules = []event.Rule{{Apart: &event.Apart{People: []string{"sis", "bro"}, Scope: event.Neighbours}}}
		}, nil},
		{"siblings are never there together", wedding(family4(), complete[:3]...), func(e *event.Event) {
			e.Date = "2026-06-20"
			e.People[4].PresentUntil, e.People[5].PresentFrom = "15:00", "15:00"
		}, nil},
		{"siblings meet for an hour", wedding(family4(), complete[:3]...), func(e *event.Event) {
			e.Date = "2026-06-20"
			e.People[4].PresentUntil, e.People[5].PresentFrom = "16:00", "15:00"
		}, []string{"info MISSING_COMBINATION a sis bro"}},
		{"nobody knows who the couple is", wedding(family4(), "a mia fred kit"), func(e *event.Event) { e.Circles = nil }, nil},
		{"the couple by words", wedding([]string{"a bride@x", "b bride@y", "mia mother@x"}, "a", "mia b"), func(e *event.Event) { e.Circles = nil },
			[]string{"info MISSING_COMBINATION a b mia"}},
		{"the couple by photographs", wedding(family4()[:3], "a b", "a b", "a", "b", "mia"), func(e *event.Event) { e.Circles = nil },
			[]string{"info MISSING_COMBINATION a b mia"}},
		{"no sides, whose mother is not known", wedding([]string{"a", "b", "mia mother"}, "a b", "mia"), nil, nil},
		{"no sides, but whose mother is said", wedding([]string{"a", "b", "mia Ana's mother"}, "a b", "mia"), nil,
			[]string{"info MISSING_COMBINATION a b mia"}},
		{"two brides, whose mother is not said", wedding([]string{"a bride", "b bride", "mia mother of the bride"}, "a b", "mia"), nil, nil},
		{"the relation against the side", wedding([]string{"a bride@x", "b groom@y", "mia mother of the bride@y"}, "a b", "mia"), nil, nil},
		{"one side only", wedding([]string{"a @x", "b @x", "mia mother@x"}, "a b", "mia"), nil, nil},
		{"words that are not understood", wedding([]string{"a @x", "b @y", "mia mother superior@x"}, "a b", "mia"), nil, nil},
		{"no couple at all", wedding([]string{"ann mother@x", "ben father@x"}, "ann ben"), func(e *event.Event) { e.Circles = nil }, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.change != nil {
				c.change(&c.e)
			}
			list := Event(c.e)
			require.Empty(t, event.Faults(list), "%+v", list)
			assert.Equal(t, append([]string{}, c.want...), told(list, event.CodeBirthFamily, event.CodeNearFamily, event.CodeMissingCombination), "%+v", list)
		})
	}
}

func TestMissingCombinationsAreFew(t *testing.T) {
	e := wedding([]string{"a @x", "b @y", "mia mother@x", "pia mother@y", "sis sister@x", "sus sister@y", "gran grandmother@x", "nan grandmother@y"}, "a b mia pia sis sus gran nan")
	assert.Len(t, told(Event(e), event.CodeMissingCombination, event.CodeBirthFamily, event.CodeNearFamily), maxFamily)
}

func TestManyInNoGroupingAreOneAdvice(t *testing.T) {
	e := wedding(append(family4(), "ann", "ben"), "a b")
	assert.Equal(t, []string{"warning IN_NO_GROUPING mia fred sis bro kit tot ann ben"}, told(Event(e), event.CodeInNoGrouping))
	e = wedding(family4(), "a b")
	assert.Len(t, told(Event(e), event.CodeInNoGrouping), 6)
}

// The texts are to be understood by somebody who knows weddings and nothing of this program.
func TestAdviceTexts(t *testing.T) {
	text := func(e event.Event, code string) string {
		for _, a := range Event(e) {
			if a.Code == code {
				return a.Text()
			}
		}
		return ""
	}
	e := wedding(family4()[:5], "couple mia fred sis", "couple mia fred", "a sis")
	assert.Equal(t, `"Ana Reed" with just parents, brothers and sisters: so far only with others in the picture. To have one, add a photo like "g1" without "Bna Reed"; taken right after it, only 1 person steps out.`, text(e, event.CodeBirthFamily))
	e = wedding(family4()[:5], "couple mia fred", "a sis")
	assert.Equal(t, `"Ana Reed" with just parents, brothers and sisters: not in any photo of their own. Add a photo of these 4 people: "Ana Reed", "Miana Reed", "Fredna Reed" and "Sisna Reed".`, text(e, event.CodeBirthFamily))
	e = wedding([]string{"a @x", "b @y", "sis sister@x", "bro brother@x", "hal half-brother, 3@x"}, "a b", "sis bro hal")
	assert.Equal(t, `Not on your list: "Ana Reed" with siblings. To include it, add a photo of "Ana Reed", "Sisna Reed" and "Brona Reed". Could join them: "Halna Reed".`, text(e, event.CodeMissingCombination))
}

// Lists that say "the parents" often mean them with the couple, so that is worth a word; whoever takes the couple out has
// said so.
func TestFamilyWithoutTheCouple(t *testing.T) {
	e := wedding(family4(), "couple mia fred", "mia fred", "sis bro", "sis kit tot", "kit tot", "a mia fred sis")
	e.Groupings[1].Title = "Her parents"
	assert.Equal(t, []string{"info WITHOUT_COUPLE g2", "info WITHOUT_COUPLE g3"}, told(Event(e), event.CodeWithoutCouple))
	at := slices.IndexFunc(Event(e), func(a event.Advice) bool { return a.Code == event.CodeWithoutCouple })
	assert.Equal(t, `Neither of the couple is in the photo of "Her parents". If they should be, add them.`, Event(e)[at].Text())
	e.Groupings[1].Without, e.Groupings[2].Without = []string{"couple"}, []string{"a"}
	assert.Empty(t, told(Event(e), event.CodeWithoutCouple))
}

func TestAdviceOnNames(t *testing.T) {
	cases := []struct {
		name  string
		names []string // with "@relation"
		want  []string
	}{
		{"one letter wrong", []string{"Beatriz Falcao", "Beatris Falcao"}, []string{"info SIMILAR_NAMES p0 p1"}},
		{"letters swapped", []string{"Rosalind Pike", "Roaslind Pike"}, []string{"info SIMILAR_NAMES p0 p1"}},
		{"a letter missing", []string{"Rosalind Pike", "Rosalnd Pike"}, []string{"info SIMILAR_NAMES p0 p1"}},
		{"a space missing", []string{"Rosa Lind", "Rosalind"}, []string{"info SIMILAR_NAMES p0 p1"}},
		{"accents only", []string{"Inês Costa", "Ines Costa"}, []string{"info SIMILAR_NAMES p0 p1"}},
		{"other relation", []string{"Inês Costa@aunt", "Ines Costa@cousin"}, nil},
		{"rhyme", []string{"Linh Thorsen", "Minh Thorsen"}, nil},
		{"two names by the last vowel", []string{"Maria Costa", "Mario Costa", "Daniel Reis", "Daniela Reis"}, nil},
		{"short names", []string{"Jan Voss", "Jon Voss"}, nil},
		{"numbers", []string{"Guest 1 of Ana", "Guest 2 of Ana"}, nil},
		{"initials", []string{"Anna B", "Anna C"}, nil},
		{"two letters", []string{"Beatriz Falcao", "Beatris Falcon"}, nil},
		{"the same name", []string{"Rosa Lind", "rosa lind"}, nil},
		{"another script, no way to say it", []string{"Rosa Lind", "Ana Reis", "Ben Voss", "陈美玲"}, []string{"warning NO_SAY_AS p3"}},
		{"several in other scripts", []string{"Rosa Lind", "Ana Reis", "Ben Voss", "陈美玲", "كريم حداد"}, []string{"warning NO_SAY_AS p3 p4"}},
		{"with a name beside it", []string{"Rosa Lind", "Ana Reis", "Ben Voss", "Mei 陈美玲"}, nil},
		{"accents are left to the planner", []string{"Rosa Lind", "Ana Reis", "Ayọ̀ Bánkọ́lé", "Nguyễn Thị Đào"}, nil},
		{"nothing is the main script", []string{"Rosa Lind", "Ana Reis", "陈美玲", "林伟"}, nil},
		{"Latin in a list that is not", []string{"陈美玲", "林伟", "林晓雨", "Rosa"}, []string{"warning NO_SAY_AS p3"}},
		{"kana and kanji are read together", []string{"田中美咲", "さくら", "タロウ"}, nil},
		{"no letters", []string{"Rosa Lind", "Ana Reis", "Ben Voss", "★"}, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var e event.Event
			for i, name := range c.names {
				name, relation, _ := strings.Cut(name, "@")
				id := fmt.Sprint("p", i)
				e.People = append(e.People, event.Person{ID: id, Name: name, Relation: relation})
				e.Groupings = append(e.Groupings, event.Grouping{Members: []string{id}})
			}
			assert.Equal(t, append([]string{}, c.want...), told(Event(e), event.CodeSimilarNames, event.CodeNoSayAs))
			for i := range e.People {
				e.People[i].SayAs = "say"
				e.People[i].HeightCM = 100 + i
			}
			assert.Empty(t, told(Event(e), event.CodeSimilarNames, event.CodeNoSayAs), "told apart by height, and told how to say it")
			for i := range e.People {
				e.People[i].SayAs, e.People[i].HeightCM = "", 0
				e.Groupings[0].Members = append(e.Groupings[0].Members, e.People[i].ID)
			}
			assert.Empty(t, told(Event(e), event.CodeSimilarNames), "listed side by side")
		})
	}
}

// OneApart against the general distance, on short words where every kind of change occurs.
func TestOneApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	word := func() []rune {
		w := make([]rune, rng.IntN(6))
		for i := range w {
			w[i] = rune('a' + rng.IntN(2))
		}
		return w
	}
	for range 20000 {
		a, b := word(), word()
		if string(a) != string(b) {
			require.Equal(t, kin.Distance(a, b, 9) == 1, kin.OneApart(a, b), "%s %s", string(a), string(b))
		}
	}
}

func TestAdviceOnTheDay(t *testing.T) {
	cases := []struct {
		name   string
		change func(*event.Event)
		want   []string
	}{
		{"nothing", func(*event.Event) {}, nil},
		{"interpreter needed", func(e *event.Event) { e.People[2].Needs = []event.Need{event.Interpreter} }, []string{"warning NO_INTERPRETER rosa"}},
		{"interpreter named", func(e *event.Event) {
			e.People[2].Needs = []event.Need{event.Interpreter}
			e.People[2].Interpreter = "ines"
		}, nil},
		{"wheelchair, place without a word on steps", func(e *event.Event) { e.People[2].Needs = []event.Need{event.Wheelchair} }, []string{"warning NO_STEP_FREE_PLACE rosa all granny"}},
		{"wheelchair, place free of steps", func(e *event.Event) { e.People[2].Needs = []event.Need{event.Wheelchair}; e.Blocks[0].StepFree = true }, nil},
		{"wheelchair, nothing said of any place", func(e *event.Event) { e.People[2].Needs = []event.Need{event.Wheelchair}; e.Blocks[0].Place = "" }, nil},
		{"wheelchair, a photo on stairs", func(e *event.Event) {
			e.People[2].Needs, e.Blocks[0].StepFree = []event.Need{event.Wheelchair}, true
			e.Groupings[1].Title = "Todos na escadaria"
		}, []string{"warning NO_STEP_FREE_PLACE rosa granny"}},
		{"wheelchair, another block free of steps", func(e *event.Event) {
			e.People[2].Needs = []event.Need{event.StepFree}
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", StepFree: true})
		}, nil},
		{"wheelchair, the other block not allowed", func(e *event.Event) {
			e.People[2].Needs = []event.Need{event.StepFree}
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", StepFree: true})
			e.Groupings[1].Blocks = []string{"garden"}
		}, []string{"warning NO_STEP_FREE_PLACE rosa granny"}},
		{"wheelchair, the other block too small", func(e *event.Event) {
			e.People[2].Needs = []event.Need{event.StepFree}
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", StepFree: true, Capacity: 4})
		}, []string{"warning NO_STEP_FREE_PLACE rosa all"}},
		{"blocks at one time, no photographers", func(e *event.Event) {
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "16:59", Closes: "18:00"})
		}, []string{"warning OVERLAPPING_BLOCKS garden hall"}},
		{"blocks at one time, two photographers", func(e *event.Event) {
			e.Blocks[0].Photographer = "Vesna"
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "16:00", Closes: "18:00", Photographer: "Ravi"})
		}, nil},
		{"one block after the other", func(e *event.Event) {
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "17:00", Closes: "18:00"})
		}, nil},
		{"open-ended block", func(e *event.Event) {
			e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "16:00"})
		}, nil},
		{"leader in most photographs", func(e *event.Event) {
			e.Circles[1].Leader = "amara"
			e.Circles[1].Members = append(e.Circles[1].Members, "amara")
			e.Groupings = append(e.Groupings, event.Grouping{Members: []string{"amara", "rosa"}})
			e.Groupings[2].EachOf, e.Groupings[2].Members = "", []string{"amara", "ines"}
			e.Groupings[2].Minutes = nil
		}, []string{"info LEADER_IN_MOST friends amara karim"}},
		{"leader in most, and nobody else of the circle", func(e *event.Event) {
			e.Circles[0].Leader = "theo"
			e.Groupings = append(e.Groupings, event.Grouping{Members: []string{"theo"}})
		}, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e := small()
			c.change(&e)
			list := Event(e)
			require.Empty(t, event.Faults(list), "%+v", list)
			assert.Equal(t, append([]string{}, c.want...), told(list, event.CodeNoInterpreter, event.CodeNoStepFreePlace, event.CodeOverlappingBlocks, event.CodeLeaderInMost), "%+v", list)
		})
	}
}

func TestAdviceOnNearlySamePeople(t *testing.T) {
	people := []string{"a @x", "b @y", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l"}
	cases := []struct {
		name string
		e    event.Event
		want []string
	}{
		{"one more", wedding(people, "a b c d e f", "a b c d e f g"), []string{"info NEARLY_SAME_PEOPLE g1 g2"}},
		{"two more of eight, asked for first", wedding(people, "c d e f g h i j k l", "c d e f g h i j"), []string{"info NEARLY_SAME_PEOPLE g2 g1"}},
		{"two more of four", wedding(people, "c d e f", "c d e f g h"), nil},
		{"three more of eight", wedding(people, "c d e f g h i j", "c d e f g h i j k l a"), nil},
		{"few people", wedding(people, "a b c d", "a b c d e", "a b f", "a b g", "a b h"), nil},
		{"somebody else instead", wedding(people, "c d e f g", "c d e f h"), nil},
		{"with and without the couple", wedding(people, "a b c d e f", "c d e f", "a b g", "a b h"), nil},
		{"the same people are told otherwise", wedding(people, "c d e f", "c d e f"), nil},
		{"at most three, the nearest first", wedding(people, "c d e f", "c d e f g", "c d e f g h", "c d e f g h i", "c d e f g h i j"), []string{
			"info NEARLY_SAME_PEOPLE g2 g3", "info NEARLY_SAME_PEOPLE g3 g4", "info NEARLY_SAME_PEOPLE g4 g5"}},
		{"a parent makes it another photograph", wedding(append(people, "mum mother@x"), "c d e f", "c d e f mum"), nil},
		{"a parent's partner does not", wedding(append(people, "wil mother's husband@x"), "c d e f", "c d e f wil"), []string{"info NEARLY_SAME_PEOPLE g1 g2"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, append([]string{}, c.want...), told(Event(c.e), event.CodeNearlySamePeople))
		})
	}
	e := wedding(people, "a b c d e f", "a b c d e f g")
	e.Groupings[0].Members = e.Groupings[1].Members
	e.Groupings[0].Without = []string{"g"}
	assert.Empty(t, told(Event(e), event.CodeNearlySamePeople), "meant: made with without")
}

func TestAdviceWaitsForErrors(t *testing.T) {
	e := wedding(family4(), "a b mia fred nobody")
	e.People[2].Needs = []event.Need{event.Interpreter}
	assert.Empty(t, told(Event(e), event.CodeNoInterpreter), "what must be mended first is not drowned")
}

// large is an event at the limits: 2000 people and 500 photographs.
func large() event.Event {
	rng := rand.New(rand.NewPCG(1, 2))
	relations := []string{"", "mother", "father", "sister", "brother", "sister's husband", "niece, 2", "grandmother", "aunt", "school friend"}
	syllables := []string{"an", "be", "ri", "so", "lu", "mi", "ka", "to", "ne", "vo"}
	e := event.Event{Sides: []event.Side{{ID: "x"}, {ID: "y"}}, Circles: []event.Circle{{ID: "couple", Members: []string{"p0", "p1"}}}}
	for i := range event.MaxPeople {
		var name strings.Builder
		for range 6 {
			name.WriteString(syllables[rng.IntN(len(syllables))])
		}
		e.People = append(e.People, event.Person{
			ID: fmt.Sprint("p", i), Name: name.String() + " " + syllables[rng.IntN(10)] + "berg", Side: []string{"x", "y"}[i%2],
			Relation: relations[rng.IntN(len(relations))], Needs: []event.Need{event.StepFree},
		})
	}
	for range event.MaxPhotographs {
		g := event.Grouping{Members: []string{"couple"}}
		for i := range event.MaxPeople {
			if rng.IntN(4) > 0 {
				g.Members = append(g.Members, fmt.Sprint("p", i))
			}
		}
		e.Groupings = append(e.Groupings, g)
	}
	e.Blocks = []event.Block{{ID: "steps", Place: "Church steps"}}
	return e
}

func BenchmarkAdvise(b *testing.B) {
	e := large()
	for i := range e.Groupings { // and groupings that are nearly the same
		if i%2 == 1 {
			e.Groupings[i].Members = append([]string{fmt.Sprint("p", i)}, e.Groupings[i-1].Members...)
		}
	}
	c := &checker{e: &e, r: event.NewIndex(&e)}
	c.x = event.NewExpansion(&e, c.r)
	for b.Loop() {
		c.list, c.other = nil, 0
		c.advise()
	}
}
