package web

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// planView is the page of the plan.
type planView struct {
	sheet.Description
	Hidden          []hiddenField
	Notices         []string
	Refused, Said   string
	Now             string // what the plan comes to, in a few words
	Delta           string // against the best; empty when nothing was decided by hand
	Decided         bool
	Locked, Dropped int
	Blocks          []planBlock
	Left            []leftView
	Compared        []comparedView
	Warnings, Hints []string
	Emphasis        string
	Sheets          []radioView
	Files           []radioView
	Languages       []radioView
	BlockNames      []choiceView
}

// planBlock is a block with the buttons of its entries.
type planBlock struct {
	ID      string
	View    any
	Entries []planEntry
}

// planEntry is an entry with its buttons.
type planEntry struct {
	ID          string
	View        any
	Title       string
	Number      int
	Place, Last int // in its block, from 1
	Block       string
	Locked      bool
	FocusUp     bool
	FocusDown   bool
	FocusLock   bool
	FocusTo     bool
}

type leftView struct {
	ID, Title, Reason string
	Must, Possible    bool
}

type comparedView struct {
	Value, Name               string
	Current, Proven           bool
	WalkIns, Minutes          string
	Elders, Children, LeftOut string
}

// show draws the page of the plan.
func (w *workbench) show() (*response, error) {
	d, err := sheet.Describe(w.reading.event, w.sheet, "")
	if err != nil {
		return nil, drawError(err)
	}
	plan, err := hiddenPlan(w.hand, w.sheet)
	if err != nil {
		return nil, err
	}
	v := planView{
		Description: d, Hidden: append(w.reading.hidden(), plan...), Notices: w.reading.notices,
		Refused: w.refused, Said: w.said, Decided: w.hand.decided(),
		Locked: len(w.hand.Locked), Dropped: len(w.hand.Dropped),
		Emphasis: emphasisWords[w.reading.day.Emphasis][0],
		Left:     w.leftOut(), Compared: w.comparedViews(),
		Sheets: sheetChoices(), Files: fileChoices(w.sheet), Languages: languageChoices(),
	}
	t := w.sheet.Totals
	v.Now = fmt.Sprintf("%d %s, %d min.", t.StepIns, plural(t.StepIns, "walk-in", "walk-ins"), wholeMinutes(t.Length))
	if w.hand.decided() {
		v.Delta = deltaWords(w.sheet.Totals, w.hand.Best.Totals)
	}
	for _, a := range w.sheet.Advice {
		if a.Severity == event.Info {
			v.Hints = append(v.Hints, a.Text)
		} else {
			v.Warnings = append(v.Warnings, a.Text)
		}
	}
	for i, b := range w.sheet.Blocks {
		block := planBlock{ID: b.Block, View: &d.Blocks[i]}
		for k, entry := range b.Entries {
			e := planEntry{
				ID: entry.Grouping, View: &d.Blocks[i].Entries[k], Title: d.Blocks[i].Entries[k].Title,
				Number: d.Blocks[i].Entries[k].Number, Place: k + 1, Last: len(b.Entries), Block: b.Block,
				Locked: slices.Contains(w.hand.Locked, entry.Grouping),
			}
			e.focus(w.move)
			block.Entries = append(block.Entries, e)
		}
		v.Blocks = append(v.Blocks, block)
		v.BlockNames = append(v.BlockNames, choiceView{b.Block, firstOf(d.Blocks[i].Title, d.Blocks[i].Place, "the only block")})
	}
	return draw("plan", shell{Title: firstOf(w.reading.event.Title, "The plan"), Step: 2}, v)
}

// focus puts the focus where the planner's finger was, so that the next press does the next step.
func (e *planEntry) focus(m move) {
	if e.ID != m.id {
		return
	}
	e.FocusUp = m.act == "up" && e.Place > 1 || m.act == "down" && e.Place == e.Last
	e.FocusDown = m.act == "down" && e.Place < e.Last || m.act == "up" && e.Place == 1
	e.FocusLock = m.act == "lock" || m.act == "unlock"
	e.FocusTo = m.act == "to" || m.act == "put"
}

// leftOut lists what is not taken, with what can be put back in.
func (w *workbench) leftOut() []leftView {
	taken, emptied := event.Expand(w.reading.event)
	title := map[string]string{}
	possible := map[string]bool{}
	for _, p := range taken {
		title[p.ID], possible[p.ID] = p.Title, true
	}
	for _, p := range emptied {
		title[p.ID] = p.Title
	}
	var out []leftView
	for _, l := range w.sheet.LeftOut {
		out = append(out, leftView{l.Grouping, firstOf(title[l.Grouping], l.Grouping), l.Reason, l.Priority == event.Must, possible[l.Grouping]})
	}
	return out
}

// deltaWords says what a plan costs against the best: "+3 walk-ins, +2 min".
func deltaWords(now, best event.Totals) string {
	steps := now.StepIns - best.StepIns
	minutes := now.Length - best.Length
	if steps == 0 && minutes == 0 {
		return "No more walk-ins and no more time"
	}
	return fmt.Sprintf("%s %s, %s min", signed(steps), plural(steps, "walk-in", "walk-ins"), signedMinutes(minutes))
}

func plural(n int, one, many string) string {
	if n == 1 || n == -1 {
		return one
	}
	return many
}

// wholeMinutes rounds up.
func wholeMinutes(d time.Duration) int { return int((d + time.Minute - time.Second) / time.Minute) }

// signed writes a number with its sign.
func signed(n int) string {
	switch {
	case n > 0:
		return fmt.Sprintf("+%d", n)
	case n < 0:
		return fmt.Sprintf("−%d", -n)
	default:
		return "±0"
	}
}

// signedMinutes writes halves of minutes; what is less than a quarter counts as nothing.
func signedMinutes(d time.Duration) string {
	halves := int(d.Round(30*time.Second) / (30 * time.Second))
	text := signed(halves / 2)
	if halves%2 == 0 {
		return text
	}
	if halves/2 == 0 {
		return map[bool]string{true: "+0.5", false: "−0.5"}[halves > 0]
	}
	return text + ".5"
}

func (w *workbench) comparedViews() []comparedView {
	var out []comparedView
	for _, c := range w.hand.Compared {
		out = append(out, comparedView{
			Value: c.Emphasis, Name: emphasisWords[c.Emphasis][0], Current: c.Emphasis == w.reading.day.Emphasis, Proven: c.Proven,
			WalkIns: fmt.Sprint(c.StepIns), Minutes: fmt.Sprintf("%d", wholeMinutes(c.Length)),
			Elders: cmp.Or(c.Elders, "–"), Children: cmp.Or(c.Children, "–"), LeftOut: fmt.Sprint(c.LeftOut),
		})
	}
	return out
}

func sheetChoices() []radioView {
	var out []radioView
	for i, c := range pageSheets {
		out = append(out, radioView{Value: c.Value, Text: c.Text, Checked: i == 0})
	}
	return out
}

// fileChoices leaves out what cannot be made of a sheet: a calendar needs clock times.
func fileChoices(s event.CallSheet) []radioView {
	clock := true
	for _, b := range s.Blocks {
		clock = clock && !(b.Start.IsZero() && len(b.Entries) > 0)
	}
	var out []radioView
	for _, c := range files {
		if c.options.Form == sheet.Calendar && !clock {
			continue
		}
		out = append(out, radioView{Value: c.Value, Text: c.Text, Checked: len(out) == 0})
	}
	return out
}

// languageNames are the languages of the sheets in their own words.
var languageNames = map[string]string{
	"en": "English", "pt": "Português", "es": "Español", "fr": "Français", "de": "Deutsch", "ar": "العربية", "zh": "中文",
}

func languageChoices() []radioView {
	var out []radioView
	for _, tag := range wording.Languages() {
		base := tag
		if len(base) > 2 {
			base = base[:2]
		}
		out = append(out, radioView{Value: tag, Text: firstOf(languageNames[base], tag)})
	}
	return out
}
