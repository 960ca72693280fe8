package intake

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
)

// Invented names in several scripts; no word stands in two of them.
var invented = []string{
	"Rosa Lindqvist", "Théo Marchetti", "Nguyễn Thị Lan", "陈美玲", "أمينة بنسالم", "Łukasz Żakowski", "Siobhán O'Dell", "Björk Åsdóttir",
	"Mary-Ann Holtby", "Zoë Kaptein", "D'Angelo Price", "Ximena Ruiz de Castro", "Ugo", "Inês", "林晓雨", "Pavel Dvořák", "Kwame Asante", "Hana",
	"Δάφνη Ρέππα", "Ольга Вернер",
}

// A list of guests and of photographs by whole names is read back as it was, however it is
// punctuated.
func TestListReadsBackNames(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 3))
	joiners := []string{" + ", ", ", " & ", " and ", "; ", " with ", " / "}
	bullets := []string{"", "- ", "* ", "• ", "1. ", "12) ", "[ ] "}
	for round := range 40 {
		var b strings.Builder
		b.WriteString("Guests:\n")
		people := random.Perm(len(invented))[:2+random.IntN(12)]
		for _, p := range people {
			fmt.Fprintf(&b, "%s%s\n", bullets[random.IntN(3)], invented[p])
		}
		b.WriteString("\nPhotos:\n")
		var want [][]string
		for range 1 + random.IntN(8) {
			some := slices.Clone(people)
			random.Shuffle(len(some), func(i, j int) { some[i], some[j] = some[j], some[i] })
			some = some[:1+random.IntN(len(some))]
			var line strings.Builder
			var members []string
			for k, p := range some {
				if k > 0 {
					line.WriteString(joiners[random.IntN(len(joiners))])
				}
				line.WriteString(invented[p])
				members = append(members, invented[p])
			}
			slices.Sort(members)
			want = append(want, members)
			fmt.Fprintf(&b, "%s%s\n", bullets[random.IntN(len(bullets))], line.String())
		}
		got, err := ReadFile(t.Context(), []byte(b.String()), Options{Format: List})
		require.NoError(t, err)
		var have [][]string
		for _, g := range got.Event.Groupings {
			have = append(have, namesIn(got.Event, g))
		}
		require.Equal(t, want, have, "round %d:\n%s\n%s", round, b.String(), listing(got.Problems))
		require.Len(t, got.Event.People, len(people))
	}
}

// namesIn lists the names of the people in a grouping.
func namesIn(e event.Event, g event.Grouping) []string {
	name := make(map[string]string)
	for _, p := range e.People {
		name[p.ID] = p.Name
	}
	out := make(map[string]bool)
	for _, id := range g.Members {
		for _, m := range event.NewIndex(&e).Members(id) {
			out[name[m]] = true
		}
	}
	for _, id := range g.Without {
		for _, m := range event.NewIndex(&e).Members(id) {
			delete(out, name[m])
		}
	}
	var list []string
	for n := range out {
		list = append(list, n)
	}
	slices.Sort(list)
	return list
}

// A slip in a name is read as the person or asked about; it never makes somebody new beside them in
// silence.
func TestListSlips(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 9))
	for range 60 {
		name := []rune(invented[random.IntN(len(invented))])
		at := random.IntN(len(name))
		switch random.IntN(3) {
		case 0:
			name = slices.Delete(name, at, at+1)
		case 1:
			name = slices.Insert(name, at, name[at])
		case 2:
			if at > 0 {
				name[at], name[at-1] = name[at-1], name[at]
			}
		}
		if len(strings.TrimSpace(string(name))) == 0 {
			continue
		}
		content := "Guests:\n" + strings.Join(invented, "\n") + "\n\nPhotos:\n" + string(name) + "\n"
		got, err := ReadFile(t.Context(), []byte(content), Options{Format: List})
		require.NoError(t, err)
		if len(got.Event.People) > len(invented) {
			assert.True(t, slices.ContainsFunc(got.Problems, func(p Problem) bool { return p.Line > len(invented)+1 }), "%s was added in silence:\n%s", string(name), listing(got.Problems))
		}
	}
}

func TestListLimits(t *testing.T) {
	needs.Time(t)
	for name, content := range map[string]string{
		"many lines":      strings.Repeat("Rosa + Sven\n", 5000),
		"long":            strings.Repeat("Rosa + Sven + Ulla Lindqvist\n", 20_000),
		"one long line":   strings.Repeat("Rosa + ", 20_000),
		"many names":      names(3900),
		"deep possessive": strings.Repeat("Rosa's ", 250) + "mother",
		"deep of":         strings.Repeat("mother of ", 150) + "Rosa",
		"brackets":        strings.Repeat("(", 1900),
		"many joiners":    strings.Repeat("a+", 990),
		"control":         "Rosa\x00 + Sven\x1b[31m\nUlla \u202eB\n",
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadFile(t.Context(), []byte(content), Options{Format: List})
			require.NoError(t, err)
			accounted(t, content, got)
			require.NotEmpty(t, got.Problems)
			for _, p := range got.Event.People {
				require.NotContains(t, p.Name, "\x00")
				require.NotContains(t, p.Name, "\u202e")
			}
		})
	}
}

// names is a list of guests with n names that look alike.
func names(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "Anna %c%c%c%c\n", 'A'+i%26, 'a'+i/26%26, 'a'+i/676%26, 'a'+i%7)
	}
	return b.String()
}

func TestGuess(t *testing.T) {
	for content, want := range map[string]Format{
		"people: [{id: a, name: A}]":           YAML,
		"title: x\npeople:\n  - id: a\n":       YAML,
		"people:\n- Rosa\n- Sven\n":            List,
		"Photos:\nCouple + Rosa":               List,
		"title: Amara & Théo\ncouple + Rosa":   List,
		"{\"people\": []}":                     JSON,
		"[Couple] everyone":                    YAML,
		"PK\x03\x04":                           XLSX,
		"- Rosa and Sven\n- Everyone\n":        List,
		"---\npeople:\n- {id: a, name: A}\n":   YAML,
		"Guests:\nRosa - grandmother\nname: x": List,
	} {
		assert.Equal(t, want, guess([]byte(content)), content)
	}
}

func FuzzReadList(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(demos, "messy", "*.list.txt"))
	require.NoError(f, err)
	for _, name := range files {
		content, err := os.ReadFile(name)
		require.NoError(f, err)
		lines := bytes.SplitAfterN(content, []byte("\n"), 9) // short ones are changed more often
		f.Add(bytes.Join(lines[:min(8, len(lines))], nil), false)
	}
	base, _, err := Read([]byte("people: [{id: rosa, name: Rosa}, {id: bo, name: Bo Lund}]\ncircles: [{id: couple, members: [rosa, bo]}]\ngroupings: [{members: [couple]}]"), YAML)
	require.NoError(f, err)
	f.Add([]byte("Couple + Rosa's mum\nBo (x2)"), true)
	f.Fuzz(func(t *testing.T, content []byte, based bool) {
		o := Options{Format: List}
		if based {
			o.Base = base
		}
		got, err := ReadFile(t.Context(), content, o)
		require.NoError(t, err)
		text, _ := decode(content)
		accounted(t, text, got)
		again, err := ReadFile(t.Context(), content, o)
		require.NoError(t, err)
		require.Equal(t, got, again, "the same list is read differently")
		have := lines([]byte(text))
		for _, p := range got.Problems {
			require.NotEmpty(t, p.Text())
			require.LessOrEqual(t, p.Line, len(have))
			if p.Line > 0 {
				require.LessOrEqual(t, p.Column, 2*have[p.Line-1]+2)
			}
		}
		if len(event.Faults(check.Event(got.Event))) == 0 {
			event.Expand(got.Event)
			back, _, err := Read(WriteYAML(got.Event, got.Problems), YAML)
			require.NoError(t, err)
			require.Equal(t, got.Event, back)
		}
	})
}

// A side of somebody who is not known to be of a couple is kept, since it may be all that tells two families apart.
func TestListKeepsSidesWithoutACouple(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Guests:\nMara Lind - grandmother, Ida's side\nIda, Per\n\nPhotos:\nIda + Per + Mara\n"), Options{Format: List})
	require.NoError(t, err)
	assert.Equal(t, "Ida's side", got.Event.People[0].PrivateNote)
	assert.Equal(t, "grandmother", got.Event.People[0].Relation)
}

// A list of guests says who is there: two who differ in a letter are two.
func TestGuestsOfNearlyOneName(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Guests:\nAnna Leo\nAnna Lee\nMarta Diaz\nMarto Diaz\n\nPhotos:\nAnna Lee + Marto Diaz\nAnna Leo + Marta Diaz\n"), Options{Format: List})
	require.NoError(t, err)
	require.Len(t, got.Event.People, 4)
	require.Len(t, got.Event.Groupings, 2)
	assert.Equal(t, []string{"anna-lee", "marto-diaz"}, got.Event.Groupings[0].Members)
	assert.Equal(t, []string{"anna-leo", "marta-diaz"}, got.Event.Groupings[1].Members)
}
