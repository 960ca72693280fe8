package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server"
)

// form is how a sheet is written: as the server draws it, or that page printed to PDF here.
type form struct {
	format kinorderv1.RenderFormat
	pdf    bool
}

// drawFlags are the flags that say what to draw.
type drawFlags struct {
	kind     choice[kinorderv1.RenderKind]
	form     choice[form]
	paper    choice[kinorderv1.RenderPaper]
	per      choice[kinorderv1.RenderPer]
	language string
	width    int
	side     string
	person   string
	lenses   bool
}

func newDrawFlags() drawFlags {
	return drawFlags{
		kind: byName[kinorderv1.RenderKind]("call", "reader", "finder", "cards", "times", "chart", "standing", "pocket", "planner").and(allSheets, kinorderv1.RenderKind_RENDER_KIND_UNSPECIFIED),
		form: choice[form]{
			words: []string{"text", "json", "html", "pdf", "csv", "ics"},
			values: []form{
				{format: kinorderv1.RenderFormat_RENDER_FORMAT_TEXT}, {format: kinorderv1.RenderFormat_RENDER_FORMAT_JSON},
				{format: kinorderv1.RenderFormat_RENDER_FORMAT_HTML}, {format: kinorderv1.RenderFormat_RENDER_FORMAT_HTML, pdf: true},
				{format: kinorderv1.RenderFormat_RENDER_FORMAT_CSV}, {format: kinorderv1.RenderFormat_RENDER_FORMAT_CALENDAR},
			},
		},
		paper: byName[kinorderv1.RenderPaper]("a4", "letter"),
		per:   byName[kinorderv1.RenderPer]("person", "circle"),
	}
}

// register adds the flags to a command.
func (o *drawFlags) register(c *cobra.Command) {
	f := c.Flags()
	f.Var(&o.kind, "sheet", "which sheet: call, pocket (one page), reader, finder, cards, times, chart, standing or planner, or all of them, of one plan, into the folder of -o (default call)")
	f.Var(&o.form, "format", "how to write it: text, json, html, pdf, csv or ics (default: by the ending of the -o file, else the usual one of the sheet)")
	f.Var(&o.paper, "paper", "paper of pages: a4 or letter (default: a4 for pdf, else what the printer holds)")
	f.Var(&o.per, "per", "for --sheet times: a record, message or calendar event for each person or group (circle) (default: circle for messages, else person)")
	f.StringVar(&o.language, "language", "", "`TAG` of the language of labels: "+strings.Join(server.Languages(), ", ")+" (default en)")
	f.IntVar(&o.width, "width", 0, "columns of the text sheet, 40 to 400 (default: those of the terminal, else 80)")
	f.StringVar(&o.side, "side", "", "for --sheet finder: only the people of this side, by its `ID`")
	f.StringVar(&o.person, "for", "", "for --sheet finder: only the people whom this person gathers, by `ID`")
	f.BoolVar(&o.lenses, "lenses", false, "for the call sheet as a page: each lens at its photo, not in one table at the end")
	o.kind.complete(c, "sheet")
	o.form.complete(c, "format")
	o.paper.complete(c, "paper")
	o.per.complete(c, "per")
}

// The widths that a server draws text in.
const minWidth, maxWidth = 40, 400

// check says what is wrong with the flags before anything is planned.
func (o *drawFlags) check(p *Program, output string) error {
	if o.width != 0 && (o.width < minWidth || o.width > maxWidth) {
		return fmt.Errorf("--width must be from %d to %d", minWidth, maxWidth)
	}
	if o.form.word == "" {
		if err := fitting(output, ".html", ".htm", ".pdf", ".json", ".csv", ".ics", ".txt"); err != nil {
			return err
		}
	}
	if o.kind.word == allSheets {
		return o.checkAll(output)
	}
	as := o.writtenAs(output)
	if as.format == kinorderv1.RenderFormat_RENDER_FORMAT_TEXT && (o.kind.word == "standing" || o.kind.word == "chart") {
		return fmt.Errorf("--sheet %s is a drawing: ask for html or pdf", o.kind.word)
	}
	if !as.pdf {
		return nil
	}
	if p.Width != 0 && (output == "" || output == "-") {
		return errors.New("a PDF cannot be shown in a terminal: write it to a file with -o sheet.pdf")
	}
	if _, err := findBrowser(); err != nil {
		return failed(err)
	}
	return nil
}

// allSheets asks for every sheet of one plan. A plan that is not proven may come out otherwise when it is made again:
// sheets that were planned apart could disagree.
const allSheets = "all"

// checkAll says what is wrong with the flags where all sheets are asked for.
func (o *drawFlags) checkAll(folder string) error {
	if folder == "" || folder == "-" {
		return errors.New("--sheet all writes files into a folder: name it with -o")
	}
	if word := o.form.word; word != "" && word != "html" && word != "pdf" {
		return errors.New("--sheet all prints: ask for html or pdf")
	}
	if o.form.word == "html" {
		return nil
	}
	if _, err := findBrowser(); err != nil {
		return failed(err)
	}
	return nil
}

// papers are what is to be drawn: the sheet that is asked for, or every sheet as a file of the folder. The pocket list is
// the first page of the call sheet, and messages are text.
func (o *planFlags) papers(file string) []planFlags {
	if o.drawing.kind.word != allSheets {
		return []planFlags{*o}
	}
	var out []planFlags
	name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
	for _, word := range o.drawing.kind.words {
		if word == allSheets || word == "pocket" {
			continue
		}
		one := *o
		one.drawing.kind.word, one.drawing.form.word = word, cmp.Or(o.drawing.form.word, "pdf")
		if word == "times" {
			one.drawing.form.word = "text"
		}
		one.output = filepath.Join(o.output, strings.Trim(name, "-")+"-"+word+map[string]string{"pdf": ".pdf", "html": ".html", "text": ".txt"}[one.drawing.form.word])
		out = append(out, one)
	}
	return out
}

// writtenAs is the format asked for, else the one that the output file is named for, else the usual
// one of the sheet.
func (o *drawFlags) writtenAs(output string) form {
	if o.form.word != "" {
		return o.form.value()
	}
	ending := strings.TrimPrefix(strings.ToLower(filepath.Ext(output)), ".")
	as := choice[form]{words: o.form.words, values: o.form.values, word: ending}
	switch ending {
	case "htm":
		as.word = "html"
	case "txt":
		as.word = "text"
	}
	return as.value()
}

// draw renders a sheet. An interrupt has ended the search by now; only a second one ends the drawing
// too. A server that stops gives up its sheet before it goes: that is drawn here then.
func (p *Program) draw(conn *client.Client, e *kinorderv1.Event, sheet *kinorderv1.CallSheet, o *planFlags) ([]byte, error) {
	d := &o.drawing
	as := d.writtenAs(o.output)
	how := client.RenderOptions{
		Kind: d.kind.value(), Format: as.format, Language: d.language, Paper: d.paper.value(), Per: d.per.value(), Width: p.columns(d.width),
		Side: d.side, Person: d.person, LensesAtEntries: d.lenses,
	}
	if as.pdf && d.paper.word == "" {
		how.Paper = kinorderv1.RenderPaper_RENDER_PAPER_A4
	}
	drawn, err := conn.Render(p.hard, e, sheet, how)
	var refusal *client.Error
	if errors.As(err, &refusal) && gone(refusal) {
		fmt.Fprintln(p.Stderr, "kinorder: the server has stopped: this is the best sheet it found, drawn here")
		if conn, err = p.embed(); err != nil {
			return nil, err
		}
		drawn, err = conn.Render(p.hard, e, sheet, how)
	}
	if err != nil {
		return nil, p.refused(err)
	}
	if got := drawn.GetLanguage(); !sameLanguage(got, d.language) && got != "" {
		fmt.Fprintf(p.Stderr, "kinorder: there are no labels in %s: they are drawn in %s\n", d.language, got)
	}
	if as.pdf {
		return p.printed(drawn.GetContent())
	}
	return drawn.GetContent(), nil
}

// sameLanguage reports whether labels are in the language asked for, whatever its region.
func sameLanguage(got, asked string) bool {
	if asked == "" {
		return true
	}
	base, _, _ := strings.Cut(strings.ReplaceAll(asked, "_", "-"), "-")
	return strings.EqualFold(base, got)
}

// columns is the width asked for, else that of the terminal within what can be drawn, else 0.
func (p *Program) columns(asked int) int {
	if asked != 0 || p.Width == 0 {
		return asked
	}
	return min(max(p.Width, minWidth), maxWidth)
}
