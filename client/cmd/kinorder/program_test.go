package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	wedding = "../../../testdata/harbour-wedding.yaml"
	// published is a published list of groupings as an event.
	published = "../../../testdata/lists/A4.event.yaml"
	// note stands in the private notes of wedding and nowhere else.
	note = "LAPWING"
)

// outcome is what a run of the program leaves.
type outcome struct {
	code           int
	stdout, stderr string
}

// run runs the program to its end, with stdin when p brings none.
func run(t *testing.T, p *Program, args ...string) outcome {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if p.Stdin == nil {
		p.Stdin = strings.NewReader("")
	}
	p.Stdout = &stdout
	if p.Stderr == nil {
		p.Stderr = &stderr
	}
	code := p.Run(t.Context(), args)
	require.NoError(t, p.Close())
	return outcome{code, stdout.String(), stderr.String()}
}

func file(t testing.TB, name, content string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
	return path
}

func TestUsage(t *testing.T) {
	tests := []struct {
		args string
		says string
	}{
		{"plan", "name one event file, or - for the standard input; 0 given"},
		{"check", "name event files, or - for the standard input"},
		{"plan a b", "name one event file, or - for the standard input; 2 given"},
		{"help nosuch", `there is no command "nosuch"`},
		{"completion nosuch", `unknown command "nosuch"`},
		{"plan --fromat x", "unknown flag: --fromat; did you mean --format?"},
		{"events nosuch", `unknown command "nosuch"`},
		{"serve --listen off --http off", "leave nothing to serve"},
		{"plan --sheet standing --format text x", "--sheet standing is a drawing: ask for html or pdf"},
		{"arrange a b --steps 5", "--steps must be from 0 to 2"},
		{"serve now", `unknown command "now" for "kinorder serve"`},
		{"bogus", `unknown command "bogus" for "kinorder"`},
		{"plan --colour x", "unknown flag: --colour"},
		{"plan --format docx x", `invalid argument "docx" for "--format" flag: must be one of text, json, html, pdf, csv, ics`},
		{"plan --emphasis fast x", "must be one of balanced, fewest-steps, early-release"},
		{"plan --budget 0s x", "--budget must be above 0, for example 5s"},
		{"plan --budget soon x", `invalid argument "soon" for "--budget" flag: write a time such as 5s; a number alone is seconds`},
		{"plan --width 39 x", "--width must be from 40 to 400"},
		{"plan --server nowhere " + wedding, `the address "nowhere" cannot be read: write host and port`},
		{"serve --listen 127.0.0.1:0 --http here", "--http here: write host and port, for example 127.0.0.1:7466, or off"},
		{"serve --listen 127.0.0.1:0 --http 0.0.0.0:0", "0.0.0.0:0 can be reached from other machines, without encryption: choose 127.0.0.1, give --tls-own or --tls-cert and --tls-key, or add --open-to-network"},
		{"serve --listen here", "--listen here: write host and port, for example 127.0.0.1:7465"},
		{"plan --budget 11m " + wedding, "--budget can be 10m at most"},
		{"serve --listen 0.0.0.0:0", "0.0.0.0:0 can be reached from other machines, without encryption: choose 127.0.0.1, give --tls-own or --tls-cert and --tls-key, or add --open-to-network"},
	}
	for _, tt := range tests {
		t.Run(tt.args, func(t *testing.T) {
			got := run(t, &Program{}, strings.Fields(tt.args)...)
			assert.Equal(t, exitInvalid, got.code)
			assert.Contains(t, got.stderr, tt.says)
			assert.Empty(t, got.stdout)
		})
	}
}

func TestHelp(t *testing.T) {
	for _, args := range []string{"--help", "help plan", "plan --help", "check --help", "serve --help"} {
		t.Run(args, func(t *testing.T) {
			got := run(t, &Program{}, strings.Fields(args)...)
			assert.Equal(t, exitDone, got.code)
			assert.Contains(t, got.stdout, "Examples:")
			assert.Empty(t, got.stderr)
		})
	}
}

func TestVersionAndCompletion(t *testing.T) {
	got := run(t, &Program{}, "version")
	assert.Equal(t, exitDone, got.code)
	assert.Regexp(t, `^kinorder \S+, built with go1`, got.stdout)
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		got := run(t, &Program{}, "completion", shell)
		assert.Equal(t, exitDone, got.code, shell)
		assert.Contains(t, got.stdout, "kinorder", shell)
	}
	got = run(t, &Program{}, "__complete", "plan", "--emphasis", "")
	assert.Contains(t, got.stdout, "fewest-steps\n")
	got = run(t, &Program{}, "__complete", "plan", "")
	assert.Contains(t, got.stdout, "yaml\n")
}

func TestCheck(t *testing.T) {
	got := run(t, &Program{}, "check", wedding)
	assert.Equal(t, exitDone, got.code)
	assert.Contains(t, got.stdout, wedding+": can be planned: 22 photos, 40 people, ")
	assert.Empty(t, got.stderr)
	assert.NotContains(t, got.stdout, note)
}

const faulty = `title: Faulty
people:
  - {id: ann, name: Ann, ageBnd: elder}
  - {id: bo, name: Bo}
groupings:
  - {id: both, members: [ann, bob]}
  - {id: both, members: [ann]}
`

func TestFaultyFile(t *testing.T) {
	path := file(t, "faulty.yaml", faulty)
	want := []string{":3:26: error: ", ":6:31: error: ", ":7:10: error: "}
	check := run(t, &Program{}, "check", path)
	assert.Equal(t, exitInvalid, check.code)
	plan := run(t, &Program{}, "plan", path)
	assert.Equal(t, exitInvalid, plan.code)
	assert.Empty(t, plan.stdout)
	for name, text := range map[string]string{"check": check.stdout, "plan": plan.stderr} {
		at := 0
		for _, place := range want {
			i := strings.Index(text[at:], path+place)
			require.GreaterOrEqual(t, i, 0, "%s: %s comes not in its turn in:\n%s", name, place, text)
			at += i
		}
	}
	assert.Contains(t, check.stdout, "cannot be planned yet: 3 errors")

	piped := run(t, &Program{Stdin: strings.NewReader(faulty)}, "check", "-")
	assert.Equal(t, strings.ReplaceAll(check.stdout, path, "stdin"), piped.stdout)
}

func TestBadFiles(t *testing.T) {
	random := make([]byte, 3<<20)
	state := uint32(1)
	for i := range random {
		state = state*1664525 + 1013904223 // Numerical Recipes' linear congruential generator
		random[i] = byte(state >> 24)
	}
	tests := []struct {
		name, content string
		code          int
		says          string
	}{
		{"random.yaml", string(random), exitInvalid, "error: "},
		{"random.json", string(random), exitInvalid, "error: "},
		{"random.bin", string(random), exitInvalid, "error: "},
		{"empty.yaml", "", exitInvalid, "error: "},
		{"huge.yaml", strings.Repeat("#", 4<<20+1), exitInvalid, "is larger than 4 MiB, the most that is read"},
		{"steering.yaml", "title: \"\\e[2J\"\n", exitInvalid, "error: "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := run(t, &Program{}, "plan", file(t, tt.name, tt.content))
			assert.Equal(t, tt.code, got.code)
			assert.Contains(t, got.stderr, tt.says)
			assert.NotContains(t, got.stderr, "\x1b")
			assert.Empty(t, got.stdout)
		})
	}
	got := run(t, &Program{}, "plan", "no-such-file.yaml")
	assert.Equal(t, exitFailed, got.code)
	got = run(t, &Program{}, "check", t.TempDir())
	assert.Equal(t, exitFailed, got.code)
	got = run(t, &Program{}, "check", wedding, "--server", "127.0.0.1:1")
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.stderr, "no kinorder server answers at 127.0.0.1:1: run kinorder serve there, or leave --server out")
}

// plannedJSON is what the tests read of the JSON form.
type plannedJSON struct {
	Totals struct {
		StepIns, FloorStepIns, Groupings int
		Proven, FloorReached             bool
	}
}

// small is proven at once.
const small = `title: Small
people:
  - {id: ann, name: Ann, privateNote: LAPWING}
  - {id: bo, name: Bo}
  - {id: cy, name: Cy}
groupings:
  - {members: [ann, bo, cy], privateNote: LAPWING}
  - {members: [ann, bo]}
`

func TestPlanFormats(t *testing.T) {
	path := file(t, "small.yaml", small)
	text := run(t, &Program{}, "plan", path)
	require.Equal(t, exitDone, text.code, text.stderr)
	assert.Contains(t, text.stdout, "Small\n")
	assert.Empty(t, text.stderr, "nothing but the sheet when it is not a terminal")

	var sheet plannedJSON
	asJSON := run(t, &Program{}, "plan", path, "--format", "json")
	require.Equal(t, exitDone, asJSON.code)
	require.NoError(t, json.Unmarshal([]byte(asJSON.stdout), &sheet))
	assert.True(t, sheet.Totals.Proven)
	assert.Equal(t, 2, sheet.Totals.Groupings)

	page := run(t, &Program{}, "plan", path, "--format", "HTML")
	assert.Equal(t, exitDone, page.code)
	assert.Contains(t, page.stdout, "<!DOCTYPE html>")
	for _, out := range []string{text.stdout, asJSON.stdout, page.stdout} {
		assert.NotContains(t, out, note)
	}
}

func TestPlanWidth(t *testing.T) {
	path := file(t, "small.yaml", small)
	columns := func(p *Program, args ...string) int {
		most := 0
		for line := range strings.Lines(run(t, p, append([]string{"plan", path}, args...)...).stdout) {
			most = max(most, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")))
		}
		return most
	}
	assert.Equal(t, 80, columns(&Program{}), "not a terminal")
	assert.Equal(t, 45, columns(&Program{Width: 45}))
	assert.Equal(t, 40, columns(&Program{Width: 10}), "a terminal too narrow for the sheet")
	assert.Equal(t, 400, columns(&Program{Width: 1000}))
	assert.Equal(t, 120, columns(&Program{Width: 45}, "--width", "120"))
}

func TestPlanToFile(t *testing.T) {
	in, dir := file(t, "small.yaml", small), t.TempDir()
	for name, begins := range map[string]string{"sheet.html": "<!DOCTYPE html>", "sheet.json": "{", "sheet.txt": "===="} {
		path := filepath.Join(dir, name)
		got := run(t, &Program{}, "plan", in, "-o", path)
		require.Equal(t, exitDone, got.code, got.stderr)
		assert.Empty(t, got.stdout)
		content, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(content), begins), name)
	}
	got := run(t, &Program{}, "plan", in, "-o", filepath.Join(dir, "missing", "sheet.html"))
	assert.Equal(t, exitFailed, got.code)
}

func TestPlanLeavesOutWhatMustBeTaken(t *testing.T) {
	path := file(t, "late.yaml", `date: 2026-06-20
people: [{id: ann, name: Ann}, {id: bo, name: Bo}]
blocks: [{id: quay, opens: "15:00", closes: "15:07"}]
groupings:
  - {id: one, members: [ann], priority: must, minutes: 3}
  - {id: two, members: [bo], priority: must, minutes: 3}
  - {id: three, members: [ann, bo], minutes: 3}
`)
	got := run(t, &Program{}, "plan", path)
	assert.Equal(t, exitLeftOut, got.code)
	assert.Regexp(t, "kinorder: must-have photos are left out: (one|two)\n", got.stderr)
	assert.Contains(t, got.stdout, "must have")
}

// The list says itself how many walk-ins are the fewest; testdata/lists names its source.
func TestPlanFewestSteps(t *testing.T) {
	got := run(t, &Program{}, "plan", published, "--emphasis", "fewest-steps", "--format", "json", "--budget", "10m")
	require.Equal(t, exitDone, got.code, got.stderr)
	var sheet plannedJSON
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &sheet))
	assert.Equal(t, 26, sheet.Totals.StepIns)
	assert.True(t, sheet.Totals.Proven)
	assert.True(t, sheet.Totals.FloorReached)
}

func TestPlanWedding(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds: left out with -short")
	}
	got := run(t, &Program{}, "plan", wedding, "--format", "json", "--budget", "10m")
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Empty(t, got.stderr)
	assert.NotContains(t, got.stdout, note)
	var sheet plannedJSON
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &sheet))
	assert.True(t, sheet.Totals.Proven)
	assert.Equal(t, 26, sheet.Totals.Groupings)
}
