package sheet_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/web/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// printer returns how to print a page in a browser: as the text of each sheet of paper.
func printer(t *testing.T) func(page []byte) []string {
	t.Helper()
	reader := needs.Program(t, "pdftotext")
	print := pdfPrinter(t)
	return func(content []byte) []string {
		text, err := exec.CommandContext(t.Context(), reader, "-raw", print(content), "-").Output()
		require.NoError(t, err)
		return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
	}
}

// pdfPrinter returns how to print a page in a browser: to a file that the next print replaces.
func pdfPrinter(t *testing.T) func(page []byte) string {
	t.Helper()
	browser := browsertest.Start(t, 5*time.Minute)
	dir := t.TempDir()
	source, pdf := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
	return func(content []byte) string {
		require.NoError(t, os.WriteFile(source, content, 0o600))
		require.NoError(t, chromedp.Run(browser, chromedp.Navigate("file://"+source), chromedp.ActionFunc(func(ctx context.Context) error {
			// As with --print-to-pdf: backgrounds, and the paper of the page; without tags for those who hear it, which take
			// a third of the time.
			out, _, err := cdp.PrintToPDF().WithPrintBackground(true).WithPreferCSSPageSize(true).WithGenerateTaggedPDF(false).Do(ctx)
			if err != nil {
				return err
			}
			return os.WriteFile(pdf, out, 0o600)
		})))
		return pdf
	}
}

// separate is an event in which every grouping has people of its own, so that an entry can be told
// by its names: 40 groupings of 1 to 36 people, elders and children among them.
func separate() (event.Event, event.CallSheet) {
	e := event.Event{Title: "Summer party", Date: "2027-07-03", Blocks: []event.Block{{ID: "lawn", Title: "On the lawn"}}}
	var order []taken
	for g := range 40 {
		tk := taken{id: fmt.Sprint("g", g), title: fmt.Sprintf("Title%03d", g), seconds: 150, frames: 3}
		for k := range 1 + g*7%36 {
			id := fmt.Sprintf("Name%03dx%02d", g, k)
			p := event.Person{ID: id, Name: id, AgeBand: event.AgeBand(k % 4)}
			if k%3 == 0 {
				p.SayAs, p.Relation = "as it stands", "a cousin of the other side"
			}
			e.People = append(e.People, p)
			tk.members = append(tk.members, id)
		}
		order = append(order, tk)
	}
	b := block("lawn", time.Date(2027, 7, 3, 15, 0, 0, 0, time.UTC), order, nil)
	return e, event.CallSheet{Blocks: []event.SheetBlock{b}}
}

// papers are the papers that pages are laid out for.
var papers = map[string]sheet.Paper{"A4": sheet.A4, "Letter": sheet.Letter}

// Printed on either paper, no entry is cut by the end of a page, every page has its head and number,
// and every name is there.
func TestPrint(t *testing.T) {
	e, s := separate()
	printed := printer(t)
	for name, paper := range papers {
		t.Run(name, func(t *testing.T) {
			pages := printed(drawn(t, e, s, sheet.Options{Form: sheet.HTML, Paper: paper}))
			pageOf := map[string]int{}
			for i, text := range pages {
				assert.Contains(t, text, "Summer party")
				assert.Contains(t, text, "Call sheet")
				assert.Contains(t, text, fmt.Sprintf("%d / %d", i+1, len(pages)))
				if i == 0 {
					continue // the pocket list, which has every title
				}
				for _, title := range regexp.MustCompile(`Title\d{3}`).FindAllString(text, -1) {
					_, twice := pageOf[title]
					assert.False(t, twice, title)
					pageOf[title] = i
				}
			}
			for _, entry := range s.Blocks[0].Entries {
				i, ok := pageOf[entry.Title]
				require.True(t, ok, entry.Title)
				// The names to call stand under the title; the last of the entry after it are
				// those to have ready, who belong to the next.
				_, after, _ := strings.Cut(pages[i], entry.Title)
				for _, id := range append(entry.StepIn, entry.Standby...) {
					if !strings.Contains(after, id) {
						t.Errorf("%s is cut before %s", entry.Title, id)
					}
				}
			}
		})
	}
}

// together checks that the names of each entry stand on one page of the print.
func together(t *testing.T, s event.CallSheet, pages []string) {
	t.Helper()
	for _, entry := range s.Blocks[0].Entries {
		found := false
		for _, text := range pages {
			all := true
			for _, id := range entry.StepIn {
				all = all && strings.Contains(text, id)
			}
			found = found || all
		}
		assert.True(t, found, "%s is cut", entry.Title)
	}
}

// What the reader, the finder and those who gather people hold is not cut either, and fits the paper.
func TestPrintOfTheOtherSheets(t *testing.T) {
	e, s := separate()
	printed := printer(t)
	for name, paper := range papers {
		print := func(t *testing.T, kind sheet.Kind, e event.Event, s event.CallSheet) []string {
			t.Helper()
			return printed(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML, Paper: paper}))
		}
		t.Run(name+" reader", func(t *testing.T) {
			pages := print(t, sheet.Reader, e, s)
			together(t, s, pages)
			assert.Contains(t, pages[0], "Name000x00", "no page with nothing but heads")
			assert.LessOrEqual(t, len(pages), 32)
		})
		t.Run(name+" cards", func(t *testing.T) {
			pages := print(t, sheet.Cards, e, s)
			together(t, s, pages)
			cards := 0
			for _, text := range pages {
				n := len(regexp.MustCompile(`Title\d{3}`).FindAllString(text, -1))
				assert.LessOrEqual(t, n, 6)
				cards += n
			}
			assert.Equal(t, 40, cards)
			assert.LessOrEqual(t, len(pages), 24)
		})
		t.Run(name+" finder", func(t *testing.T) {
			text := strings.Join(print(t, sheet.Finder, e, s), " ")
			for _, p := range e.People {
				assert.Equal(t, 2, strings.Count(text, p.Name), "where they stand, and from A to Z")
			}
		})
		t.Run(name+" chart", func(t *testing.T) {
			big, bigSheet := crowd(110, 45, 12)
			pages := print(t, sheet.Chart, big, bigSheet)
			require.LessOrEqual(t, len(pages), 3, "as few as there can be at 7 points")
			for _, want := range []string{"Björn 1", "Adaeze 104", "Björn 105", `45\s+\+146\s+\x{2068}?\s*G\s*rouping\s+44\x{2069}?`} {
				assert.Regexp(t, want+`(\s|$)`, strings.Join(pages, " "))
			}
			assert.LessOrEqual(t, len(print(t, sheet.Chart, e, s)), len(e.People)/50)
			wide, wideSheet := crowd(12, 40, 4)
			assert.Len(t, print(t, sheet.Chart, wide, wideSheet), 1)
		})
	}
}

// A first entry that no page holds begins under the heads, not on a page of its own, and has everybody.
func TestPrintOfEverybody(t *testing.T) {
	e, s := crowd(110, 3, 105)
	printed := printer(t)
	e.Title = "Everybody"
	for i := range e.People {
		e.People[i].Name, e.People[i].SayAs, e.People[i].Relation = fmt.Sprintf("Long Name%03d", i), "as it stands", "a cousin of the other side"
	}
	for kind, most := range map[sheet.Kind]int{sheet.Call: 5, sheet.Reader: 4, sheet.Cards: 3} {
		pages := printed(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML, Paper: sheet.A4}))
		begin := pages[0]
		if kind == sheet.Call {
			begin = pages[1]
		}
		assert.Contains(t, begin, "Name000", kind)
		assert.LessOrEqual(t, len(pages), most, kind)
		text := strings.Join(pages, " ")
		for _, id := range s.Blocks[0].Entries[0].StepIn {
			assert.True(t, strings.Contains(text, "Name"+fmt.Sprintf("%03s", id[1:])), "%s in kind %d", id, kind)
		}
	}
}

// Names in every script come out of the print as they went in. Arabic and Hebrew are left to the
// page's own test: readers of PDF return them in the order of the eye.
func TestPrintHoldsEveryName(t *testing.T) {
	e, s := quay()
	printed := printer(t)
	needs.Font(t, "zh")
	for kind, pages := range map[sheet.Kind]int{sheet.Call: 5, sheet.Reader: 3, sheet.Finder: 1, sheet.Cards: 3, sheet.Chart: 1} {
		for _, language := range []string{"en", "ar", "zh"} {
			print := printed(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML, Paper: sheet.A4, Language: language}))
			text := strings.Join(strings.Fields(strings.Join(print, " ")), " ")
			text = strings.ReplaceAll(text, "- ", "-") // a name may be parted at its hyphen
			for _, p := range e.People {
				if p.ID != "karim" && p.ID != "noa" {
					assert.Contains(t, text, p.Name, "kind %d in %s", kind, language)
				}
			}
			assert.NotContains(t, text, secret)
			assert.LessOrEqual(t, len(print), pages, "kind %d in %s", kind, language)
		}
	}
}
