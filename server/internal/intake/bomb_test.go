package intake

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/peak"
)

// bareWorkbook packs a workbook of one sheet by hand: its rows, its shared texts, its styles, more sheets.
func bareWorkbook(t testing.TB, rows, shared, styles, more string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, 9) })
	put := func(name, s string) {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = io.WriteString(w, s)
		require.NoError(t, err)
	}
	put("[Content_Types].xml", `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`)
	put("_rels/.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`)
	put("xl/workbook.xml", `<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="S" sheetId="1" r:id="rId1"/>`+more+`</sheets></workbook>`)
	put("xl/_rels/workbook.xml.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="rId3" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`)
	put("xl/worksheets/sheet1.xml", `<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`+rows+`</sheetData></worksheet>`)
	if shared != "" {
		put("xl/sharedStrings.xml", `<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`+shared+`</sst>`)
	}
	if styles != "" {
		put("xl/styles.xml", `<?xml version="1.0"?><styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`+styles+`</styleSheet>`)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// bombs are small files that unpack to much, or come to much when they are read: beyond the limits, and just
// within them.
func bombs(t testing.TB) map[string]func() []byte {
	many := strings.Repeat
	book := func(rows, shared, styles, more string) func() []byte {
		return func() []byte { return bareWorkbook(t, rows, shared, styles, more) }
	}
	const text, number = `<row r="1"><c r="A1" t="s"><v>1</v></c></row>`, `<row r="1"><c r="A1" s="1"><v>1</v></c></row>`
	far := func(cell string) string {
		var b strings.Builder
		for i := range 4900 {
			fmt.Fprintf(&b, `<row r="%d">`+cell+`</row>`, i+1, i+1)
		}
		return b.String()
	}
	return map[string]func() []byte{
		"csv, a million cells":     func() []byte { return []byte("name,people\n" + many(many("x,", 999)+"x\n", 1000)) },
		"csv, a million rows":      func() []byte { return []byte("name,people\n" + many("a,b\n", 1_000_000)) },
		"csv, one endless row":     func() []byte { return []byte("name,people\n" + many("x,", 2_000_000)) },
		"csv, quotation marks":     func() []byte { return []byte("name,people\n" + many("\"", 4_000_000)) },
		"csv, within the limits":   func() []byte { return []byte("name,people\n" + many("Ann Lee,x\n", 4_990)) },
		"xlsx, a million cells":    book(many("<row>"+many("<c><v>1</v></c>", 1000)+"</row>", 700), "", "", ""),
		"xlsx, as many as allowed": book(many("<row>"+many("<c><v>12</v></c>", 40)+"</row>", 4_900), "", "", ""),
		"xlsx, empty cells":        book("<row>"+many("<c/>", 2_400_000)+"</row>", "", "", ""),
		"xlsx, empty cells within": book("<row>"+many("<c/>", 1_990_000)+"</row>", "", "", ""),
		"xlsx, far empty cells":    book(far(`<c r="XFD%d" s="1"/>`), "", "", ""),
		"xlsx, far cells":          book(far(`<c r="XFD%d"><v>1</v></c>`), "", "", ""),
		"xlsx, the last row":       book(`<row r="1048576"><c r="A1048576"><v>1</v></c></row>`, "", "", ""),
		"xlsx, shared texts":       book(text, many("<si/>", 2_400_000), "", ""),
		"xlsx, shared within":      book(text, many("<si/>", 390_000), "", ""),
		"xlsx, runs within":        book(text, "<si>"+many("<r><t/></r>", 190_000)+"</si>", "", ""),
		"xlsx, styles":             book(number, "", "<cellXfs>"+many("<xf/>", 2_400_000)+"</cellXfs>", ""),
		"xlsx, styles within":      book(number, "", "<cellXfs>"+many("<xf/>", 190_000)+"</cellXfs>", ""),
		"xlsx, sheets":             book(number, "", "", many(`<sheet name="q" sheetId="2" r:id="rId1"/>`, 250_000)),
		"xlsx, sheets within":      book(number, "", "", many(`<sheet name="q" sheetId="2" r:id="rId1"/>`, 5_000)),
		"xlsx, rows":               book(many("<row/>", 2_000_000), "", "", ""),
		"xlsx, attributes":         book(`<row r="1" `+many(`a="" `, 2_000_000)+`/>`, "", "", ""),
		"xlsx, depth":              book("<row>"+many("<c>", 2_000_000), "", "", ""),
	}
}

// file is a file to read.
type file struct {
	make   func() []byte
	format Format
}

// files are the bombs, and the hostile files of every kind in full length.
func files(t testing.TB) map[string]file {
	out := map[string]file{}
	for name, content := range bombs(t) {
		format := CSV
		if strings.HasPrefix(name, "xlsx") {
			format = XLSX
		}
		out[name] = file{content, format}
	}
	for name, line := range map[string]string{"list, a million lines": "a\n", "list, blank lines": "\n", "list, long lines": "Ann Lee, Bo Lee, Cy Lee and Di Lee\n"} {
		out[name] = file{func() []byte { return []byte(strings.Repeat(line, MaxContent/len(line))) }, List}
	}
	for _, kind := range hostileKinds {
		for _, s := range kind.shapes {
			name := kind.name + ", " + s.Name
			out[name] = file{func() []byte { return []byte(s.Make(kind.most)) }, kind.format}
			if kind.format == YAML || kind.format == JSON {
				out[name+" within"] = file{func() []byte { return uncrowded(s, kind.format, kind.most) }, kind.format}
			}
		}
	}
	return out
}

// uncrowded is as much of a shape as is read.
func uncrowded(s hostile.Shape, format Format, size int) []byte {
	for {
		content := []byte(s.Make(size))
		if newSource(content).crowd(format) == nil {
			return content
		}
		size -= size / 5
	}
}

// TestReadForMemory reads files and is measured.
func TestReadForMemory(t *testing.T) {
	all := files(t)
	peak.Serve(t, func() string { return "ready" }, func(name string) string {
		content := all[name].make()
		peak.Begin(t) // what it took to make it doesn't count
		_, err := ReadFile(t.Context(), content, Options{Format: all[name].format})
		require.NoError(t, err)
		return strconv.Itoa(len(content))
	})
}

// peakOf returns the most memory that reading a file took, and how long it was, in bytes. It is made once, where it is
// read.
func peakOf(t testing.TB, p *peak.Process, name string) (took, size int) {
	t.Helper()
	took = p.During(t, func() {
		var err error
		size, err = strconv.Atoi(p.Do(t, name))
		require.NoError(t, err)
	})
	return took, size
}

// No file takes more memory to read than is stated, and than is taken for it. Lists and tables of every hostile shape
// take a minute or two and less memory than these: the benchmark reads them.
func TestMemoryOfFiles(t *testing.T) {
	p := peak.Start(t, "TestReadForMemory")
	for name, f := range files(t) {
		if kind, _, _ := strings.Cut(name, ","); (kind == "list" || kind == "table") && !slices.Contains(heavy, name) {
			continue
		}
		took, size := peakOf(t, p, name)
		for range 2 { // on a busy machine the collector may come late: that is not the reader's
			if took >= peak.One || int64(took) >= roomFor(f.format, size)+slack {
				took, size = peakOf(t, p, name)
			}
		}
		assert.Less(t, took, peak.One, name)
		assert.Less(t, int64(took), roomFor(f.format, size)+slack, name)
	}
}

// heavy are the lists and tables that take the most.
var heavy = []string{"list, a million lines", "list, blank lines", "list, long lines", "list, plus ones", "list, everyone often", "list, guests with brackets", "table, people of one name in photographs", "table, circles"}

// slack is what the program takes for itself while it reads.
const slack = 48 << 20

// largest is an event with as many people and photographs as there may be, nearly everybody in each.
func largest() event.Event {
	var e event.Event
	all := event.Circle{ID: "all", Title: "All"}
	for i := range event.MaxPeople {
		id := "p" + strconv.Itoa(i)
		e.People = append(e.People, event.Person{ID: id, Name: "Guest number " + id})
		all.Members = append(all.Members, id)
	}
	e.Circles = []event.Circle{all}
	for i := range event.MaxPhotographs {
		e.Groupings = append(e.Groupings, event.Grouping{ID: "g" + strconv.Itoa(i), Title: "All but one", Members: []string{"all"}, Without: []string{"p" + strconv.Itoa(i)}})
	}
	return e
}

// TestWriteForMemory writes the largest workbook and is measured.
func TestWriteForMemory(t *testing.T) {
	peak.Serve(t, func() string { return "ready" }, func(string) string {
		e := largest()
		peak.Begin(t)
		_, err := WriteXLSX(e)
		require.NoError(t, err)
		return "written"
	})
}

// A workbook takes no more memory than is taken for it before it is written.
func TestMemoryOfAWorkbook(t *testing.T) {
	p := peak.Start(t, "TestWriteForMemory")
	took := p.During(t, func() { p.Do(t, "workbook") })
	t.Logf("%d MiB", took>>20)
	assert.Less(t, took, peak.One)
	assert.Less(t, int64(took), RoomForWorkbook(largest())+slack)
}

// BenchmarkMemoryOfFiles prints the most memory of each: go test ./server/internal/intake -run - -bench Memory -benchtime 1x
func BenchmarkMemoryOfFiles(b *testing.B) {
	p := peak.Start(b, "TestReadForMemory")
	for name := range files(b) {
		b.Run(strings.ReplaceAll(name, " ", "_"), func(b *testing.B) {
			most := 0
			for b.Loop() {
				took, _ := peakOf(b, p, name)
				most = max(most, took)
			}
			b.ReportMetric(float64(most)/(1<<20), "MiB-peak")
		})
	}
}
