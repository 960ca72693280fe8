package intake

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/table"
	"kinorder.example/server/internal/needs"
)

// Files made to hurt are refused, or read harmlessly, within what is stated.
func TestReadHostileTables(t *testing.T) {
	needs.Time(t)
	bomb := func(parts map[string]int) string {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for name, size := range parts {
			w, err := z.Create(name)
			require.NoError(t, err)
			_, err = w.Write(make([]byte, size))
			require.NoError(t, err)
		}
		require.NoError(t, z.Close())
		return b.String()
	}
	many := make(map[string]int)
	for i := range 2000 {
		many[fmt.Sprint("xl/", i)] = 1
	}
	lying := []byte(bomb(map[string]int{"xl/workbook.xml": 1 << 16}))
	// The directory claims one byte where 64 KiB unpack.
	if at := bytes.LastIndex(lying, []byte("PK\x01\x02")); at >= 0 {
		copy(lying[at+24:at+28], []byte{1, 0, 0, 0})
	}
	shared, merged := excelize.NewFile(), excelize.NewFile()
	for i := range 300 {
		require.NoError(t, shared.SetCellStr("Sheet1", fmt.Sprint("A", i+1), strings.Repeat("x", 20_000)))
		require.NoError(t, merged.SetCellStr("Sheet1", fmt.Sprint("B", i+1), "x"))
	}
	require.NoError(t, merged.SetCellStr("Sheet1", "A1", strings.Repeat("x", 20_000)))
	require.NoError(t, merged.MergeCell("Sheet1", "A1", "A300"))
	rich := excelize.NewFile() // one row of them would be made whole before it is counted
	for x := range 900 {
		at, err := excelize.CoordinatesToCellName(x+1, 1)
		require.NoError(t, err)
		require.NoError(t, rich.SetCellRichText("Sheet1", at, []excelize.RichTextRun{{Text: strings.Repeat("x", 20_000)}, {Text: "y"}}))
	}
	for name, c := range map[string]struct {
		content string
		format  Format
		code    string
	}{
		"one text in many cells":  {written(t, shared), XLSX, event.CodeTooMany},
		"rich text in many cells": {written(t, rich), XLSX, event.CodeTooMany},
		"one long text merged":    {written(t, merged), XLSX, event.CodeTooMany},
		"a million cells":         {"Name,Relation\n" + strings.Repeat("a,b,c,d,e,f,g,h,i,j\n", 100_000), CSV, event.CodeTooMany},
		"a million commas":        {strings.Repeat(",", 1<<20), CSV, event.CodeTooMany},
		"a million rows":          {strings.Repeat("a\n", 1<<20), CSV, event.CodeTooMany},
		"an endless quote":        {"Name,Relation\nRosa,\"" + strings.Repeat("x\n", 1<<20), CSV, table.CodeCellLong},
		"one huge cell":           {"Name,Relation\n" + strings.Repeat("x", 3<<20) + ",b\n", CSV, table.CodeCellLong},
		"control":                 {"Name,Relation\nRo\x00sa\x1b[31m,\u202eb\n", CSV, ""},
		"zip bomb":                {bomb(map[string]int{"xl/worksheets/sheet1.xml": 512 << 20}), XLSX, event.CodeTooMany},
		"many small parts":        {bomb(many), XLSX, event.CodeTooMany},
		"a lying directory":       {string(lying), XLSX, CodeSyntax},
		"no workbook":             {"PK\x03\x04 and nothing", XLSX, CodeSyntax},
		"a far cell":              {workbook(t, `<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row>`, ""), XLSX, event.CodeTooMany},
		"far cells":               {workbook(t, strings.Repeat(`<row><c r="XFD1" t="inlineStr"><is><t>x</t></is></c></row>`, 20_000), ""), XLSX, event.CodeTooMany},
		"wide rows":               {workbook(t, strings.Repeat(`<row><c r="ALK1" t="inlineStr"><is><t>x</t></is></c></row>`, 4_000), ""), XLSX, event.CodeTooMany},
		"many rows":               {workbook(t, strings.Repeat(`<row><c t="inlineStr"><is><t>x</t></is></c></row>`, 60_000), ""), XLSX, event.CodeTooMany},
		"all merged":              {workbook(t, `<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row>`, `<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>`), XLSX, ""},
		"merged often":            {workbook(t, `<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row><row r="400"/>`, `<mergeCells>`+strings.Repeat(`<mergeCell ref="A1:ALL400"/>`, 50)+`</mergeCells>`), XLSX, event.CodeTooMany},
		"a formula":               {workbook(t, `<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row><row r="2"><c r="A2"><f>HYPERLINK("http://x.example")</f></c></row>`, ""), XLSX, ""},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadFile(t.Context(), []byte(c.content), Options{Format: c.format})
			require.NoError(t, err)
			var codes []string
			for _, p := range got.Problems {
				codes = append(codes, p.Code)
				assert.LessOrEqual(t, len(p.Text()), 2000)
			}
			if c.code != "" {
				assert.Contains(t, codes, c.code)
			}
			for _, p := range got.Event.People {
				assert.NotContains(t, p.Name, "\x00")
				assert.NotContains(t, p.Name, "\x1b")
			}
		})
	}
}

func written(t *testing.T, f *excelize.File) string {
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.String()
}

// workbook is a small workbook whose sheet holds rows as they are written in it, and what follows them.
func workbook(t *testing.T, rows, after string) string {
	f := excelize.NewFile()
	var plain bytes.Buffer
	require.NoError(t, f.Write(&plain))
	from, err := zip.NewReader(bytes.NewReader(plain.Bytes()), int64(plain.Len()))
	require.NoError(t, err)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, part := range from.File {
		w, err := z.Create(part.Name)
		require.NoError(t, err)
		if part.Name == "xl/worksheets/sheet1.xml" {
			_, err = io.WriteString(w, `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`+rows+`</sheetData>`+after+`</worksheet>`)
			require.NoError(t, err)
			continue
		}
		r, err := part.Open()
		require.NoError(t, err)
		_, err = io.Copy(w, r)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.String()
}

// Cells that a spreadsheet would run are written as texts, the full-width signs and those of old
// spreadsheets too, and are read back as they were.
func TestCSVRunsNothing(t *testing.T) {
	for _, start := range []string{"=", "+", "-", "@", "＝", "＋", "－", "＠", "|", "%", "'", "'='", " ="} {
		e := event.Event{People: []event.Person{{ID: "p", Name: "P", PrivateNote: start + "x"}}}
		content, err := WriteCSV(e, PeopleTable)
		require.NoError(t, err)
		assert.NotRegexp(t, `[,"] ?[=+\-@|%＝＋－＠]`, string(content), start)
		got, err := ReadFile(t.Context(), content, Options{Format: CSV})
		require.NoError(t, err)
		assert.Equal(t, strings.TrimSpace(start+"x"), strings.TrimSpace(got.Event.People[0].PrivateNote), start)
	}
}

// A photograph may have nothing but the circle of which everybody is taken alone.
func TestOnlyEachOf(t *testing.T) {
	base := event.Event{People: []event.Person{{ID: "a", Name: "Ann"}}, Circles: []event.Circle{{ID: "k", Title: "K", Members: []string{"a"}}}}
	got, err := ReadFile(t.Context(), []byte("Photograph,People,Each of\n,,K\n"), Options{Format: CSV, Base: base})
	require.NoError(t, err)
	require.Len(t, got.Event.Groupings, 1)
	assert.Equal(t, event.Grouping{ID: "k", EachOf: "k"}, got.Event.Groupings[0])
}

func FuzzReadCSV(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(demos, "messy", "*.csv"))
	require.NoError(f, err)
	for _, name := range files {
		content, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(content)
	}
	f.Add([]byte("sep=;\nName;Who\n\"a\"\"b\";'=c"))
	f.Add([]byte(",A,B\nRosa,x,\nBo,,x\nTotal,1,1"))
	f.Fuzz(func(t *testing.T, content []byte) {
		got, err := ReadFile(t.Context(), content, Options{Format: CSV})
		require.NoError(t, err)
		text, _ := decode(content)
		accountedRows(t, text, got)
		for _, l := range got.Lines {
			if l.Use == place.Asked || l.Use == place.Reported {
				require.NotEmpty(t, got.Problems)
			}
		}
		if len(event.Faults(check.Event(got.Event))) == 0 {
			for _, kind := range []TableKind{PeopleTable, GroupingsTable, CirclesTable, MatrixTable} {
				written, err := WriteCSV(got.Event, kind)
				require.NoError(t, err)
				standardCSV(t, written)
			}
		}
	})
}

func FuzzReadXLSX(f *testing.F) {
	e, _, err := Read([]byte("people: [{id: rosa, name: Rosa}, {id: bo, name: Bo Lund}]\ngroupings: [{title: A, members: [rosa, bo]}]"), YAML)
	require.NoError(f, err)
	book, err := WriteXLSX(e)
	require.NoError(f, err)
	f.Add(book)
	f.Fuzz(func(t *testing.T, content []byte) {
		_, err := ReadFile(t.Context(), content, Options{Format: XLSX})
		require.NoError(t, err)
	})
}
