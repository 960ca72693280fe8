package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose"
	"kinorder.example/server/internal/wording"
)

// readList reads a typed list and checks the event that it comes to.
func readList(m *effort.Meter, content []byte, base event.Event, today time.Time) Reading {
	text, problems := decode(content)
	got := prose.Read(m, text, base, today)
	if m.Err() != nil {
		return Reading{Lines: got.Lines}
	}
	at := places(got.Lines)
	problems = append(problems, got.Problems...)
	doubted := func(line int) bool {
		return slices.ContainsFunc(got.Problems, func(p Problem) bool { return p.Line == line && p.Code == place.CodeDoubted })
	}
	for _, a := range faults(m, got.Event) {
		if a.Code == event.CodeNoGroupings || a.Code == event.CodeOnePersonInFrame || a.Code == event.CodeSamePeople && (sameLine(got, a) || doubted(at[item(a.Field)])) {
			continue // said in the words of the list
		}
		problems = append(problems, Problem{Advice: a, Line: at[item(a.Field)]})
	}
	problems = notesTogether(problems)
	fields(problems, got.Lines)
	slices.SortStableFunc(problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return Reading{Event: got.Event, Problems: problems, Lines: got.Lines, Language: got.Language}
}

// mostNotes is how many private notes are told word by word.
const mostNotes = 12

// notesTogether tells in one go what is kept as private notes: it is nothing to act on, and was said at every second line.
func notesTogether(problems []Problem) []Problem {
	var notes []wording.Message
	out := slices.DeleteFunc(problems, func(p Problem) bool {
		note := p.Code == place.CodeKeptAsNote && p.Severity == event.Info && p.Written != ""
		if note {
			notes = append(notes, wording.Say("list.atLine", place.Quoted(p.Written), p.Line))
		}
		return note
	})
	if len(notes) == 0 {
		return out
	}
	if more := len(notes) - mostNotes; more > 0 {
		notes = append(notes[:mostNotes], wording.Say("sheet.more", more))
	}
	return append(out, Problem{Advice: event.Tell(event.Info, place.CodeKeptAsNote, "", nil, wording.Say("list.keptAsNotes", wording.Comma(notes...)))})
}

// fields says for the problems of a line which entry of the event it went to.
func fields(problems []Problem, lines []Line) {
	first := make(map[int]string)
	for _, l := range lines {
		for _, f := range l.Fields {
			// A photograph goes before the people who were first named in it.
			if known := first[l.Number]; known == "" || len(f) > 9 && f[:9] == "groupings" && known[0] == 'p' {
				first[l.Number] = f
			}
		}
	}
	for i := range problems {
		if p := &problems[i]; p.Field == "" {
			p.Field = first[p.Line]
		}
	}
}

// sameLine reports whether the groupings of an advice come from one line, which asked for several
// photographs of the same people.
func sameLine(got place.Result, a event.Advice) bool {
	for _, l := range got.Lines {
		if l.Use != place.Used {
			continue
		}
		n := 0
		for _, f := range l.Fields {
			for _, id := range a.Subjects {
				if i := slices.IndexFunc(got.Event.Groupings, func(g event.Grouping) bool { return g.ID == id }); i >= 0 && f == fmt.Sprintf("groupings[%d]", i) {
					n++
				}
			}
		}
		if n > 1 {
			return true
		}
	}
	return false
}

// noText reports whether a list or table is no text at all, such as a picture or an old workbook. A stray
// character that is no text is one in a hundred at most.
func noText(content []byte) bool {
	text, _ := decode(content)
	odd, all := 0, 0
	for _, r := range text {
		if all++; r < ' ' && !strings.ContainsRune("\t\n\v\f\r\x1a", r) || r == utf8.RuneError {
			odd++
		}
	}
	return odd > 2 && odd > all/100
}

// decode turns the bytes of a text file into UTF-8 with lines that end in \n: as it is, from UTF-16 with its mark,
// else from Windows-1252, which older programs write. Tables for a Mac may have \r alone at the end of a line.
func decode(content []byte) (string, []Problem) {
	text, problems := toUTF8(content)
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), problems
}

func toUTF8(content []byte) (string, []Problem) {
	if len(content) >= 2 && (content[0] == 0xff && content[1] == 0xfe || content[0] == 0xfe && content[1] == 0xff) {
		decoded, _, err := transform.Bytes(unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder(), content)
		if err == nil {
			return string(decoded), nil
		}
	}
	if utf8.Valid(content) {
		if len(content) >= 3 && string(content[:3]) == "\uFEFF" {
			content = content[3:]
		}
		return string(content), nil
	}
	decoded, err := charmap.Windows1252.NewDecoder().Bytes(content)
	if err != nil {
		return "", nil // cannot be: every byte has a character, if need be the one for a lost one
	}
	return string(decoded), []Problem{{Advice: event.Tell(event.Info, CodeEncoding, "", nil, wording.Say("page.fileIsNotUtf8And"))}}
}
