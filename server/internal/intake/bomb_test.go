package intake

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// memoryBound is how much memory reading any one file may take, in bytes, above what the program has
// anyway. DEVELOPERS.md states it.
const memoryBound = 256 << 20

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
		"xlsx, as many as allowed": book(many("<row>"+many("<c><v>12</v></c>", 60)+"</row>", 4_900), "", "", ""),
		"xlsx, empty cells":        book("<row>"+many("<c/>", 2_400_000)+"</row>", "", "", ""),
		"xlsx, empty cells within": book("<row>"+many("<c/>", 1_990_000)+"</row>", "", "", ""),
		"xlsx, far empty cells":    book(far(`<c r="XFD%d" s="1"/>`), "", "", ""),
		"xlsx, far cells":          book(far(`<c r="XFD%d"><v>1</v></c>`), "", "", ""),
		"xlsx, the last row":       book(`<row r="1048576"><c r="A1048576"><v>1</v></c></row>`, "", "", ""),
		"xlsx, shared texts":       book(text, many("<si/>", 2_400_000), "", ""),
		"xlsx, shared within":      book(text, many("<si/>", 790_000), "", ""),
		"xlsx, runs within":        book(text, "<si>"+many("<r><t/></r>", 260_000)+"</si>", "", ""),
		"xlsx, styles":             book(number, "", "<cellXfs>"+many("<xf/>", 2_400_000)+"</cellXfs>", ""),
		"xlsx, styles within":      book(number, "", "<cellXfs>"+many("<xf/>", 190_000)+"</cellXfs>", ""),
		"xlsx, sheets":             book(number, "", "", many(`<sheet name="q" sheetId="2" r:id="rId1"/>`, 250_000)),
		"xlsx, sheets within":      book(number, "", "", many(`<sheet name="q" sheetId="2" r:id="rId1"/>`, 5_000)),
		"xlsx, rows":               book(many("<row/>", 2_000_000), "", "", ""),
		"xlsx, attributes":         book(`<row r="1" `+many(`a="" `, 2_000_000)+`/>`, "", "", ""),
		"xlsx, depth":              book("<row>"+many("<c>", 2_000_000), "", "", ""),
	}
}

// bombed is the environment variable by which the test starts itself to read one bomb.
const bombed = "KINORDER_TEST_BOMB"

// peakOf reads a bomb in a process of its own and returns the most memory that it took, in bytes, above
// what it had before.
func peakOf(t testing.TB, name string) int {
	t.Helper()
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("this system does not say how much memory a process took")
	}
	c := exec.Command(os.Args[0], "-test.run=^TestReadOneBomb$")
	c.Env = append(os.Environ(), bombed+"="+name)
	out, err := c.CombinedOutput()
	require.NoError(t, err, "%s: %s", name, out)
	found := regexp.MustCompile(`took (\d+) bytes`).FindSubmatch(out)
	require.NotNil(t, found, "%s: %s", name, out)
	n, err := strconv.Atoi(string(found[1]))
	require.NoError(t, err)
	return n
}

// TestReadOneBomb is what peakOf starts.
func TestReadOneBomb(t *testing.T) {
	name := os.Getenv(bombed)
	if name == "" {
		t.Skip("started by TestMemoryOfTables")
	}
	content := bombs(t)[name]()
	debug.FreeOSMemory()                                          // what it took to make the bomb does not count
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0o600) // the peak begins anew; see proc(5)
	before := peakMemory(t)
	_, err := ReadFile(t.Context(), content, Options{})
	require.NoError(t, err)
	fmt.Printf("took %d bytes\n", peakMemory(t)-before)
}

// peakMemory is the most memory that this process has had so far (VmHWM of proc(5)).
func peakMemory(t *testing.T) int {
	status, err := os.ReadFile("/proc/self/status")
	require.NoError(t, err)
	found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(t, found)
	n, err := strconv.Atoi(string(found[1]))
	require.NoError(t, err)
	return n << 10
}

// No file takes more memory to read than is stated. The race detector takes many times as much, and time, so
// this is for a run without it.
func TestMemoryOfTables(t *testing.T) {
	if racing {
		t.Skip("memory says nothing under the race detector")
	}
	for name := range bombs(t) {
		t.Run(name, func(t *testing.T) { require.Less(t, peakOf(t, name), memoryBound) })
	}
}

// BenchmarkMemoryOfTables prints the most memory of each: go test ./server/internal/intake -run - -bench Memory -benchtime 1x
func BenchmarkMemoryOfTables(b *testing.B) {
	for name := range bombs(b) {
		b.Run(strings.ReplaceAll(name, " ", "_"), func(b *testing.B) {
			most := 0
			for b.Loop() {
				most = max(most, peakOf(b, name))
			}
			b.ReportMetric(float64(most)/(1<<20), "MiB-peak")
		})
	}
}
