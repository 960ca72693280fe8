package table

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
)

// dividers stand between the entries of a cell.
const dividers = ";\n,、،"

// inQuotes is an entry in quotes at the beginning of a cell. Quotes within are doubled.
var inQuotes = regexp.MustCompile(`^"((?:[^"]|"")*)"\s*(?:$|[` + dividers + `])`)

// list divides a cell at semicolons, line breaks and commas, except between quotes around an entry. Other quotes are
// part of what they stand in.
func list(text string) []string {
	var out []string
	for text = strings.TrimSpace(text); text != ""; text = strings.TrimSpace(text) {
		var part string
		var m []int
		if text[0] == '"' { // only then: a form takes time for all that is left
			m = inQuotes.FindStringSubmatchIndex(text)
		}
		if m != nil && strings.ContainsAny(text[m[2]:m[3]], dividers+`"`) {
			part, text = strings.ReplaceAll(text[m[2]:m[3]], `""`, `"`), text[m[1]:]
		} else if at := strings.IndexAny(text, dividers); at >= 0 {
			_, size := utf8.DecodeRuneInString(text[at:])
			part, text = text[:at], text[at+size:]
		} else {
			part, text = text, ""
		}
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}

// listed writes entries so that list reads them.
func listed(entries []string) string {
	out := slices.Clone(entries)
	for i, s := range out {
		if strings.ContainsAny(s, dividers) || strings.HasPrefix(s, `"`) {
			out[i] = `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
		}
	}
	return strings.Join(out, "; ")
}

// spans reads stretches of time: "15:30-16:00; 17:00-".
func spans(text string) []event.Span {
	var out []event.Span
	for _, part := range list(text) {
		from, until, _ := strings.Cut(strings.ReplaceAll(part, "–", "-"), "/")
		if !strings.Contains(part, "/") && strings.Count(part, "-") == 1 {
			from, until, _ = strings.Cut(strings.ReplaceAll(part, "–", "-"), "-")
		}
		out = append(out, event.Span{From: strings.TrimSpace(from), Until: strings.TrimSpace(until)})
	}
	return out
}

// parts divides a cell at semicolons and line breaks, else at commas.
func parts(text string) []string {
	if !strings.ContainsAny(text, ";\n") {
		return list(text)
	}
	var out []string
	for _, p := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '\n' }) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}
