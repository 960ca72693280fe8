package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"net/url"
	"strings"

	"kinorder.example/server/internal/drawing"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// pageSheets are the sheets that can be looked at and printed.
var pageSheets = []sheetChoice{
	{"call", "page.callSheetForThePhotographer", sheet.Call},
	{"pocket", "page.pocketListOnOnePage", sheet.Pocket},
	{"reader", "page.largeNamesForWhoReadsThem", sheet.Reader},
	{"finder", "page.facesToFindBySideAnd", sheet.Finder},
	{"cards", "page.cardsToCutOutOneFor", sheet.Cards},
	{"chart", "page.chartOfWhoIsInWho", sheet.Chart},
	{"standing", "page.whoStandsWhereAPictureFor", sheet.Standing},
	{"planner", "sheet.plannerSheet", sheet.Planner},
}

type sheetChoice struct {
	Value string
	text  wording.Key
	kind  sheet.Kind
}

// files are what can be saved.
var files = []fileChoice{
	{"page", "page.callSheetAsAPage", "call-sheet.html", sheet.Options{Kind: sheet.Call, Form: sheet.HTML}},
	{"text", "page.callSheetAsText", "call-sheet.txt", sheet.Options{Kind: sheet.Call, Form: sheet.Text}},
	{"messages", "page.messagesToEachFamily", "messages.txt", sheet.Options{Kind: sheet.Times, Form: sheet.Text}},
	{"times", "page.whenEachPersonIsNeeded", "times.csv", sheet.Options{Kind: sheet.Times, Form: sheet.CSV}},
	{"table", "page.callSheetAsATable", "call-sheet.csv", sheet.Options{Kind: sheet.Call, Form: sheet.CSV}},
	{"calendar", "page.calendarEntries", "call-sheet.ics", sheet.Options{Kind: sheet.Call, Form: sheet.Calendar}},
	{"event", "page.listWithTheDayToGo", "event.yaml", sheet.Options{}},
}

type fileChoice struct {
	Value   string
	text    wording.Key
	file    string
	options sheet.Options
}

// paperChoices are the papers as they are chosen.
func paperChoices(c *wording.Catalogue, chosen string) []fields.Choice {
	return []fields.Choice{
		{Value: "", Text: c.Say("page.asThePrinter"), Checked: chosen == ""},
		{Value: "a4", Text: "A4", Checked: chosen == "a4"},
		{Value: "letter", Text: "Letter", Checked: chosen == "letter"},
	}
}

// papers are the sheets of paper.
var papers = map[string]sheet.Paper{"a4": sheet.A4, "letter": sheet.Letter}

// planned reads the plan that a form carries.
func (s *Server) planned(r *request) (event.Event, event.CallSheet, error) {
	d, _, err := s.readDraft(r)
	if err != nil {
		return event.Event{}, event.CallSheet{}, err
	}
	read, err := d.read(r.Context())
	if err != nil {
		return event.Event{}, event.CallSheet{}, err
	}
	of := fingerprintOf(read.event)
	hand, plan, ok := readHand(r.form)
	if !ok || hand.madeOf != of {
		return event.Event{}, event.CallSheet{}, fields.ErrForm
	}
	return hand.in(read.event, plan), plan, nil
}

// sheet shows a sheet to print.
func (s *Server) sheet(r *request) (*response, error) {
	e, plan, err := s.planned(r)
	if err != nil {
		return nil, err
	}
	o := sheet.Options{Form: sheet.HTML, Language: r.form.Line("language"), Paper: papers[r.form.Line("paper")]}
	for _, c := range pageSheets {
		if c.Value == cmp.Or(r.form.Line("stand"), r.form.Line("sheet-kind")) {
			o.Kind = c.kind
		}
	}
	drawn, err := s.draw(r, e, plan, o)
	if err != nil {
		return nil, err
	}
	return &response{kind: drawn.ContentType, policy: sheetPolicy(drawn.Content), content: drawn.Content}, nil
}

// draw draws a sheet. Once the day of what is kept has begun, photos have the numbers that phones show.
func (s *Server) draw(r *request, e event.Event, plan event.CallSheet, o sheet.Options) (sheet.Drawing, error) {
	if r.work.ID != "" {
		var err error
		if o.Numbers, err = s.options.Desk.Numbers(r.Context(), r.visitor, r.work.ID, e); err != nil {
			return sheet.Drawing{}, err
		}
	}
	drawn, err := drawing.Ready(r.Context(), e, plan, o, s.options.Gate.Enter, s.options.Log)
	return drawn, drawError(err)
}

// sheetFields are the fields that say which sheet it is.
var sheetFields = []string{"sheet-kind", "stand", "language", "paper"}

// leadToSheet leads to the address of a sheet, which can be reloaded.
func (s *Server) leadToSheet(r *request, _ keptDraft) (*response, error) {
	q := url.Values{}
	for _, name := range sheetFields {
		if v := r.form.Line(name); v != "" {
			q.Set(name, v)
		}
	}
	return s.lead(r, r.seat.Root+"/sheet?"+q.Encode(), nil), nil
}

// openSheet shows a sheet of what is kept.
func (s *Server) openSheet(r *request) (*response, error) {
	if !r.work.Planned {
		return s.lead(r, r.seat.Root, nil), nil
	}
	chosen := fields.Posted{Values: url.Values{}}
	for _, name := range sheetFields {
		chosen.Values.Set(name, r.URL.Query().Get(name))
	}
	var err error
	if r.form, err = draftIn(r.work).under(chosen); err != nil {
		return nil, err
	}
	return s.sheet(r)
}

// sheetPolicy lets a sheet have its own style, known by its hash, and nothing else.
func sheetPolicy(page []byte) string {
	policy := "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	_, rest, _ := strings.Cut(string(page), "<style>")
	style, _, found := strings.Cut(rest, "</style>")
	if !found {
		return policy
	}
	sum := sha256.Sum256([]byte(style))
	return policy + "; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// save hands out a file.
func (s *Server) save(r *request) (*response, error) {
	e, plan, err := s.planned(r)
	if err != nil {
		return nil, err
	}
	for _, c := range files {
		if c.Value != r.form.Line("file-kind") {
			continue
		}
		if c.Value == "event" {
			return &response{kind: "application/yaml; charset=utf-8", file: c.file, content: intake.WriteYAML(e, nil)}, nil
		}
		o := c.options
		o.Language, o.Paper, o.Stamp = r.form.Line("language"), papers[r.form.Line("paper")], s.options.Now()
		drawn, err := s.draw(r, e, plan, o)
		if err != nil {
			return nil, err
		}
		return &response{kind: drawn.ContentType, file: c.file, content: drawn.Content}, nil
	}
	return nil, fields.ErrForm
}

// cannotDraw says why a sheet cannot be drawn.
type cannotDraw struct{ texts []wording.Message }

func (e *cannotDraw) Error() string { return "a sheet that cannot be drawn" }

func drawError(err error) error {
	var invalid *sheet.InvalidError
	if !errors.As(err, &invalid) {
		return err
	}
	out := &cannotDraw{}
	for _, f := range invalid.Faults {
		out.texts = append(out.texts, f.Message)
	}
	return out
}
