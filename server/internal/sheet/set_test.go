package sheet_test

import (
	"context"
	"flag"
	"log/slog"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/drawing"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

var (
	shots     = flag.String("shots", "", "TestFullSet writes the sheets of the demo events as PDF into this folder")
	languages = flag.String("languages", "en", "in which languages it does")
)

// printed are the sheets on paper: the full set. The call sheet begins with the pocket list, which is counted there and not
// printed once more.
var printed = map[string]sheet.Kind{
	"call": sheet.Call, "reader": sheet.Reader, "finder": sheet.Finder, "cards": sheet.Cards, "chart": sheet.Chart, "standing": sheet.Standing,
	"planner": sheet.Planner,
}

// demo plans one of the demo events and places everybody.
func demo(t *testing.T, name string) (event.Event, event.CallSheet) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", name+".yaml"))
	require.NoError(t, err)
	e, _, err := intake.Read(raw, intake.YAML)
	require.NoError(t, err)
	s, err := planning.Plan(t.Context(), e, planning.Options{Work: 10})
	require.NoError(t, err)
	require.NoError(t, drawing.Places(t.Context(), e, &s, func(ctx context.Context) (context.Context, func(), error) { return ctx, func() {}, nil }, slog.New(slog.DiscardHandler)))
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			require.NotNil(t, entry.Standing, "%s has no picture", entry.Title)
		}
	}
	return e, s
}

// measure reads a PDF with poppler: how many pages, and the smallest type in points, of the fonts that have a size: glyphs
// that Chromium draws by itself, such as bold ones of a script without a bold font, have none.
func measure(t *testing.T, pdf string) (pages int, smallest float64) {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), needs.Program(t, "pdftohtml"), "-xml", "-i", "-stdout", "-zoom", "3", pdf).Output()
	require.NoError(t, err)
	used := map[string]bool{}
	for _, m := range regexp.MustCompile(`<text [^>]*font="(\d+)">`).FindAllStringSubmatch(string(out), -1) {
		used[m[1]] = true
	}
	smallest = math.Inf(1)
	for _, m := range regexp.MustCompile(`<fontspec id="(\d+)" size="(\d+)" family="[A-Z]{6}\+`).FindAllStringSubmatch(string(out), -1) {
		size, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		if used[m[1]] && size > 0 {
			smallest = min(smallest, size/3)
		}
	}
	return strings.Count(string(out), "<page "), smallest
}

// The full set of each demo event goes on few pages in every language, in type that can be read at a venue. Two tabs
// print at a time.
func TestFullSet(t *testing.T) {
	needs.Time(t)
	for name, most := range map[string]int{"harbour-wedding": 24, "valley-wedding": 40} {
		e, s := demo(t, name)
		tabs := make(chan func([]byte) string, 2) // a tab has its time: the plan comes first
		tabs <- pdfPrinter(t)
		tabs <- pdfPrinter(t)
		t.Run(name, func(t *testing.T) {
			for _, language := range wording.Languages() {
				t.Run(language, func(t *testing.T) {
					t.Parallel()
					print := <-tabs
					defer func() { tabs <- print }()
					pages := 0
					for kind, of := range printed {
						pdf := print(drawn(t, e, s, sheet.Options{Kind: of, Form: sheet.HTML, Paper: sheet.A4, Language: language}))
						pages += legible(t, kind, pdf)
						if *shots != "" && slices.Contains(strings.Split(*languages, ","), language) {
							raw, err := os.ReadFile(pdf)
							require.NoError(t, err)
							require.NoError(t, os.WriteFile(filepath.Join(*shots, name+"-"+kind+"-"+language+".pdf"), raw, 0o600))
						}
					}
					assert.LessOrEqual(t, pages, most)
				})
			}
		})
	}
}

// legible checks the type of a sheet that was printed, and counts its pages.
func legible(t *testing.T, kind, pdf string) int {
	t.Helper()
	n, smallest := measure(t, pdf)
	t.Logf("%s: %d pages, %.1f points", kind, n, smallest)
	least := 9.0
	if kind == "chart" {
		least = 7
	}
	assert.GreaterOrEqual(t, smallest, least, kind)
	return n
}

// lined is an event of so many groupings with names in several scripts, some of them long.
func lined(groupings int) (event.Event, event.CallSheet) {
	e, s := crowd(3*groupings, groupings, 5)
	for i := range s.Blocks[0].Entries {
		s.Blocks[0].Entries[i].Title = []string{"Amara & Théo with Hadi's household", "Both grandmothers", "陈美玲 and the attendants", "عائلة منصور"}[i%4]
	}
	for i := range e.People {
		e.People[i].Name = []string{"Nguyễn Minh Khôi", "Tomi Adeyemi-Holt", "林晓雨", "سلمى منصور"}[i%4]
	}
	e.Title = "Amara & Théo"
	return e, s
}

// The pocket list is one page of either paper: 26 lines at 12 points or more, 45 at 9 or more.
func TestPocketListIsOnePage(t *testing.T) {
	print := pdfPrinter(t)
	for groupings, least := range map[int]string{26: "p12", 45: "p9"} {
		for name, paper := range papers {
			for _, language := range []string{"en", "de", "ar", "zh"} {
				e, s := lined(groupings)
				page := drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.HTML, Paper: paper, Language: language})
				pages, smallest := measure(t, print(page))
				assert.Equal(t, 1, pages, "%d on %s in %s", groupings, name, language)
				assert.GreaterOrEqual(t, smallest, 9.0)
				size := regexp.MustCompile(`class="pocket (p\d+) `).FindStringSubmatch(string(page))[1]
				if least == "p12" {
					assert.Contains(t, []string{"p12", "p13"}, size, "%d on %s in %s", groupings, name, language)
				}
			}
		}
	}
}

// What is in the pocket says until when a time slot lasts for sure, not only until when it is likely to.
func TestPocketListSaysUntilWhenForSure(t *testing.T) {
	e, s := quay()
	b := &s.Blocks[0]
	b.Start, b.Length, b.SafeLength = time.Date(2027, 6, 19, 15, 30, 0, 0, time.UTC), 29*time.Minute, 38*time.Minute
	sure := func(form sheet.Form) string {
		return strings.Join(strings.Fields(string(drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: form}))), " ")
	}
	assert.Regexp(t, `\d\d:\d\d to \d\d:59 \(allow until \d\d:08\)`, sure(sheet.Text))
	assert.Regexp(t, `to \d\d:59 \(allow until \d\d:08\)`, sure(sheet.HTML))
	b.SafeLength = b.Length
	assert.NotContains(t, sure(sheet.Text), "allow until")
	b.Start, b.SafeLength = time.Time{}, 38*time.Minute
	assert.Contains(t, sure(sheet.Text), "(allow 38 min)")
}

// No name is parted at the end of a line, whatever title it stands in.
func TestTitlesKeepNamesTogether(t *testing.T) {
	e, s := quay()
	s.Blocks[0].Entries[0].Title = "Amara & Duarte Sequeira"
	for _, kind := range []sheet.Kind{sheet.Pocket, sheet.Call, sheet.Reader, sheet.Cards, sheet.Standing} {
		assert.Contains(t, page(t, e, s, kind), `Amara &amp; <span class="n">Duarte Sequeira</span></bdi>`, kind)
	}
}
