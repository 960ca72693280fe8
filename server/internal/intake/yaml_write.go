package intake

import (
	"bytes"
	"encoding/json"
	"fmt"
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
	w.head(e)
	w.list("sides", len(e.Sides), func(i int) []written { return sideFields(e.Sides[i]) })
	w.list("people", len(e.People), func(i int) []written { return personFields(e.People[i]) })
	w.list("circles", len(e.Circles), func(i int) []written {
		c := e.Circles[i]
		return []written{{"id", c.ID}, {"title", c.Title}, {"members", c.Members}, {"leader", c.Leader}}
	})
	w.list("groupings", len(e.Groupings), func(i int) []written { return groupingFields(e.Groupings[i]) })
	w.list("blocks", len(e.Blocks), func(i int) []written { return blockFields(e.Blocks[i]) })
	w.list("rules", len(e.Rules), func(i int) []written { return ruleFields(e.Rules[i]) })
	w.list("walks", len(e.Walks), func(i int) []written { return walkFields(e.Walks[i]) })
	w.list("order", len(e.Order), func(i int) []written { return placeFields(e.Order[i]) })
	w.object("pace", paceFields(e.Pace))
	w.object("weights", weightFields(e.Weights))
	w.object("kit", kitFields(e.Kit))
	return w.out.Bytes()
}

// item shortens a place in the event to the entry it is in: "groupings[3]" of
// "groupings[3].members[1]".
func item(field string) string {
	if at := strings.IndexByte(field, ']'); at >= 0 {
		return field[:at+1]
	}
	return ""
}

// written is a field with a value: string, []string, int, *int, float64, *float64, bool or []writtens.
type written struct {
	name  string
	value any
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

func (w *yamlWriter) head(e event.Event) {
	for _, f := range headFields(e) {
		if v := flowValue(f.value); v != "" {
			fmt.Fprintf(&w.out, "%s: %s\n", f.name, v)
		}
	}
}

func (w *yamlWriter) list(name string, n int, fields func(i int) []written) {
	if n == 0 {
		return
	}
	if w.out.Len() > 0 {
		w.out.WriteByte('\n')
	}
	fmt.Fprintf(&w.out, "%s:\n", name)
	for i := range n {
		w.comment(fmt.Sprintf("%s[%d]", name, i), "  ")
		fmt.Fprintf(&w.out, "  - {%s}\n", flow(fields(i)))
	}
}

func (w *yamlWriter) object(name string, fields []written) {
	if text := flow(fields); text != "" {
		fmt.Fprintf(&w.out, "\n%s: {%s}\n", name, text)
	}
}

// flow writes fields on one line; those without a value are left out.
func flow(fields []written) string {
	var parts []string
	for _, f := range fields {
		if v := flowValue(f.value); v != "" {
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
	case []string:
		if len(v) == 0 {
			return ""
		}
		out := make([]string, len(v))
		for i, s := range v {
			out[i] = scalar(s)
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
	case []written:
		if text := flow(v); text != "" {
			return "{" + text + "}"
		}
	case [][]written:
		out := make([]string, len(v))
		for i, f := range v {
			out[i] = "{" + flow(f) + "}"
		}
		if len(out) > 0 {
			return "[" + strings.Join(out, ", ") + "]"
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

// nameOf returns the short name of a value of an enumeration, and nothing for the usual one.
func nameOf[T comparable](e enumeration[T], v, usual T) string {
	if v == usual {
		return ""
	}
	for i := len(e.values) - 1; i > 0; i-- {
		if e.values[i] == v {
			return e.names[i]
		}
	}
	return ""
}

// headFields are the fields of an event that are single values.
func headFields(e event.Event) []written {
	return []written{{"title", e.Title}, {"date", e.Date}, {"timeZone", e.TimeZone}, {"emphasis", nameOf(emphases, e.Emphasis, event.Balanced)},
		{"fit", nameOf(fits, e.Fit, event.Likely)}, {"confidence", e.Confidence}, {"latitude", e.Latitude}, {"longitude", e.Longitude},
		{"honour", e.Honour}, {"leftOut", e.LeftOut}}
}

func sideFields(s event.Side) []written { return []written{{"id", s.ID}, {"label", s.Label}} }

func blockFields(b event.Block) []written {
	return []written{{"id", b.ID}, {"title", b.Title}, {"place", b.Place}, {"opens", b.Opens}, {"closes", b.Closes},
		{"closing", nameOf(closings, b.Closing, event.SoftClosing)}, {"overrunMinutes", b.Overrun}, {"photographer", b.Photographer}, {"capacity", b.Capacity}, {"stepFree", b.StepFree}, {"light", nameOf(lights, b.Light, event.GoodLight)},
		{"latitude", b.Latitude}, {"longitude", b.Longitude}, {"facing", b.Facing}, {"indoors", b.Indoors}, {"standBackCm", b.StandBackCM},
		{"space", spaceFields(b.Space)}}
}

func walkFields(w event.Walk) []written {
	return []written{{"from", w.From}, {"to", w.To}, {"minutes", w.Minutes}}
}

func placeFields(p event.HandPlace) []written {
	return []written{{"grouping", p.Grouping}, {"block", p.Block}, {"locked", p.Locked}}
}

func personFields(p event.Person) []written {
	var list []string
	for _, n := range p.Needs {
		list = append(list, nameOf(needWords, n, event.NoNeed))
	}
	var presence [][]written
	for _, s := range p.Presence {
		presence = append(presence, []written{{"from", s.From}, {"until", s.Until}})
	}
	return []written{{"id", p.ID}, {"name", p.Name}, {"nicknames", p.Nicknames}, {"sayAs", p.SayAs}, {"relation", p.Relation}, {"side", p.Side},
		{"ageBand", nameOf(ageBands, p.AgeBand, event.Adult)}, {"heightCm", p.HeightCM}, {"needs", list},
		{"presentFrom", p.PresentFrom}, {"presentUntil", p.PresentUntil}, {"presence", presence}, {"interpreter", p.Interpreter},
		{"absent", p.Absent}, {"releaseWeight", p.ReleaseWeight}, {"privateNote", p.PrivateNote}}
}

func spaceFields(s event.Space) []written {
	return []written{{"widthCm", s.WidthCM}, {"depthCm", s.DepthCM}, {"ground", s.Ground}, {"kneeling", s.Kneeling}, {"chairs", s.Chairs},
		{"steps", s.Steps}, {"stepCm", s.StepCM}, {"cameraHeightCm", s.CameraHeightCM}, {"cameraDistanceCm", s.CameraDistanceCM}}
}

func groupingFields(g event.Grouping) []written {
	return []written{{"id", g.ID}, {"title", g.Title}, {"members", g.Members}, {"without", g.Without}, {"eachOf", g.EachOf},
		{"priority", nameOf(priorities, g.Priority, event.Should)}, {"blocks", g.Blocks}, {"after", g.After},
		{"notBefore", g.NotBefore}, {"notAfter", g.NotAfter}, {"confirms", g.Confirms}, {"pin", nameOf(pins, g.Pin, event.PinNone)},
		{"minutes", g.Minutes}, {"frames", g.Frames}, {"worth", g.Worth}, {"guests", g.Guests}, {"privateNote", g.PrivateNote}}
}

func ruleFields(r event.Rule) []written {
	fields := []written{{"id", r.ID}}
	if r.Apart != nil {
		fields = append(fields, written{"apart", []written{{"people", r.Apart.People}, {"scope", nameOf(scopes, r.Apart.Scope, event.Frame)}, {"until", r.Apart.Until}}})
	}
	if r.Turns != nil {
		fields = append(fields, written{"turns", []written{{"people", r.Turns.People}}})
	}
	if r.Seniority != nil {
		fields = append(fields, written{"seniority", []written{{"people", r.Seniority.People}}})
	}
	return append(fields, written{"privateNote", r.PrivateNote})
}

func paceFields(p event.Pace) []written {
	var arrange, frames [][]written
	for _, a := range p.Arrange {
		arrange = append(arrange, []written{{"newcomers", &a.Newcomers}, {"seconds", &a.Seconds}})
	}
	for _, f := range p.Frames {
		frames = append(frames, []written{{"people", &f.People}, {"frames", &f.Frames}})
	}
	return []written{{"settleSeconds", p.SettleSeconds}, {"perStepInSeconds", p.PerStepInSeconds}, {"perStepOutSeconds", p.PerStepOutSeconds},
		{"freshSeconds", p.FreshSeconds}, {"arrange", arrange}, {"perFrameSeconds", p.PerFrameSeconds}, {"elderSeconds", p.ElderSeconds},
		{"childSeconds", p.ChildSeconds}, {"infantSeconds", p.InfantSeconds}, {"wheelchairSeconds", p.WheelchairSeconds}, {"openingSeconds", p.OpeningSeconds},
		{"fetchSeconds", p.FetchSeconds}, {"calling", nameOf(callings, p.Calling, event.PhotographerCalls)}, {"frames", frames}, {"framesConfidence", p.FramesConfidence},
		{"slotSpreadPercent", p.SlotSpreadPercent}, {"daySpreadPercent", p.DaySpreadPercent}}
}

func weightFields(w event.Weights) []written {
	return []written{{"step", w.Step}, {"releaseAdult", w.ReleaseAdult}, {"releaseChild", w.ReleaseChild}, {"releaseInfant", w.ReleaseInfant},
		{"releaseElder", w.ReleaseElder}, {"releaseNeed", w.ReleaseNeed}, {"idle", w.Idle}}
}

func kitFields(k event.Kit) []written {
	var lenses [][]written
	for _, l := range k.Lenses {
		lenses = append(lenses, []written{{"title", l.Title}, {"focalMm", l.FocalMM}, {"focalToMm", l.FocalToMM}, {"widest", l.Widest},
			{"widestLong", l.WidestLong}, {"closestCm", l.ClosestCM}})
	}
	return []written{{"sensorWidthMm", k.SensorWidthMM}, {"sensorHeightMm", k.SensorHeightMM}, {"lenses", lenses}, {"groupAperture", k.GroupAperture}}
}
