package web

import (
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// planView is the page of the plan.
type planView struct {
	sheet.Description
	Hidden          []fields.Hidden
	Notices         []string
	Refused, Said   string
	Now             string // what the plan comes to, in a few words
	Delta           string // against the best; empty when nothing was decided by hand
	Decided         bool
	Locked, Dropped int
	Blocks          []planBlock
	Left            []leftView
	Compared        []comparedView
	Outdated        bool // they are from before the last change
	Warnings, Hints []string
	Emphasis        string
	Sheets          []fields.Choice
	Files           []fields.Choice
	Languages       []fields.Choice
	Papers          []fields.Choice
	BlockNames      []choiceView
	// Focus is the act after which the focus stays with its button, see the template.
	Focus string
	Seat  seat
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
	Focus             bool
}

type comparedView struct {
	Value, Name               string
	Current, Proven, Later    bool
	WalkIns, Minutes          string
	Elders, Children, LeftOut string
}

// show draws the page of the plan.
func (w *workbench) show() (*response, error) {
	c := w.words
	d, err := sheet.Describe(w.hand.in(w.reading.event, w.sheet), w.sheet, c)
	if err != nil {
		return nil, drawError(err)
	}
	var carried []fields.Hidden
	if w.seat.Root == "" {
		if carried, err = hiddenPlan(w.hand, w.sheet); err != nil {
			return nil, err
		}
		carried = append(w.reading.hidden(), carried...)
	}
	v := planView{
		Description: d, Hidden: carried, Seat: w.seat, Notices: people.Rendered(c, w.reading.notices),
		Refused: c.Render(w.refused), Said: c.Render(w.said), Decided: w.hand.decided() || w.hand.moved(w.sheet),
		Locked: len(w.hand.Locked), Dropped: len(w.hand.Dropped),
		Emphasis: c.Say(fields.EmphasisWords[w.reading.day.Emphasis][0]),
		Left:     w.leftOut(), Compared: w.comparedViews(), Outdated: w.hand.Outdated,
		Sheets: sheetChoices(c, w.form.Line("sheet-kind")), Files: fileChoices(c, w.sheet, w.form.Line("file-kind")),
		Languages: languageChoices(firstOf(w.form.Line("language"), c.Tag())), Papers: paperChoices(c, w.form.Line("paper")),
	}
	v.Focus, _, _ = strings.Cut(w.move.act, ":")
	if v.Focus == "again" && !v.Decided {
		v.Focus = "free" // the button is gone
	}
	t := w.sheet.Totals
	v.Now = c.Facts(c.Say("sheet.walkIns", t.StepIns), c.Say("sheet.minutes", c.Number(wording.MinutesUp(t.Length))))
	if v.Decided {
		v.Delta = deltaWords(c, w.sheet.Totals, w.hand.Best.Totals)
	}
	for _, a := range w.sheet.Advice {
		if text := c.Render(a.Message); a.Severity == event.Info {
			v.Hints = append(v.Hints, text)
		} else if a.Code != event.CodeOverBlock { // which is said above
			v.Warnings = append(v.Warnings, text)
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
		v.BlockNames = append(v.BlockNames, choiceView{b.Block, firstOf(c.Facts(d.Blocks[i].Title, d.Blocks[i].Hours, d.Blocks[i].Place), c.Say("page.onlyBlock"))})
	}
	return draw(c, "plan", shell{
		Title: firstOf(w.reading.event.Title, c.Say("page.thePlan")), Step: 2, Here: w.seat.at("/plan", "/plan"), Enter: "go", Switched: w.move.act == "language", Seat: w.seat,
	}, v)
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
		out = append(out, leftView{l.Grouping, firstOf(title[l.Grouping], l.Grouping), w.words.Render(l.Why), l.Priority == event.Must, possible[l.Grouping],
			w.move.act == "drop" && w.move.id == l.Grouping})
	}
	return out
}

// deltaWords says what a plan costs against the best: "People stepping in: +3, +2 min".
func deltaWords(c *wording.Catalogue, now, best event.Totals) string {
	steps := now.StepIns - best.StepIns
	minutes := now.Length - best.Length
	if steps == 0 && minutes == 0 {
		return c.Say("page.noMoreWalkInsAndNo")
	}
	return c.Facts(signed(c, steps), c.Say("sheet.minutes", signedMinutes(c, minutes)))
}

// signed writes how many more or fewer people step in, with a sign.
func signed(c *wording.Catalogue, n int) string {
	sign := "±"
	switch {
	case n > 0:
		sign = "+"
	case n < 0:
		sign = "−"
	}
	return c.Say("sheet.labelled", c.Say("page.walkIns"), c.Signed(sign, c.Number(max(n, -n))))
}

// signedMinutes writes halves of minutes; what is less than a quarter counts as nothing.
func signedMinutes(c *wording.Catalogue, d time.Duration) string {
	halves := int(d.Round(30*time.Second) / (30 * time.Second))
	sign := "±"
	switch {
	case halves > 0:
		sign = "+"
	case halves < 0:
		sign, halves = "−", -halves
	}
	return c.Signed(sign, c.Halves(halves))
}

func (w *workbench) comparedViews() []comparedView {
	var out []comparedView
	for _, c := range w.hand.Compared {
		out = append(out, comparedView{
			Value: c.Emphasis, Name: w.words.Say(fields.EmphasisWords[c.Emphasis][0]), Current: c.Emphasis == w.reading.day.Emphasis, Proven: c.Proven, Later: c.Later,
			WalkIns: w.words.Number(c.StepIns), Minutes: w.words.Number(wording.MinutesUp(c.Length)),
			Elders: c.Elders.In(w.words), Children: c.Children.In(w.words), LeftOut: w.words.Number(c.LeftOut),
		})
	}
	return out
}

func sheetChoices(words *wording.Catalogue, chosen string) []fields.Choice {
	var out []fields.Choice
	for i, c := range pageSheets {
		out = append(out, fields.Choice{Value: c.Value, Text: words.Say(c.text), Checked: c.Value == chosen || chosen == "" && i == 0})
	}
	return out
}

// fileChoices leaves out what cannot be made of a sheet: a calendar needs clock times.
func fileChoices(words *wording.Catalogue, s event.CallSheet, chosen string) []fields.Choice {
	clock := true
	for _, b := range s.Blocks {
		clock = clock && !(b.Start.IsZero() && len(b.Entries) > 0)
	}
	var out []fields.Choice
	for _, c := range files {
		if c.options.Form == sheet.Calendar && !clock {
			continue
		}
		out = append(out, fields.Choice{Value: c.Value, Text: words.Say(c.text), Checked: c.Value == chosen || chosen == "" && len(out) == 0})
	}
	return out
}

// choiceView is one of several values to choose.
type choiceView struct{ Value, Text string }
