package intake

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
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
	WholeTable     = table.Whole
)

// TableFields lists the names that Options.Columns can use.
func TableFields() []string { return table.Fields() }

// readTables reads a spreadsheet and checks the event that it comes to.
func readTables(m *effort.Meter, content []byte, format Format, o Options) Reading {
	var grids []table.Grid
	var problems []Problem
	if format == XLSX {
		sheets, err := table.ReadXLSX(content)
		if err != nil {
			return refusedTable(err)
		}
		grids = sheets
	} else {
		text, decoding := decode(content)
		grid, quoting, err := table.ReadCSV(text)
		if err != nil {
			return refusedTable(err)
		}
		grids, problems = table.Parts(grid), append(decoding, quoting...)
	}
	if o.Table == WholeTable {
		o.Table = AnyTable // its parts say what they are
	}
	day := readDay(&grids, o.Base)
	problems = append(problems, day.problems...)
	got := table.Read(m, grids, table.Options{Base: day.base, Kind: o.Table, Columns: o.Columns, Today: o.Today})
	got.Lines = append(day.lines, got.Lines...)
	if m.Err() != nil {
		return Reading{}
	}
	problems = append(problems, got.Problems...)
	at := places(got.Lines)
	for _, a := range faults(m, got.Event) {
		if a.Code == event.CodeOnePersonInFrame || day.follows(a) {
			continue
		}
		problems = append(problems, Problem{Advice: a, Line: at[item(a.Field)]})
	}
	problems = notesTogether(problems)
	if len(grids) == 1 {
		fields(problems, got.Lines)
		slices.SortStableFunc(problems, func(a, b Problem) int {
			return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
		})
	}
	return Reading{Event: got.Event, Problems: problems, Lines: got.Lines, Language: got.Language}
}

// refusedTable is what a table comes to that is not read.
func refusedTable(err error) Reading {
	code := CodeSyntax
	if errors.Is(err, table.ErrTooBig) || errors.Is(err, table.ErrTooLong) {
		code = event.CodeTooMany
	}
	return Reading{Problems: []Problem{{Advice: event.Tell(event.Error, code, "", nil, table.Says(err))}}}
}

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
	if kind == WholeTable {
		return table.WriteParts(wholeGrids(e)), nil
	}
	write, ok := writers[kind]
	if !ok {
		return nil, fmt.Errorf("no table of kind %d", kind)
	}
	return table.WriteCSV(write(e).Rows), nil
}

// RoomForWorkbook is how much memory WriteXLSX takes, in bytes, at most: it is the matrix of everybody against every
// photograph that counts. Measured by TestMemoryOfAWorkbook.
func RoomForWorkbook(e event.Event) int64 {
	return 2<<20 + 136*min(int64(len(e.People)+1)*int64(len(e.Groupings)+8), table.MaxCells)
}

// WriteXLSX writes an event as a workbook: people, circles, photographs and the day in sheets of their own,
// and people against photographs once more unless that is too large. Read reads it back equal.
func WriteXLSX(e event.Event) ([]byte, error) {
	grids, cells := wholeGrids(e), 0
	for _, g := range grids {
		cells += len(g.Rows) * len(g.Rows[0])
	}
	n := event.NewIndex(&e).Photographs()
	if n+2 <= table.MaxColumns && cells+(len(e.People)+1)*(n+2) <= table.MaxCells { // else the file could not be read back
		grids = append(grids, table.WriteMatrix(e))
	}
	return table.WriteXLSX(grids)
}

// wholeGrids are the tables that hold all of an event.
func wholeGrids(e event.Event) []table.Grid {
	return append([]table.Grid{table.WritePeople(e), table.WriteCircles(e), table.WriteGroupings(e)}, dayGrids(e)...)
}
