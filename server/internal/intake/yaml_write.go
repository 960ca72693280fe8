package intake

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
)

// WriteYAML writes an event as YAML that Read reads back equal. Problems stand as comments above what
// they are about, those without such a place at the head.
func WriteYAML(e event.Event, problems []Problem) []byte {
	w := &yamlWriter{comments: make(map[string][]Problem)}
	for _, p := range problems {
		key := item(p.Field)
		w.comments[key] = append(w.comments[key], p)
	}
	w.comment("", "")
	w.fields((*decoder)(nil).event(&e), headFields...)
	w.fields((*decoder)(nil).event(&e), "sides", "people", "circles", "groupings", "blocks", "rules", "walks", "order", "pace", "weights", "kit")
	return w.out.Bytes()
}

// headFields are the fields of an event that are single values or lists of texts, as they are written.
var headFields = []string{"title", "date", "timeZone", "emphasis", "fit", "confidence", "latitude", "longitude", "honour", "leftOut"}

// named returns the field of an object with a name.
func (b binding) named(name string) field {
	fields := b.written.([]field)
	return fields[slices.IndexFunc(fields, func(f field) bool { return f.name == name })]
}

// item shortens a place in the event to the entry it is in: "groupings[3]" of
// "groupings[3].members[1]".
func item(field string) string {
	if at := strings.IndexByte(field, ']'); at >= 0 {
		return field[:at+1]
	}
	return ""
}

type yamlWriter struct {
	out      bytes.Buffer
	comments map[string][]Problem
}

// comment writes what is open about an entry.
func (w *yamlWriter) comment(key, indent string) {
	for _, p := range w.comments[key] {
		if p.Code == place.CodeKeptAsNote && p.Severity == event.Info {
			continue // it stands in privateNote
		}
		where := ""
		if p.Line > 0 {
			where = fmt.Sprintf(" (line %d)", p.Line)
		}
		text := strings.Map(func(r rune) rune {
			if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
				return ' '
			}
			return r
		}, p.Text())
		fmt.Fprintf(&w.out, "%s# %s%s: %s\n", indent, [...]string{"note", "look at this", "OPEN"}[min(max(p.Severity, 0), 2)], where, text)
	}
}

// fields writes those fields of an object that have a value: a list of objects with a line for each, an object on a
// line of its own, anything else in a line.
func (w *yamlWriter) fields(of binding, names ...string) {
	for _, name := range names {
		held := of.named(name).written
		text := flowValue(held)
		_, apart := held.([]field)
		list := objects(held)
		if text == "" {
			continue
		}
		if (apart || list != nil) && w.out.Len() > 0 {
			w.out.WriteByte('\n')
		}
		if list == nil {
			fmt.Fprintf(&w.out, "%s: %s\n", name, text)
			continue
		}
		fmt.Fprintf(&w.out, "%s:\n", name)
		for i, fields := range list {
			w.comment(fmt.Sprintf("%s[%d]", name, i), "  ")
			fmt.Fprintf(&w.out, "  - {%s}\n", flow(fields))
		}
	}
}

// objects are the entries of a list of objects, nil for anything else.
func objects(held any) [][]field {
	list, _ := held.([]any)
	var out [][]field
	for _, v := range list {
		if fields, ok := v.([]field); ok {
			out = append(out, fields)
		}
	}
	return out
}

// flow writes fields on one line; those without a value are left out.
func flow(fields []field) string {
	var parts []string
	for _, f := range fields {
		if v := flowValue(f.written); v != "" {
			parts = append(parts, f.name+": "+v)
		}
	}
	return strings.Join(parts, ", ")
}

func flowValue(value any) string {
	switch v := value.(type) {
	case string:
		if v != "" {
			return scalar(v)
		}
	case []any:
		if len(v) == 0 {
			return ""
		}
		out := make([]string, len(v))
		for i, entry := range v {
			switch entry := entry.(type) {
			case string:
				out[i] = scalar(entry)
			case []field:
				out[i] = "{" + flow(entry) + "}"
			}
		}
		return "[" + strings.Join(out, ", ") + "]"
	case int:
		if v != 0 {
			return strconv.Itoa(v)
		}
	case *int:
		if v != nil {
			return strconv.Itoa(*v)
		}
	case float64:
		if v != 0 {
			return strconv.FormatFloat(v, 'f', -1, 64)
		}
	case *float64:
		if v != nil {
			return strconv.FormatFloat(*v, 'f', -1, 64)
		}
	case bool:
		if v {
			return "true"
		}
	case []field:
		if text := flow(v); text != "" {
			return "{" + text + "}"
		}
	}
	return ""
}

// scalar writes a text so that it is read back as it is: bare when nothing in it means anything to
// YAML, else in quotation marks.
func scalar(s string) string {
	if bareText(s) {
		return s
	}
	quoted, err := json.Marshal(s)
	if err != nil {
		return strconv.Quote(s) // cannot be: every text has a JSON form
	}
	return unescaped.Replace(string(quoted))
}

// unescaped takes back what JSON escapes for web pages; in YAML it is plain.
var unescaped = strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&")

// bareText reports whether a text needs no quotation marks inside { } and [ ].
func bareText(s string) bool {
	for i, r := range s {
		switch {
		case unicode.IsLetter(r), unicode.IsMark(r) && i > 0:
		case i > 0 && (unicode.IsDigit(r) || strings.ContainsRune(" _.'’()&+/-", r)):
		default:
			return false
		}
	}
	switch strings.ToLower(s) {
	case "", "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return false
	}
	return !strings.HasSuffix(s, " ")
}
