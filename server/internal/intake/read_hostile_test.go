package intake

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
)

func TestReadRefusesWholeFiles(t *testing.T) {
	_, _, err := Read(make([]byte, MaxContent+1), Auto)
	require.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, "4 MiB")
	_, _, err = Read([]byte("{}"), 7)
	require.ErrorIs(t, err, ErrFormat)
}

// Files made to hurt: each must end in one problem, and without taking all memory.
func TestReadHostileFiles(t *testing.T) {
	needs.Time(t)
	var bomb strings.Builder
	bomb.WriteString("title: &a [x, x, x, x, x, x, x, x]\n")
	for c := 'b'; c < 'k'; c++ {
		fmt.Fprintf(&bomb, "%c: &%c [*%c, *%c, *%c, *%c, *%c, *%c]\n", c, c, c-1, c-1, c-1, c-1, c-1, c-1)
	}
	for name, c := range map[string]struct{ content, code string }{
		"alias bomb":        {bomb.String(), CodeTooDeep},
		"alias in itself":   {"people: &a [*a, *a]\n", CodeTooDeep},
		"deep YAML":         {strings.Repeat("[", 1<<17), CodeTooDeep},
		"deep block YAML":   {strings.Repeat("- ", 1<<17), CodeTooDeep},
		"deep JSON":         {strings.Repeat(`{"a":`, 1<<16), CodeTooDeep},
		"deep JSON list":    {strings.Repeat(`[`, 1<<16), CodeTooDeep},
		"many people":       {"people:\n" + strings.Repeat("- {}\n", 1<<18), event.CodeTooMany},
		"many fields":       {strings.Repeat("a: 1\n", 1<<18), event.CodeTooMany},
		"unknown fields":    {"people:\n" + strings.Repeat("- {a: 1}\n", 300), event.CodeMoreNotListed},
		"aliases of a text": {"title: &a " + strings.Repeat("x", 1<<20) + "\npeople: [" + strings.Repeat("{name: *a},", 1000) + "]", CodeTooDeep},
		"one long line":     {`{"people":[` + strings.Repeat(`{"x":0},`, 1<<18) + `{}]}`, event.CodeTooMany},
		"one long word":     {strings.Repeat("x", MaxContent), CodeWrongType},
		"one long tag":      {strings.Repeat("!", 2<<20), CodeSyntax},
		"random bytes":      {noise(3 << 20), CodeEncoding},
		"random characters": {strings.Map(func(r rune) rune { return ' ' + r%95 }, noise(3<<20)), CodeSyntax},
	} {
		t.Run(name, func(t *testing.T) {
			_, problems, err := Read([]byte(c.content), tree([]byte(c.content)))
			require.NoError(t, err)
			require.NotEmpty(t, problems)
			assert.LessOrEqual(t, len(problems), 2*maxListed+2)
			var codes []string
			for _, p := range problems {
				codes = append(codes, p.Code)
				assert.Less(t, len(p.Text()), 2000, "what is quoted of the file")
			}
			assert.Contains(t, codes, c.code)
		})
	}
}

// A picture, or an old workbook, is refused as such, whatever it is taken for. Text with a stray character is read.
func TestReadWhatIsNoText(t *testing.T) {
	for name, content := range map[string]string{
		"a picture": "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + noise(1<<12), "an old workbook": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + strings.Repeat("\x00", 512),
		"UTF-16 without its mark": "N\x00a\x00m\x00e\x00,\x00R\x00\n\x00A\x00n\x00n\x00,\x00x\x00",
	} {
		for _, format := range []Format{Auto, List, CSV} {
			_, problems, err := Read([]byte(content), format)
			require.NoError(t, err)
			require.Len(t, problems, 1, name)
			assert.Equal(t, CodeEncoding, problems[0].Code)
			assert.Contains(t, problems[0].Text(), "choose a list", name)
		}
	}
	e, _, err := Read([]byte("Name\x00,Relation\nAnn,x\n"), Auto)
	require.NoError(t, err)
	assert.Len(t, e.People, 1)
}

// tree is the format of an event file whose content would say something else.
func tree(content []byte) Format {
	if guess(content) == JSON {
		return JSON
	}
	return YAML
}

// noise returns n bytes that are always the same and look random (xorshift).
func noise(n int) string {
	out := make([]byte, n)
	x := uint32(2463534242)
	for i := range out {
		x ^= x << 13
		x ^= x >> 17
		x ^= x << 5
		out[i] = byte(x >> 11)
	}
	return string(out)
}

// lines counts the lines of a content and the characters of each, without sharing code with source.
func lines(content []byte) []int {
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(content))
	var out []int
	for _, l := range strings.Split(text, "\n") {
		out = append(out, len([]rune(l)))
	}
	return out
}

func fuzz(f *testing.F, format Format, seeds ...string) {
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		e, problems, err := Read(content, format)
		require.NoError(t, err)
		have := lines(content)
		faults := false
		for _, p := range problems {
			require.NotEmpty(t, p.Text())
			require.NotEmpty(t, p.Code)
			faults = faults || p.Severity == event.Error
			if p.Line == 0 {
				require.Equal(t, event.CodeMoreNotListed, p.Code)
				continue
			}
			require.LessOrEqual(t, p.Line, len(have))
			require.GreaterOrEqual(t, p.Column, 1)
			require.LessOrEqual(t, p.Column, have[p.Line-1]+1, "line %d", p.Line)
		}
		if !faults {
			require.Empty(t, event.Faults(check.Event(e)))
			event.Expand(e)
		}
	})
}

func seeds(f *testing.F) []string {
	out := []string{"", "a", "{}", "people: [{id: a, name: A}]\ngroupings: [{members: [a]}]", "a:\r\n\t- b\r\n", "&a [*a]", "- é: {ñ: \"", "? [a]\n: b"}
	files, err := filepath.Glob("testdata/*.*")
	require.NoError(f, err)
	for _, name := range append(files, filepath.Join(demos, "harbour-wedding.yaml")) {
		content, err := os.ReadFile(name)
		require.NoError(f, err)
		out = append(out, string(content))
	}
	return out
}

func FuzzReadYAML(f *testing.F) { fuzz(f, YAML, seeds(f)...) }

func FuzzReadJSON(f *testing.F) { fuzz(f, JSON, seeds(f)...) }
