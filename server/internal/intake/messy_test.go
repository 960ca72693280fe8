package intake

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// TestMessyLists reads our own messy lists and compares what they come to, and what is asked, with the
// golden file beside each. A list NAME.list.txt is read with the event of NAME.base.yaml if there
// is one.
func TestMessyLists(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(demos, "messy", "*.list.txt"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 30)
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			content, err := os.ReadFile(name)
			require.NoError(t, err)
			stem := strings.TrimSuffix(name, ".list.txt")
			var base event.Event
			if b, err := os.ReadFile(stem + ".base.yaml"); err == nil {
				base, _, err = Read(b, YAML)
				require.NoError(t, err)
			}
			got, err := ReadFile(t.Context(), content, Options{Base: base})
			require.NoError(t, err)
			accounted(t, string(content), got)
			translated(t, got.Problems)
			golden(t, stem+".golden.yaml", report(got))

			again, problems, err := Read(WriteYAML(got.Event, got.Problems), YAML)
			require.NoError(t, err)
			assert.Equal(t, got.Event, again, "the event as YAML reads back differently: %s", listing(problems))
		})
	}
}

// translated holds that whatever is said of a file is said in every language.
func translated(t *testing.T, problems []Problem) {
	t.Helper()
	for _, p := range problems {
		assert.Equal(t, p.Text(), p.Message.String(), "the English text is that of the message")
		for _, tag := range wording.Languages() {
			c, _ := wording.For(tag)
			assert.True(t, c.Known(p.Message), "%s: %s", tag, p.Text())
		}
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(name, got, 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

// report is the event as YAML, with what is asked, and then what became of the lines that are not
// simply used.
func report(got Reading) []byte {
	var b strings.Builder
	b.Write(WriteYAML(got.Event, got.Problems))
	b.WriteString("\n# Problems:\n")
	for line := range strings.Lines(listing(got.Problems)) {
		b.WriteString("# " + line)
	}
	for _, use := range []struct {
		use  place.Use
		what string
	}{{place.Asked, "asked about"}, {place.Reported, "reported"}, {place.Ruler, "rulers and comments"}} {
		var n []string
		for _, l := range got.Lines {
			if l.Use == use.use {
				n = append(n, fmt.Sprint(l.Number))
			}
		}
		if len(n) > 0 {
			fmt.Fprintf(&b, "# Lines %s: %s\n", use.what, strings.Join(n, ", "))
		}
	}
	return []byte(b.String())
}

// refusedWhole reports whether a file is no text, of which no line is spoken.
func refusedWhole(got Reading) bool {
	return len(got.Problems) == 1 && got.Problems[0].Code == CodeEncoding && got.Problems[0].Severity == event.Error
}

// accounted requires that nothing in a list is lost: every line with anything on it is used, asked
// about, reported, or a ruler; one that is asked about or reported has a problem that says so; and
// what a used line went to is in the event.
func accounted(t require.TestingT, content string, got Reading) {
	if refusedWhole(got) {
		return
	}
	said, whole := make(map[int]bool), false
	for _, p := range got.Problems {
		said[p.Line] = true
		whole = whole || p.Code == event.CodeTooMany || p.Code == place.CodeTooLong && p.Column == 0
	}
	if whole && len(got.Lines) == 0 {
		return // too long to be read at all
	}
	uses := make(map[int]Line)
	for _, l := range got.Lines {
		uses[l.Number] = l
	}
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(content)
	for i, line := range strings.Split(text, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		l, ok := uses[i+1]
		require.True(t, ok, "line %d is lost: %q", i+1, line)
		if l.Use == place.Asked || l.Use == place.Reported {
			require.True(t, said[l.Number] || said[0] || whole || len(got.Problems) >= 300, "line %d is reported without a word: %q", i+1, line)
		}
	}
}
