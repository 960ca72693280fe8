package intake

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/table"
	"kinorder.example/server/internal/needs"
)

// tableParts is what tables hold of an event.
func tableParts(e event.Event) event.Event {
	return event.Event{Sides: e.Sides, People: e.People, Circles: e.Circles, Groupings: e.Groupings}
}

// wholeRoundTrip writes an event as a workbook and as one CSV file, and reads back all of it.
func wholeRoundTrip(t *testing.T, e event.Event) {
	t.Helper()
	book, err := WriteXLSX(e)
	require.NoError(t, err)
	got, err := ReadFile(t.Context(), book, Options{})
	require.NoError(t, err)
	require.Equal(t, e, got.Event, "workbook:\n%s", listing(got.Problems))
	file, err := WriteCSV(e, WholeTable)
	require.NoError(t, err)
	standardCSV(t, file)
	got, err = ReadFile(t.Context(), file, Options{})
	require.NoError(t, err)
	require.Equal(t, e, got.Event, "one file:\n%s\n%s", file, listing(got.Problems))
	// As a spreadsheet with semicolons writes it back.
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(file, []byte("\uFEFF")))).ReadAll()
	if err == nil {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = ';'
		require.NoError(t, w.WriteAll(rows))
		got, err = ReadFile(t.Context(), b.Bytes(), Options{})
		require.NoError(t, err)
		require.Equal(t, e, got.Event, "with semicolons:\n%s", listing(got.Problems))
	}
}

// A field that is added to the contract and not carried by tables fails here: fullEvent has it.
func TestTablesCarryEveryField(t *testing.T) {
	e := fullEvent(t)
	e.People[0].PrivateNote = "two\nlines" // the spaces around a cell do not count
	wholeRoundTrip(t, e)
}

// roundTrip writes an event in every form of table, reads it back and compares.
func roundTrip(t *testing.T, e event.Event) {
	t.Helper()
	want := tableParts(e)
	book, err := WriteXLSX(e)
	require.NoError(t, err)
	got, err := ReadFile(t.Context(), book, Options{})
	require.NoError(t, err)
	require.Equal(t, want, tableParts(got.Event), "workbook:\n%s", listing(got.Problems))

	people, err := WriteCSV(e, PeopleTable)
	require.NoError(t, err)
	got, err = ReadFile(t.Context(), people, Options{Format: CSV})
	require.NoError(t, err)
	require.Equal(t, want.People, got.Event.People, "people:\n%s", listing(got.Problems))

	groupings, err := WriteCSV(e, GroupingsTable)
	require.NoError(t, err)
	base := e
	base.Groupings = nil
	got, err = ReadFile(t.Context(), groupings, Options{Format: CSV, Base: base})
	require.NoError(t, err)
	require.Equal(t, want, tableParts(got.Event), "photographs:\n%s", listing(got.Problems))

	matrix, err := WriteCSV(e, MatrixTable)
	require.NoError(t, err)
	got, err = ReadFile(t.Context(), matrix, Options{Format: CSV, Table: MatrixTable})
	require.NoError(t, err)
	require.Equal(t, marked(e), marked(got.Event), "matrix:\n%s", listing(got.Problems))

	for _, kind := range []TableKind{PeopleTable, GroupingsTable, CirclesTable, MatrixTable} {
		content, err := WriteCSV(e, kind)
		require.NoError(t, err)
		standardCSV(t, content)
	}
}

// marked lists the photographs with the names of who is in each.
func marked(e event.Event) (out []string) {
	name := make(map[string]string)
	for _, p := range e.People {
		name[p.ID] = p.Name
	}
	taken, _ := event.Expand(e)
	for _, p := range taken {
		line := strings.NewReplacer("\u2068", "", "\u2069", "").Replace(p.Title) + ":"
		for _, id := range p.Members {
			line += " " + id + "=" + name[id]
		}
		out = append(out, line)
	}
	return out
}

// standardCSV checks a file with the parser of the standard library, which shares nothing with the writer:
// RFC 4180 with CRLF, every record as long as the first, and no cell that a spreadsheet would run.
func standardCSV(t *testing.T, content []byte) {
	t.Helper()
	text, ok := strings.CutPrefix(string(content), "\uFEFF")
	require.True(t, ok, "no byte order mark")
	require.True(t, strings.HasSuffix(text, "\r\n"))
	r := csv.NewReader(strings.NewReader(text))
	records, err := r.ReadAll()
	require.NoError(t, err)
	for _, rec := range records {
		for _, cell := range rec {
			if cell != "" {
				require.NotContains(t, "=+-@\t\r", cell[:1], "a spreadsheet would run %q", cell)
			}
		}
	}
}

func TestTablesRoundTripDemoEvents(t *testing.T) {
	for _, name := range []string{"harbour-wedding.yaml", "valley-wedding.yaml", "lists/A4.event.yaml"} {
		t.Run(name, func(t *testing.T) {
			content, err := os.ReadFile(filepath.Join(demos, name))
			require.NoError(t, err)
			e, _, err := Read(content, YAML)
			require.NoError(t, err)
			roundTrip(t, e)
			wholeRoundTrip(t, e)
		})
	}
}

func TestTablesRoundTripRandomEvents(t *testing.T) {
	needs.Time(t)
	random := rand.New(rand.NewPCG(4, 18))
	for round := range 25 {
		e := people(random)
		t.Run(fmt.Sprint(round), func(t *testing.T) { roundTrip(t, e); wholeRoundTrip(t, day(e, random)) })
	}
}

// RandomEvent is an event with a day, of names and texts that are hard to write down.
func RandomEvent(random *rand.Rand) event.Event { return day(people(random), random) }

// people are an event without a day.
func people(random *rand.Rand) event.Event {
	odd := []string{"=SUM(A1:A9)", "+44 Ana", "-", "@home", "'tis", "''", "'=1", "Ana \"Nana\" Ruiz", "O'Dell, Siobhán", "a\u00a0b", "A|B", "林 伟", "Total", "Name", "x", "no"}
	var e event.Event
	for i := range 1 + random.IntN(3) {
		e.Sides = append(e.Sides, event.Side{ID: fmt.Sprintf("s%d", i), Label: fmt.Sprintf("Side %d's side", i)})
	}
	for i := range 3 + random.IntN(12) {
		name := invented[random.IntN(len(invented))] + fmt.Sprint(" ", random.IntN(3))
		if random.IntN(4) == 0 {
			name = odd[random.IntN(len(odd)-4)] + " Q"
		}
		p := event.Person{ID: fmt.Sprintf("p%d", i), Name: name, AgeBand: event.AgeBand(random.IntN(4)), Absent: random.IntN(9) == 0}
		if i < len(e.Sides) {
			p.Side = e.Sides[i].ID // a side without people is in no table
		}
		if random.IntN(2) == 0 {
			p.Relation, p.HeightCM, p.SayAs = "sister's husband", 170, "=HELLO"
			p.Needs = []event.Need{event.Seat, event.StepFree}
			p.ReleaseWeight = ptr(random.IntN(5))
			p.PrivateNote = "-two\nlines, \"quoted\"; and more"
			p.Nicknames = []string{fmt.Sprintf("@nick%d", i), "Tee"}
			p.PresentFrom, p.Presence = "15:30", []event.Span{{From: "15:30", Until: "16:00"}, {From: "17:00"}}
		}
		e.People = append(e.People, p)
	}
	some := func() []string {
		var ids []string
		for _, k := range random.Perm(len(e.People))[:1+random.IntN(len(e.People))] {
			ids = append(ids, e.People[k].ID)
		}
		return ids
	}
	for i := range random.IntN(4) {
		c := event.Circle{ID: fmt.Sprintf("c%d", i), Title: fmt.Sprintf("=Circle & %d", i%2), Members: some(), Leader: e.People[0].ID}
		if i > 0 {
			c.Members = append(c.Members, e.Circles[i-1].ID)
		}
		e.Circles = append(e.Circles, c)
	}
	for i := range 1 + random.IntN(6) {
		g := event.Grouping{ID: fmt.Sprintf("g%d", i), Title: "Photo " + odd[random.IntN(len(odd))], Members: some(), Priority: event.Priority(random.IntN(3)), Pin: event.Pin(random.IntN(3))}
		if len(e.Circles) > 0 {
			g.Members = append(g.Members, e.Circles[0].ID)
			if random.IntN(3) == 0 {
				g.EachOf, g.Without = e.Circles[0].ID, some()
			}
		}
		if random.IntN(2) == 0 {
			g.Minutes, g.Frames, g.After, g.NotBefore, g.PrivateNote = ptr(2.5), 7, []string{"g0"}, "15:30", "=note"
		}
		e.Groupings = append(e.Groupings, g)
	}
	return e
}

// day puts a day around an event, with texts that a spreadsheet would take for formulas.
func day(e event.Event, random *rand.Rand) event.Event {
	e.Title, e.Date, e.TimeZone = "=1+1", "2027-05-15", "Europe/Lisbon"
	e.Emphasis, e.Confidence = event.Emphasis(random.IntN(3)), 50+random.IntN(50)
	for i := range random.IntN(4) {
		b := event.Block{ID: fmt.Sprintf("b%d", i), Title: "+block", Place: fmt.Sprintf("@place; %d", i), Opens: "15:30", StepFree: i%2 == 0}
		if random.IntN(2) == 0 {
			b.Closes, b.Photographer, b.Capacity, b.Latitude = "2027-05-16T00:30:00+01:00", "-V, \"V\"", 1+random.IntN(50), ptr(-38.5)
			b.Space = event.Space{WidthCM: 500, Kneeling: true, Steps: random.IntN(3)}
		}
		e.Blocks = append(e.Blocks, b)
	}
	for i := range random.IntN(4) {
		r := event.Rule{PrivateNote: "=note\nof two lines; 'quoted'"}
		who := []string{e.People[0].ID, e.People[1].ID}
		switch i {
		case 0:
			r.ID, r.Apart = "r0", &event.Apart{People: who, Scope: event.ApartScope(random.IntN(3)), Until: "16:00"}
		case 1:
			r.Turns = &event.Turns{People: who}
		default:
			r.Seniority = &event.Seniority{People: who}
		}
		e.Rules = append(e.Rules, r)
	}
	for i := range random.IntN(3) {
		e.Walks = append(e.Walks, event.Walk{From: "=a", To: "'b", Minutes: i})
	}
	if random.IntN(2) == 0 {
		e.Pace.Arrange = []event.ArrangePoint{{Newcomers: 0, Seconds: 0}, {Newcomers: 3, Seconds: 20}}
		e.Weights.Idle = ptr(0)
		e.Kit.Lenses = []event.Lens{{Title: "=zoom", FocalMM: 24.5}, {FocalMM: 85}}
	}
	return e
}

// TestMessyTables reads our own messy tables and compares with the golden files beside them.
func TestMessyTables(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(demos, "messy", "*.csv"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			content, err := os.ReadFile(name)
			require.NoError(t, err)
			got, err := ReadFile(t.Context(), content, Options{})
			require.NoError(t, err)
			translated(t, got.Problems)
			text, _ := decode(content)
			accountedRows(t, text, got)
			golden(t, strings.TrimSuffix(name, ".csv")+".table.golden.yaml", report(got))
		})
	}
}

// accountedRows requires that every row with anything in it is used, asked about, reported or a ruler.
func accountedRows(t require.TestingT, text string, got Reading) {
	uses := make(map[int]bool)
	for _, l := range got.Lines {
		uses[l.Number] = true
	}
	if refusedWhole(got) || len(got.Problems) > 0 && got.Problems[0].Code == event.CodeTooMany {
		return
	}
	g, _, err := table.ReadCSV(text)
	if err != nil {
		return
	}
	for k, row := range g.Rows {
		if strings.Join(row, "") != "" && strings.TrimFunc(strings.Join(row, ""), func(r rune) bool { return !isWord(r) }) != "" {
			require.True(t, uses[g.Lines[k]], "row %d is lost: %q", g.Lines[k], row)
		}
	}
}

func isWord(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsDigit(r)
}

// A workbook as people make it: a title merged over the table, merged sides, blank rows, a total.
func TestReadWorkbookWithMergedCells(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Guest list"))
	for y, row := range [][]any{
		{"Guests of Ada & Bram"},
		{},
		{"Name", "Side", "Relation", "Age"},
		{"Ada Noor", "Ada's side", "bride", 31},
		{"Rosa Noor", nil, "grandmother", 84},
		{},
		{"Bram Ek", "Bram's side", "groom", 33},
		{"Nils Ek", nil, "brother", 9},
		{"Total", 4},
	} {
		at, err := excelize.CoordinatesToCellName(1, y+1)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Guest list", at, &row))
	}
	require.NoError(t, f.MergeCell("Guest list", "A1", "D1"))
	require.NoError(t, f.MergeCell("Guest list", "B4", "B5"))
	require.NoError(t, f.MergeCell("Guest list", "B7", "B8"))
	_, err := f.NewSheet("Photos")
	require.NoError(t, err)
	for y, row := range [][]any{{"Photo", "Who", "Priority"}, {"Everyone", "everyone", "must"}, {"Grandmother", "Couple + Rosa"}, {"", "Bram's siblings and the couple", "if time"}} {
		at, err := excelize.CoordinatesToCellName(1, y+1)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Photos", at, &row))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	got, err := ReadFile(t.Context(), b.Bytes(), Options{})
	require.NoError(t, err)
	for _, p := range got.Problems {
		assert.NotEqual(t, event.Error, p.Severity, p.Text())
	}
	e := got.Event
	require.Len(t, e.People, 4)
	assert.Equal(t, e.People[0].Side, e.People[1].Side)
	assert.Equal(t, e.People[2].Side, e.People[3].Side)
	assert.NotEqual(t, e.People[0].Side, e.People[2].Side)
	assert.Equal(t, []event.AgeBand{event.Adult, event.Elder, event.Adult, event.Child}, []event.AgeBand{e.People[0].AgeBand, e.People[1].AgeBand, e.People[2].AgeBand, e.People[3].AgeBand})
	require.Len(t, e.Groupings, 3)
	assert.Equal(t, []string{"Ada Noor", "Bram Ek", "Nils Ek", "Rosa Noor"}, namesIn(e, e.Groupings[0]))
	assert.Equal(t, []string{"Ada Noor", "Bram Ek", "Rosa Noor"}, namesIn(e, e.Groupings[1]))
	assert.Equal(t, []string{"Ada Noor", "Bram Ek", "Nils Ek"}, namesIn(e, e.Groupings[2]))
	assert.Equal(t, event.Must, e.Groupings[0].Priority)
	assert.Equal(t, event.Nice, e.Groupings[2].Priority)
}

func TestReadTableWithMapping(t *testing.T) {
	content := "Col1;Col2;Col3\nRosa;Oma;84\nSven;Onkel;50\n"
	got, err := ReadFile(t.Context(), []byte(content), Options{Format: CSV, Table: PeopleTable, Columns: map[string]string{"name": "Col1", "relation": "B", "ageBand": "Col3"}})
	require.NoError(t, err)
	require.Len(t, got.Event.People, 2)
	assert.Equal(t, event.Person{ID: "rosa", Name: "Rosa", Relation: "Oma", AgeBand: event.Elder}, got.Event.People[0])
	got, err = ReadFile(t.Context(), []byte(content), Options{Format: CSV, Columns: map[string]string{"name": "Gast"}})
	require.NoError(t, err)
	assert.Contains(t, listing(got.Problems), `There is no column "Gast" for name`)
}

// A heading with commas over lines without any makes no table of a list.
func TestListIsNoTable(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Nell & Otto\n\nwho is who\nA = bride and groom (Nell, Otto)\nB = Nell's mum, Ida\nC = brothers Max, Pete\n\nshots, in this order. star = really want it\n1 - A + B *\n2 - Nell with C\n3 - everybody\n"), Options{})
	require.NoError(t, err)
	assert.Len(t, got.Event.Groupings, 3)
}

// Encodings and delimiters that spreadsheets write.
func TestReadCSVVariants(t *testing.T) {
	want := []event.Person{{ID: "ines", Name: "Inês", Relation: "tia"}, {ID: "bjork-oberg", Name: "Björk Öberg", Relation: "prima", PrivateNote: "\"a alta\""}}
	comma := "Name,Relation\r\nInês,tia\r\nBjörk Öberg,\"prima, \"\"a alta\"\"\"\r\n"
	latin := strings.NewReplacer("ê", "\xea", "ö", "\xf6", "Ö", "\xd6").Replace(comma)
	utf16 := []byte{0xff, 0xfe}
	for _, r := range strings.ReplaceAll(comma, "Relation\r\n", "Relation\r\n") {
		utf16 = append(utf16, byte(r), byte(r>>8))
	}
	for name, content := range map[string]string{
		"comma":        comma,
		"mark":         "\uFEFF" + comma,
		"line feeds":   strings.ReplaceAll(comma, "\r\n", "\n"),
		"for a Mac":    strings.ReplaceAll(comma, "\r\n", "\r"),
		"semicolon":    strings.NewReplacer("Name,", "Name;", "Inês,", "Inês;", "Öberg,", "Öberg;").Replace(comma),
		"tab":          strings.NewReplacer("Name,", "Name\t", "Inês,", "Inês\t", "Öberg,", "Öberg\t").Replace(comma),
		"sep":          "sep=;\r\n" + strings.NewReplacer("Name,", "Name;", "Inês,", "Inês;", "Öberg,", "Öberg;").Replace(comma),
		"Windows-1252": latin,
		"UTF-16":       string(utf16),
		"blank rows":   "\r\n\r\n" + strings.ReplaceAll(comma, "tia\r\n", "tia\r\n,\r\n,\r\n"),
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadFile(t.Context(), []byte(content), Options{})
			require.NoError(t, err)
			assert.Equal(t, want, got.Event.People, listing(got.Problems))
		})
	}
}
