package web

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/upload"
)

// small is a list of four people and four photographs; the best order of them is found at once.
const small = `title: Small party
date: 2027-07-03
people:
  - {id: ann, name: Ann}
  - {id: bo, name: Bo}
  - {id: cleo, name: Cléo, privateNote: LAPWING}
  - {id: dag, name: داغ, relation: grandfather, ageBand: elder}
circles:
  - {id: sisters, title: The sisters, members: [ann, cleo]}
groupings:
  - {id: g-all, title: Everybody, members: [ann, bo, cleo, dag]}
  - {id: g-sisters, title: The sisters, members: [sisters], privateNote: LAPWING}
  - {id: g-dag, title: Bo with Dag, members: [bo, dag]}
  - {id: g-ann, title: Ann alone, members: [ann]}
blocks:
  - {id: lawn, title: On the lawn, opens: "15:00", closes: "15:30"}
`

// order lists the titles of the plan on a page.
func (p page) order() []string {
	var out []string
	each(p.root, func(n *html.Node) {
		if n.Data == "ol" && attribute(n, "class") == "order" {
			each(n, func(h *html.Node) {
				if h.Data == "h3" {
					out = append(out, strings.TrimSpace(textOfNode(h)))
				}
			})
		}
	})
	return out
}

func (p page) has(text string) bool { return strings.Contains(p.text(), text) }

func (v visitor) readSmall() page {
	v.Helper()
	return v.press(v.get("/"), "read", map[string]string{"text": small})
}

func (v visitor) planSmall() page {
	v.Helper()
	return v.press(v.readSmall(), "plan", nil)
}

func TestFromAListToAPrint(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": strings.Replace(small, "[sisters]", "[sister]", 1)})
	assert.Equal(t, []string{"1 thing to fix before planning"}, p.titles("h1"))
	assert.True(t, p.has(`There is no person or group with the id "sister": did you mean "sisters"?`), p.text())

	p = v.press(p, "plan", nil)
	assert.True(t, p.has("There is no plan yet"), "a plan has to wait")

	fields := fieldsOf(p.root)
	assert.Contains(t, fields["line.12"], "[sister]")
	p = v.press(p, "read", map[string]string{"line.12": strings.Replace(fields["line.12"], "[sister]", "[sisters]", 1)})
	assert.Equal(t, []string{"Everything in your list was understood"}, p.titles("h1"))

	p = v.press(p, "plan", nil)
	require.Len(t, p.order(), 4)
	assert.True(t, p.has("This is the best order for"), p.text())
	best := p.order()

	p = v.press(p, "down:"+idOf(best[0]), nil)
	assert.Equal(t, []string{best[1], best[0], best[2], best[3]}, p.order())
	assert.Regexp(t, `Step-ins: [+−±]\d+, [+−±]\d+(\.5)? min compared with the best order\. Locked: 1\.`, p.text())

	sheet := v.press(p, "/sheet", map[string]string{"paper": "a4"})
	assert.Equal(t, http.StatusOK, sheet.Code)
	assert.Equal(t, []string{best[1], best[0], best[2], best[3]}, sheet.titles("h3"), "the order of the hand is printed")
	assert.Contains(t, sheet.Body.String(), "داغ")
}

// The heading says that all was understood only where it was.
func TestTheHeadingIsTrue(t *testing.T) {
	v := visit(t, planning.Plan)
	list := "Wedding of Mara and Ilyas\n\nCouple with Vera\nCouple with Tom\n"
	for text, want := range map[string]string{
		list: "Everything in your list was understood",
		list + "Nobody knows why the lanterns went out before noon\n": "You can plan, with 1 thing to check",
	} {
		p := v.press(v.get("/"), "read", map[string]string{"text": text})
		assert.Equal(t, []string{want}, p.titles("h1"), p.text())
	}
}

// A table may have nothing in a row but the circle of which everybody is taken alone. It is read as a page, with and
// without the people that it speaks of.
func TestATableOfEachOfACircle(t *testing.T) {
	v := visit(t, planning.Plan)
	const row = "[Photographs]\nPhotograph,People,Each of\n,,K\n"
	for text, want := range map[string]string{
		"[People]\nName\nAnn\nBo\n[Circles]\nTitle,Members\nK,Ann; Bo\n" + row: "Everything in your list was understood",
		"Photograph,People,Each of\n,,K\n":                                     "2 things to fix before planning",
	} {
		for _, field := range []string{"text", "file"} {
			p := v.press(v.get("/"), "read", map[string]string{field: text})
			assert.Equal(t, http.StatusOK, p.Code)
			assert.Equal(t, []string{want}, p.titles("h1"), p.text())
		}
	}
}

func TestTheDayIsSetByFields(t *testing.T) {
	v := visit(t, planning.Plan)
	bare, _, _ := strings.Cut(small, "blocks:")
	p := v.press(v.get("/"), "read", map[string]string{"text": bare})
	p = v.press(p, "add-block", map[string]string{"block.0.title": "On the lawn", "block.0.opens": "15:00", "block.0.closes": "15:30", "block.0.place": "Lawn"})
	p = v.press(p, "add-rule", map[string]string{"block.1.title": "Indoors", "block.1.opens": "16:00", "block.1.place": "Hall", "block.1.capacity": "3"})
	p = v.press(p, "read", map[string]string{
		"walk.0.minutes": "5", "rule.0.kind": "apart", "rule.0.scope": "neighbours", "rule.0.who.0": "Bo", "rule.0.who.1": "Clea", "rule.0.note": secret,
	})
	assert.True(t, p.has(`Nobody on the list is called "Clea". Did you mean Cléo?`), p.text())
	p = v.press(p, "read", map[string]string{"rule.0.who.1": "cleo"})
	assert.Equal(t, []string{"Everything in your list was understood"}, p.titles("h1"), p.text())
	assert.Equal(t, secret, fieldsOf(p.root)["rule.0.note"], "the planner keeps the note")

	saved := v.press(v.press(p, "plan", nil), "/save", map[string]string{"file-kind": "event"})
	e, problems, err := intake.Read(saved.Body.Bytes(), intake.YAML)
	require.NoError(t, err)
	assert.False(t, hasErrors(problems))
	assert.Equal(t, []event.Rule{{Apart: &event.Apart{People: []string{"bo", "cleo"}, Scope: event.Neighbours}, PrivateNote: secret}}, e.Rules)
	assert.Equal(t, []event.Walk{{From: "Lawn", To: "Hall", Minutes: 5}}, e.Walks)
	require.Len(t, e.Blocks, 2)
	assert.Equal(t, event.Block{ID: "block-2", Title: "Indoors", Place: "Hall", Opens: "16:00", Capacity: 3}, e.Blocks[1])

	p = v.press(p, "drop-rule:0", nil)
	p = v.press(p, "drop-block:1", map[string]string{"block.0.capacity": "few"})
	assert.True(t, p.has("Room for how many people is not a whole number: write digits only."), p.text())
	assert.NotContains(t, p.Body.String(), "rule.0.who.0")
	assert.NotContains(t, p.Body.String(), "Indoors")
}

func hasErrors(problems []intake.Problem) bool {
	for _, p := range problems {
		if p.Severity == event.Error {
			return true
		}
	}
	return false
}

// A block that the list relies on is taken out by a button: the line that needs it is told of.
func TestAChangeOfTheDayBearsOnTheList(t *testing.T) {
	v := visit(t, planning.Plan)
	list := strings.Replace(small, "members: [ann]}", "members: [ann], blocks: [lawn]}", 1)
	p := v.press(v.get("/"), "read", map[string]string{"text": list})
	assert.Equal(t, []string{"Everything in your list was understood"}, p.titles("h1"))
	p = v.press(p, "drop-block:0", nil)
	assert.True(t, p.has(`"lawn"`), p.text())
	assert.NotEqual(t, []string{"Everything in your list was understood"}, p.titles("h1"))
}

// When the list says something new of the day, the fields follow.
func TestANewListBringsItsDay(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.readSmall(), "read", map[string]string{"text": strings.Replace(small, "15:30", "15:50", 1)})
	assert.Equal(t, "15:50", fieldsOf(p.root)["block.0.closes"])
	assert.True(t, p.has("The list says something new about the day"))
}

func TestAFileTakesThePlaceOfTheList(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": "nothing", "file": "\uFEFF" + small})
	assert.Equal(t, []string{"Everything in your list was understood"}, p.titles("h1"))
	assert.Equal(t, strings.TrimSuffix(small, "\n"), strings.TrimSuffix(fieldsOf(p.root)["text"], "\n"))
	p = v.press(p, "read", map[string]string{"file": "PK\x03\x04 no spreadsheet"})
	assert.True(t, p.has("The file was not used."), p.text())
	assert.Contains(t, fieldsOf(p.root)["text"], "Small party", "the list is still there")
}

// Older programs write Windows-1252 or UTF-16: é is the byte E9 in the one, E9 00 in the other (Unicode
// Consortium, CP1252.TXT; RFC 2781).
func TestFilesOfOlderPrograms(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"file": "Cl\xe9o and Bo"})
	assert.Equal(t, "Cléo and Bo", fieldsOf(p.root)["text"])
	assert.True(t, p.has("read as Windows-1252"))
	p = v.press(v.get("/"), "read", map[string]string{"file": "\xff\xfeC\x00l\x00\xe9\x00o\x00"})
	assert.Equal(t, "Cléo", fieldsOf(p.root)["text"])
}

// The example becomes a plan with one question answered by choosing.
func TestTheExampleBecomesAPlan(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/example"), "read", nil)
	assert.Equal(t, []string{"1 thing to fix before planning"}, p.titles("h1"))
	assert.True(t, p.has("Which “Rosa” do you mean"), p.text())
	assert.True(t, p.has("lines: 20 understood") || p.has(" understood, 1 needs your answer."), p.text())
	var asked string
	for name := range fieldsOf(p.root) {
		if rest, ok := strings.CutPrefix(name, "asked."); ok {
			asked = rest
		}
	}
	p = v.press(p, "plan", map[string]string{"answer." + asked: "Rosa Lima"})
	assert.Len(t, p.order(), 9, p.text())
	assert.Contains(t, fieldsOf(p.root)["text"], "8. Couple + Rosa Lima")
}

// Lists as people really write them: each is read into a page, every line that is asked about or not
// used stands there with its number.
func TestMessyListsAreShown(t *testing.T) {
	needs.Time(t)
	v := visit(t, planning.Plan)
	files, err := filepath.Glob(filepath.Join("..", "..", "..", "testdata", "messy", "*.txt"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		raw, err := os.ReadFile(name)
		require.NoError(t, err)
		p := v.press(v.get("/"), "read", map[string]string{"file": string(raw)})
		require.Equal(t, http.StatusOK, p.Code, name)
		text, _, _, err := upload.Text(t.Context(), raw, nil)
		require.NoError(t, err)
		got, err := intake.ReadFile(t.Context(), []byte(text), intake.Options{})
		require.NoError(t, err)
		for _, l := range got.Lines {
			if l.Use == place.Asked || l.Use == place.Reported {
				beside := strings.Contains(p.Body.String(), fmt.Sprintf(`id="line.%d"`, l.Number))
				assert.True(t, beside || p.has(fmt.Sprintf("Line %d:", l.Number)), "%s: line %d", name, l.Number)
			}
		}
	}
}

// Every label belongs to a field, and every field has one.
func TestFieldsHaveLabels(t *testing.T) {
	v := visit(t, planning.Plan)
	list := v.press(v.press(v.get("/"), "read", map[string]string{"text": strings.Replace(harbour(t), "a-grandparents]", "nobody]", 1)}), "add-rule", nil)
	for name, p := range map[string]page{"start": v.get("/"), "list": list, "plan": v.planSmall()} {
		labelled, ids := map[string]bool{}, map[string]int{}
		each(p.root, func(n *html.Node) {
			if n.Data == "label" {
				labelled[attribute(n, "for")] = true
				each(n, func(in *html.Node) {
					if in.Data == "input" {
						labelled[attribute(in, "name")+attribute(in, "value")] = true
					}
				})
			}
			if id := attribute(n, "id"); id != "" {
				ids[id]++
			}
		})
		each(p.root, func(n *html.Node) {
			field := n.Data == "input" && attribute(n, "type") != "hidden" || n.Data == "select" || n.Data == "textarea"
			if field && !labelled[attribute(n, "id")] && !labelled[attribute(n, "name")+attribute(n, "value")] {
				t.Errorf("%s: %s has no label", name, attribute(n, "name"))
			}
			if said := attribute(n, "aria-describedby"); said != "" {
				assert.Equal(t, 1, ids[said], "%s: %s is described by %s", name, attribute(n, "name"), said)
			}
		})
		for id, n := range ids {
			assert.Equal(t, 1, n, "%s: the id %s", name, id)
		}
	}
}

// What the page has no field for stays as the list says, and the fields of place and camera are carried
// through to the saved list and the plan.
func TestPlaceAndCameraAreSetByFields(t *testing.T) {
	v := visit(t, planning.Plan)
	bare, _, _ := strings.Cut(small, "blocks:")
	list := bare + `
kit: {sensorWidthMm: 36, sensorHeightMm: 24, lenses: [{focalMm: 35, widest: 2}]}
blocks:
  - {id: lawn, title: On the lawn, opens: "19:30", closes: "20:30", light: dim, latitude: 38.7, longitude: -9.4}
`
	p := v.press(v.get("/"), "read", map[string]string{"text": list})
	p = v.press(p, "read", map[string]string{"zone": "Europe/Lisbon", "latitude": "38.71", "longitude": "west", "block.0.facing": "ESE", "block.0.standback": "650"})
	assert.True(t, p.has("The longitude is not a number of degrees"), p.text())
	p = v.press(p, "read", map[string]string{"longitude": "-9.41", "block.0.firm": "1", "block.0.overrun": "-1"})
	assert.Contains(t, p.Body.String(), `href="#block.0.overrun"`)
	p = v.press(p, "read", map[string]string{"block.0.overrun": "3"})
	assert.Equal(t, []string{"Everything in your list was understood"}, p.titles("h1"), p.text())
	p = v.press(p, "plan", nil)
	assert.True(t, p.has("behind the camera"), p.text())
	assert.True(t, p.has("looking into the sun"), p.text())
	assert.True(t, p.has("Lens: 35 mm"), p.text())
	saved := v.press(p, "/save", map[string]string{"file-kind": "event"})
	e, problems, err := intake.Read(saved.Body.Bytes(), intake.YAML)
	require.NoError(t, err)
	assert.False(t, hasErrors(problems))
	require.Len(t, e.Blocks, 1)
	b := e.Blocks[0]
	assert.Equal(t, event.DimLight, b.Light)
	assert.Equal(t, "ESE", b.Facing)
	assert.Equal(t, 650, b.StandBackCM)
	assert.Equal(t, event.FirmClosing, b.Closing)
	require.NotNil(t, b.Overrun)
	assert.Equal(t, 3, *b.Overrun)
	require.NotNil(t, b.Latitude)
	assert.InDelta(t, 38.7, *b.Latitude, 1e-9)
	require.NotNil(t, e.Longitude)
	assert.InDelta(t, -9.41, *e.Longitude, 1e-9)
	assert.Len(t, e.Kit.Lenses, 1)
}

// Each photograph of the plan leads to its picture of who stands where, by a button of the form alone; what
// a block of the list says and no field shows stays with it.
func TestWhoStandsWhere(t *testing.T) {
	v := visit(t, planning.Plan)
	list := strings.Replace(small, `closes: "15:30"}`, `closes: "15:30", light: dim, space: {widthCm: 700, chairs: 4}}`, 1)
	p := v.press(v.press(v.get("/"), "read", map[string]string{"text": list}), "plan", nil)
	assert.Contains(t, p.Body.String(), `formaction="/sheet#n2"`)
	sheet := v.press(p, "/sheet", map[string]string{"stand": "standing"})
	require.Equal(t, http.StatusOK, sheet.Code)
	assert.Equal(t, 4, strings.Count(sheet.Body.String(), "<svg"))
	assert.NotContains(t, sheet.Body.String(), "style=", "the policy lets no style in")
	file := v.press(p, "/save", map[string]string{"file-kind": "event"})
	assert.Contains(t, file.Body.String(), "light: dim")
	assert.Contains(t, file.Body.String(), "space: {widthCm: 700, chairs: 4}")
	p = v.press(v.get("/"), "read", map[string]string{"text": list})
	p = v.press(p, "plan", map[string]string{"block.0.width": "650", "block.0.steps": "1", "block.0.kneeling": "1"})
	assert.True(t, p.has("The space has steps but no height for them"), p.text())
	p = v.press(p, "plan", map[string]string{"block.0.step": "17"})
	file = v.press(p, "/save", map[string]string{"file-kind": "event"})
	assert.Contains(t, file.Body.String(), "space: {widthCm: 650, kneeling: true, chairs: 4, steps: 1, stepCm: 17}")
}
