package planning_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
)

// advised returns the advice of a code, nil when there is none.
func advised(s event.CallSheet, code string) *event.Advice {
	at := slices.IndexFunc(s.Advice, func(a event.Advice) bool { return a.Code == code })
	if at < 0 {
		return nil
	}
	return &s.Advice[at]
}

// What is advised must hold: a block that closes when the advice says takes everything.
func TestAdviceOverBlock(t *testing.T) {
	needs.Time(t)
	for _, name := range []string{"thirty-two-categories", "grandparents"} {
		t.Run(name, func(t *testing.T) {
			e := readCase(t, name)
			s := planned(t, e, planning.Options{Work: hasty})
			a := advised(s, event.CodeOverBlock)
			require.NotNil(t, a)
			assert.Equal(t, event.Warning, a.Severity)
			assert.Equal(t, e.Blocks[0].ID, a.Subjects[0])
			assert.Len(t, a.Subjects, 1+len(s.LeftOut), "the block and what is left out")
			at := regexp.MustCompile(`ended at (\d\d:\d\d)`).FindStringSubmatch(a.Text())
			require.Len(t, at, 2, a.Text())
			e.Blocks[0].Closes = at[1]
			fewest := event.FewestSteps // what fits does not depend on what is favoured, and this is found soonest
			assert.Empty(t, planned(t, e, planning.Options{Emphasis: &fewest, Work: hasty}).LeftOut, "%s", a.Text())
		})
	}
	s := planned(t, readCase(t, "ten-of-thirty"), planning.Options{Available: 10 * time.Minute})
	a := advised(s, event.CodeOverBlock)
	require.NotNil(t, a)
	assert.Contains(t, a.Text(), "and have 10 minutes")
	assert.Contains(t, a.Text(), fmt.Sprintf("%d of your 12 photos do not fit (%d wanted", len(s.LeftOut), len(leftOut(s, event.Should))))
	assert.NotContains(t, a.Text(), "ended at", "the time was given, not a closing time")
	assert.Nil(t, advised(planned(t, readCase(t, "ten-of-thirty"), planning.Options{}), event.CodeOverBlock))
	assert.Nil(t, advised(planned(t, readCase(t, "rain"), planning.Options{}), event.CodeOverBlock), "left out for want of room, not of time")
}

// lined is an event of groupings of n minutes each, in order.
func lined(minutes float64, groupings ...string) event.Event {
	none := 0
	e := event.Event{Title: "A day", Date: "2026-06-20", Blocks: []event.Block{{ID: "lawn", Opens: "14:00"}}, Pace: event.Pace{OpeningSeconds: &none}}
	for i, g := range groupings {
		x := event.Grouping{ID: fmt.Sprint("g", i+1), Members: strings.Fields(g), Minutes: &minutes, Priority: event.Must}
		if i > 0 {
			x.After = []string{fmt.Sprint("g", i)}
		}
		e.Groupings = append(e.Groupings, x)
		for _, id := range x.Members {
			if !slices.ContainsFunc(e.People, func(p event.Person) bool { return p.ID == id }) {
				e.People = append(e.People, event.Person{ID: id, Name: "Guest " + id})
			}
		}
	}
	return e
}

func TestAdviceTightBlock(t *testing.T) {
	for closes, want := range map[string]string{
		"14:20": "with no time to spare", "14:24": "with 4 minutes to spare", "14:25": "", "": "",
	} {
		e := lined(10, "ana ben", "ana eva")
		e.Blocks[0].Closes = closes
		a := advised(planned(t, e, planning.Options{}), event.CodeTightBlock)
		if want == "" {
			assert.Nil(t, a, closes)
			continue
		}
		require.NotNil(t, a, closes)
		assert.Equal(t, event.Info, a.Severity)
		assert.Equal(t, []string{"lawn"}, a.Subjects)
		assert.Contains(t, a.Text(), want)
	}
}

func TestAdviceLongIdle(t *testing.T) {
	cases := []struct {
		name     string
		minutes  float64
		age      event.AgeBand
		emphasis event.Emphasis
		severity event.Severity
		says     string // "" for no advice
	}{
		{"an elder for 16 minutes", 8, event.Elder, event.Balanced, event.Info, `"Guest ana" 16 minutes. Have somewhere to sit or play close by; planning with “Older guests and children first”`},
		{"a child for 40 minutes", 20, event.Child, event.Balanced, event.Warning, "40 minutes"},
		{"an elder for 14 minutes", 7, event.Elder, event.Balanced, event.Info, ""},
		{"an adult", 20, event.Adult, event.Balanced, event.Info, ""},
		{"early release already", 8, event.Elder, event.EarlyRelease, event.Info, "leave out one of their photos"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e := lined(c.minutes, "ana ben", "ben", "ben eva", "ana eva")
			e.People[0].AgeBand = c.age
			e.Emphasis = c.emphasis
			a := advised(planned(t, e, planning.Options{}), event.CodeLongIdle)
			if c.says == "" {
				assert.Nil(t, a)
				return
			}
			require.NotNil(t, a)
			assert.Equal(t, c.severity, a.Severity)
			assert.Equal(t, []string{"ana"}, a.Subjects)
			assert.Contains(t, a.Text(), c.says)
		})
	}
}

func TestAdviceLongGap(t *testing.T) {
	e := lined(5, "ana ben", "ana eva")
	e.Blocks[0].Closes = "14:10"
	e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "15:05"})
	e.Groupings[0].Blocks, e.Groupings[1].Blocks = []string{"lawn"}, []string{"hall"}
	assert.Nil(t, advised(planned(t, e, planning.Options{}), event.CodeLongGap), "an adult")
	e.People[0].AgeBand = event.Elder
	a := advised(planned(t, e, planning.Options{}), event.CodeLongGap)
	require.NotNil(t, a)
	assert.Equal(t, []string{"ana"}, a.Subjects)
	assert.Contains(t, a.Text(), `"Guest ana" is done at 14:05 and called again at 15:05`)
	e.Blocks[1].Opens = "15:00"
	assert.Nil(t, advised(planned(t, e, planning.Options{}), event.CodeLongGap), "less than an hour")
}

func TestAdviceOrderCannotHelp(t *testing.T) {
	s := planned(t, readCase(t, "eleven-circles"), planning.Options{})
	a := advised(s, event.CodeOrderCannotHelp)
	require.NotNil(t, a)
	assert.Len(t, a.Subjects, 11)
	for _, words := range []string{`11 photos have in common: only "Rhea Stone", "Cato Bell"`, "a card", `"School friends"`} {
		assert.Contains(t, a.Text(), words)
	}
	assert.NotContains(t, a.Text(), "Rowing", "has a leader")
	assert.Equal(t, s.Totals.RequestedStepIns, s.Totals.StepIns, "and so it is")

	for name, e := range map[string]event.Event{
		"four circles":      lined(2, "ana ben c", "ana ben d", "ana ben e", "ana ben f"),
		"families in parts": lined(2, "a b c", "a b c d", "a b c d e", "a b f", "a b f g", "a b f g h"),
		"half of them":      lined(2, "a b c", "a b d", "a b e", "a b f", "a b g", "a b x", "a b x y", "a b x z", "a b y z"),
	} {
		assert.Nil(t, advised(planned(t, e, planning.Options{}), event.CodeOrderCannotHelp), name)
	}
	with := lined(2, "a b c d e f g h", "a b c", "a b d", "a b e", "a b f", "a b g", "a b h")
	a = advised(planned(t, with, planning.Options{}), event.CodeOrderCannotHelp)
	require.NotNil(t, a)
	assert.Contains(t, a.Text(), "hardly changes", "the photograph of everybody shares people with all")
}

// The advice on the demo events, read by hand: each is something a planner would want to be told, and
// nothing else is there.
func TestAdviceOnDemoEvents(t *testing.T) {
	for name, want := range map[string][]string{
		"harbour-wedding": {
			"BIRTH_FAMILY theo kerstin hakan linnea erik t-folks-children",
			"NEAR_FAMILY theo amara kerstin hakan linnea erik khoi linh an",
			"MISSING_COMBINATION amara leila omar",
			"MISSING_COMBINATION theo linnea erik",
		},
		"valley-wedding": {
			"BIRTH_FAMILY mina m-father m-mother lucia rafa ines-c m-folks-children",
			"MISSING_COMBINATION mina lucia rafa ines-c",
			"MISSING_COMBINATION ravi anand leena",
		},
	} {
		t.Run(name, func(t *testing.T) {
			raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", name+".yaml"))
			require.NoError(t, err)
			e, _, err := intake.Read(raw, intake.YAML)
			require.NoError(t, err)
			var got []string
			for _, a := range check.Event(e) {
				assert.Equal(t, event.Info, a.Severity, a.Text())
				assert.NotContains(t, a.Text(), "LAPWING")
				got = append(got, a.Code+" "+strings.Join(a.Subjects, " "))
			}
			assert.Equal(t, want, got)
			if testing.Short() {
				return
			}
			s := planned(t, e, planning.Options{Work: hasty})
			for _, a := range s.Advice[len(want):] {
				assert.Contains(t, []string{event.CodeLongIdle, event.CodeLongGap, event.CodeSunIsHigh}, a.Code, a.Text())
				assert.NotContains(t, a.Text(), "LAPWING")
			}
		})
	}
}
