package sheet_test

import (
	"encoding/csv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// records reads a table by the grammar of RFC 4180, section 2, stricter than package encoding/csv: a
// record ends with CR LF, a field with a quote, comma, CR or LF is quoted, quotes in it are doubled,
// and all records have as many fields. It returns what is wrong.
func records(text string) (table [][]string, fault string) {
	var record []string
	for i := 0; i < len(text); {
		var field strings.Builder
		if text[i] == '"' {
			for i++; ; i++ {
				if i >= len(text) {
					return nil, "a quoted field is not closed"
				}
				if text[i] == '"' {
					if i+1 >= len(text) || text[i+1] != '"' {
						break
					}
					i++
				}
				field.WriteByte(text[i])
			}
			i++
		} else {
			for i < len(text) && text[i] != ',' && text[i] != '\r' {
				if text[i] == '"' || text[i] == '\n' {
					return nil, "a quote or line feed in a field without quotes"
				}
				field.WriteByte(text[i])
				i++
			}
		}
		record = append(record, field.String())
		switch {
		case strings.HasPrefix(text[i:], "\r\n"):
			if len(table) > 0 && len(record) != len(table[0]) {
				return nil, "records of different lengths"
			}
			table, record = append(table, record), nil
			i += 2
		case i < len(text) && text[i] == ',':
			i++
		default:
			return nil, "a field that ends with neither comma nor CR LF"
		}
	}
	if record != nil {
		return nil, "the last record does not end with CR LF"
	}
	return table, ""
}

// table draws a table and reads it back, by the grammar and by package encoding/csv.
func table(t *testing.T, e event.Event, s event.CallSheet, o sheet.Options) [][]string {
	t.Helper()
	o.Form = sheet.CSV
	text, found := strings.CutPrefix(string(drawn(t, e, s, o)), "\ufeff")
	require.True(t, found, "byte order mark")
	rows, fault := records(text)
	require.Empty(t, fault)
	again, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.Equal(t, rows, again)
	return rows
}

func TestCallTable(t *testing.T) {
	e, s := quay()
	s.Blocks[0].Entries[1].Wait, s.Blocks[0].Entries[1].Near = 150*time.Second, []string{"kit"}
	rows := table(t, e, s, sheet.Options{})
	require.Len(t, rows, 11)
	assert.Equal(t, []string{
		"Number", "Time slot", "Place", "Date", "Start", "Minutes after the start", "Minutes of waiting before it", "Minutes", "Photo",
		"People", "Frames", "Step in", "Step out", "Stay", "Close by", "Free to go", "Next up",
	}, rows[0])
	assert.Equal(t, []string{
		"2", "Quay steps", "Old quay, by the blue boat shed", "2027-06-12", "14:36", "6", "2.5", "2.5", "Linh's grandmother with the couple",
		"3", "3", "", "Inês Sequeira; Teo Sequeira; Rosa Sequeira; كريم المنصوري; Duarte Sequeira; Bia; Gil; Nguyễn Văn Ba; 陳美玲; 陳偉; An",
		"Amara Sequeira; Nguyễn Thị Mỹ Linh; 陳寶珠", "Kit Halloran-Oyelaran", "陳寶珠", "Nguyễn Văn Ba; 陳美玲",
	}, rows[2])
	// Programs read the digits of every language.
	arabic := table(t, e, s, sheet.Options{Language: "ar"})
	assert.Equal(t, rows[2], arabic[2])
	assert.NotEqual(t, rows[0], arabic[0])
}

func TestTimesTable(t *testing.T) {
	e, s := quay()
	rows := table(t, e, s, sheet.Options{Kind: sheet.Times})
	byName := map[string][][]string{}
	for _, r := range rows[1:] {
		byName[r[0]] = append(byName[r[0]], r)
	}
	assert.Len(t, byName, 18)
	// Teo is in 1 and 5; he is to be there five minutes before the block begins and free at 14:47:30.
	assert.Equal(t, [][]string{{
		"Teo Sequeira", "", "2027-06-12", "Quay steps", "Old quay, by the blue boat shed", "14:25", "14:30", "14:48", "0", "1 5",
	}}, byName["Teo Sequeira"])
	require.Len(t, byName["Amara Sequeira"], 2, "once for each block")
	assert.Equal(t, "15:15", byName["Amara Sequeira"][1][6])
	// The attendants stand together and come together.
	circles := table(t, e, s, sheet.Options{Kind: sheet.Times, Per: sheet.PerCircle})
	var together []string
	for _, r := range circles[1:] {
		if r[1] == "The attendants" {
			together = append(together, r[0])
		}
	}
	assert.Equal(t, []string{"Jo Marlowe; Sam Okonjo; נועה לוי; Kit Halloran-Oyelaran"}, together)
}

// Cells that a spreadsheet would run are made text. The signs are those that the OWASP page on CSV
// injection names, with their full width twins, and the pipe of old spreadsheets (from memory).
func TestTablesRunNothing(t *testing.T) {
	for _, start := range []string{"=", "+", "-", "@", "＝", "＋", "－", "＠", "|", "%", " =", "\u200e=", "\u200b=", "﹦", "﹢", "−"} {
		name := start + `cmd("x"),1` + "\r\n"
		e := event.Event{
			Title: name, People: []event.Person{{ID: "p", Name: name}},
			Blocks: []event.Block{{ID: "b", Title: name, Place: name}},
		}
		s := event.CallSheet{Blocks: []event.SheetBlock{{Block: "b", Entries: []event.SheetEntry{{Title: name, StepIn: []string{"p"}}}}}}
		for _, kind := range []sheet.Kind{sheet.Call, sheet.Times} {
			for _, row := range table(t, e, s, sheet.Options{Kind: kind}) {
				for _, cell := range row {
					assert.NotRegexp(t, `^[\s\p{Cf}]*[=+\-@|%＝＋－＠﹦﹢﹣−]`, cell)
				}
			}
		}
	}
}

// Whatever is in the names, a table keeps its grammar, its columns and its rows.
func FuzzTable(f *testing.F) {
	f.Add("a,b", `say "x"`)
	f.Add("=1+1", "\r\n\x00\ufeff")
	f.Add("\xff\"", "'")
	f.Fuzz(func(t *testing.T, a, b string) {
		if len(a)+len(b) > 4000 {
			t.Skip("longer texts only take longer")
		}
		e := event.Event{
			Title: a, People: []event.Person{{ID: "p", Name: a}, {ID: "q", Name: b}},
			Blocks:  []event.Block{{ID: "b", Title: a, Place: b}},
			Circles: []event.Circle{{ID: "c", Title: b, Members: []string{"p", "q"}, Leader: "q"}},
		}
		s := event.CallSheet{Blocks: []event.SheetBlock{{Block: "b", Entries: []event.SheetEntry{{Title: b, StepIn: []string{"p", "q", "r"}}}}}}
		if rows := table(t, e, s, sheet.Options{}); len(rows) != 2 || len(rows[1]) != 17 {
			t.Fatal(rows)
		}
		if rows := table(t, e, s, sheet.Options{Kind: sheet.Times}); len(rows) != 4 || len(rows[1]) != 10 {
			t.Fatal(rows)
		}
	})
}
