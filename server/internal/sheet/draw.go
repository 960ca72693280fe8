package sheet

import (
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/sheet/limits"
	"kinorder.example/server/internal/wording"
)

// Kind says whom a sheet is for.
type Kind int

// The kinds. The zero value is the whole call sheet.
const (
	Call     Kind = iota // everything: for the photographer
	Reader               // names to read out, in large type
	Finder               // faces to find, by side and circle
	Cards                // a card for each grouping, to cut out
	Times                // when each person is needed
	Chart                // people against groupings
	Standing             // who stands where, a picture for each grouping
	Pocket               // the whole order on one page
	Planner              // how good the order is, and the advice: for the planner alone
	kinds
)

// Form is the format of a sheet.
type Form int

// The forms. The zero value is text.
const (
	Text Form = iota
	HTML
	CSV      // RFC 4180, UTF-8 with a byte order mark
	Calendar // iCalendar, RFC 5545
	forms
)

// Paper is what a page is laid out for.
type Paper int

// The papers. With the zero value a page takes what the printer holds, and what has to be laid out
// for one paper takes A4.
const (
	AnyPaper Paper = iota
	A4
	Letter
	papers
)

// Per says whether personal times are for each person by themselves or for those who come together.
type Per int

// With the zero value messages are for circles, tables and calendars for people.
const (
	PerDefault Per = iota
	PerPerson
	PerCircle // of the circles of each person, the smallest with somebody grown up in it
	pers
)

// The widths that text can have, in columns.
const (
	MinWidth     = 40
	MaxWidth     = 400
	DefaultWidth = 80
)

// Options say what to draw. The zero value draws the call sheet as English text for 80 columns.
type Options struct {
	Kind     Kind
	Form     Form
	Language string // BCP 47; empty means English, and so does one that sheets do not come in
	Paper    Paper  // for HTML
	Width    int    // columns of text; 0 means DefaultWidth; what lies outside is moved to the nearer end
	Per      Per    // for Times
	// Side, an id, draws the finder's sheet of its people only; Person that of those whom somebody gathers.
	Side, Person string
	Lenses       bool // each lens at its entry of the page, not in a table at the end
	// Numbers are those that photos go by already, by id. Photos are counted through the sheet without any; a photo without one
	// is counted on from the highest.
	Numbers map[string]int
	// Stamp is when the sheet is drawn. Calendar must say so and needs it.
	Stamp time.Time
}

// ShowsPlaces reports whether a sheet says who stands where, or which lens to use, which depends on that.
func (o Options) ShowsPlaces(e event.Event) bool {
	switch o.Kind {
	case Cards, Standing:
		return o.Form == HTML
	case Call:
		return o.Form == HTML || o.Form == Text && e.Kit.Given()
	default:
		return false
	}
}

// Drawing is a drawn sheet.
type Drawing struct {
	Content     []byte
	ContentType string // media type
	Language    string // BCP 47 tag of the labels
}

// InvalidError says that a sheet cannot be drawn as it is asked for. Test for it with errors.As. Its
// faults name fields as "event.people", "sheet.blocks[0].entries" or the name of an option.
type InvalidError struct{ Faults []event.Advice }

// Error names places and codes only, as its text can reach a log.
func (e *InvalidError) Error() string {
	parts := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		parts[i] = f.Field + ": " + f.Code
	}
	return "a sheet that cannot be drawn: " + strings.Join(parts, "; ")
}

// contentTypes are the media types of the forms.
var contentTypes = [forms]string{
	Text:     "text/plain; charset=utf-8",
	HTML:     "text/html; charset=utf-8",
	CSV:      "text/csv; charset=utf-8; header=present",
	Calendar: "text/calendar; charset=utf-8",
}

// formsOf lists the forms that a kind comes in, as planners say them.
var formsOf = [kinds]struct {
	forms []Form
	words string
}{
	Call:   {[]Form{Text, HTML, CSV, Calendar}, "text, HTML, CSV or iCalendar"},
	Reader: {[]Form{HTML}, "HTML"},
	Finder: {[]Form{HTML}, "HTML"},
	Cards:  {[]Form{HTML}, "HTML"},
	Times:  {[]Form{Text, CSV, Calendar}, "text, CSV or iCalendar"},
	Chart:  {[]Form{HTML}, "HTML"},

	Standing: {[]Form{HTML}, "HTML"},
	Pocket:   {[]Form{Text, HTML}, "text or HTML"},
	Planner:  {[]Form{Text, HTML}, "text or HTML"},
}

// Forms lists the forms that a kind comes in, the usual one first.
func (k Kind) Forms() []Form { return formsOf[k].forms }

// Draw draws a call sheet. The event is the one that the sheet was made from; neither has to be
// valid: an id that the event does not know is printed as such, and text that could drive a terminal
// or reorder a page is taken out. Errors are *InvalidError, when the options do not fit together,
// when event or sheet are larger than anything that can be planned, or when a calendar is asked for
// and a block has no clock time.
func Draw(e event.Event, s event.CallSheet, o Options) (Drawing, error) {
	faults := o.faults()
	faults = append(append(faults, limits.Oversize(&e, &s)...), helperFaults(&e, o)...)
	if len(faults) > 0 {
		return Drawing{}, &InvalidError{Faults: faults}
	}
	honour := family.About(&e)
	if o.Kind == Reader {
		e, s = event.ForReader(e), event.SheetForReader(s)
	}
	e.Honour = honour
	cat, _ := wording.For(o.Language)
	d := Drawing{ContentType: contentTypes[o.Form], Language: cat.Tag()}
	b := newBuilder(cat, &e, &s)
	b.count(o.Numbers)
	var err error
	switch o.Form {
	case HTML:
		d.Content, err = b.html(o)
	case CSV:
		d.Content, err = b.table(o)
	case Calendar:
		d.Content, err = b.calendar(o)
	default:
		if o.Kind == Times {
			d.Content = b.messageText(o.Per)
		} else {
			d.Content = b.text(o)
		}
	}
	return d, err
}

// faults lists what is wrong with the options.
func (o Options) faults() []event.Advice {
	var out []event.Advice
	fault := func(field, code, text string) {
		out = append(out, event.Advice{Code: code, Severity: event.Error, Field: field, Message: wording.Said(text)})
	}
	known := o.Kind >= 0 && o.Kind < kinds && o.Form >= 0 && o.Form < forms
	if !known || o.Paper < 0 || o.Paper >= papers || o.Per < 0 || o.Per >= pers {
		fault("format", event.CodeUnknownValue, "There is no such kind of sheet, form or paper.")
		return out
	}
	drawn := false
	for _, f := range formsOf[o.Kind].forms {
		drawn = drawn || f == o.Form
	}
	if !drawn {
		fault("format", event.CodeNotDrawn, "This sheet does not come in that form: ask for "+formsOf[o.Kind].words+".")
	}
	if _, ok := wording.For(o.Language); !ok {
		fault("language", event.CodeBadLanguage, "The language cannot be read: write its tag, such as "+strings.Join(wording.Languages(), ", ")+".")
	}
	if o.Form == Calendar && o.Stamp.IsZero() {
		fault("stamp", event.CodeMissing, "A calendar says when it was written: give the time.")
	}
	return out
}
