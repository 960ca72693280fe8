package intake

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/table"
)

// TableKind is what a table holds.
type TableKind = table.Kind

// The kinds of tables. The zero value of TableKind finds out by the headers.
const (
	AnyTable       = table.Unknown
	PeopleTable    = table.People
	GroupingsTable = table.Groupings
	CirclesTable   = table.Circles
	MatrixTable    = table.Matrix
)

// TableFields lists the names that Options.Columns can use.
func TableFields() []string { return table.Fields() }

// readTables reads a spreadsheet and checks the event that it comes to.
func readTables(content []byte, format Format, o Options) (Reading, error) {
	var grids []table.Grid
	var problems []Problem
	if format == XLSX {
		sheets, err := table.ReadXLSX(content)
		if err != nil {
			return refusedTable(err), nil
		}
		grids = sheets
	} else {
		text, decoding := decode(content)
		grid, quoting, err := table.ReadCSV(text)
		if err != nil {
			return refusedTable(err), nil
		}
		grids, problems = []table.Grid{grid}, append(decoding, quoting...)
	}
	got := table.Read(grids, table.Options{Base: o.Base, Kind: o.Table, Columns: o.Columns})
	problems = append(problems, got.Problems...)
	at := places(got.Lines)
	for _, a := range event.Check(got.Event) {
		if a.Code == event.CodeOnePersonInFrame {
			continue
		}
		problems = append(problems, Problem{Advice: a, Line: at[item(a.Field)]})
	}
	if len(grids) == 1 {
		fields(problems, got.Lines)
		slices.SortStableFunc(problems, func(a, b Problem) int {
			return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
		})
	}
	return Reading{Event: got.Event, Problems: problems, Lines: got.Lines}, nil
}

// refusedTable is what a table comes to that is not read.
func refusedTable(err error) Reading {
	code := CodeSyntax
	if errors.Is(err, table.ErrTooBig) {
		code = event.CodeTooMany
	}
	return Reading{Problems: []Problem{{Advice: event.Advice{Code: code, Severity: event.Error, Text: upper(err.Error()) + "."}}}}
}

func upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }

// places are the lines by the places in the event that they went to.
func places(lines []Line) map[string]int {
	at := make(map[string]int)
	for _, l := range lines {
		for _, f := range l.Fields {
			if _, known := at[f]; !known {
				at[f] = l.Number
			}
		}
	}
	return at
}

// WriteCSV writes one table of an event; circles too have one. It fails for a kind that is none.
func WriteCSV(e event.Event, kind TableKind) ([]byte, error) {
	writers := map[TableKind]func(event.Event) table.Grid{
		PeopleTable: table.WritePeople, GroupingsTable: table.WriteGroupings, CirclesTable: table.WriteCircles, MatrixTable: table.WriteMatrix,
	}
	write, ok := writers[kind]
	if !ok {
		return nil, fmt.Errorf("no table of kind %d", kind)
	}
	return table.WriteCSV(write(e).Rows), nil
}

// WriteXLSX writes a workbook with a sheet of people, of circles, of photographs, and of people against
// photographs.
func WriteXLSX(e event.Event) ([]byte, error) {
	return table.WriteXLSX([]table.Grid{table.WritePeople(e), table.WriteCircles(e), table.WriteGroupings(e), table.WriteMatrix(e)})
}
