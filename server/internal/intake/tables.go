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
		grid, aligned := table.Aligned(text)
		var quoting []Problem
		if !aligned {
			var err error
			if grid, quoting, err = table.ReadCSV(text); err != nil {
				return refusedTable(err)
			}
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

// ErrNoTable says that an event is too large for tables that Read reads back.
var ErrNoTable = errors.New("the event is too large for tables that can be read back")

// WriteCSV writes one table of an event; circles too have one. Where names are too much to be read back, ids stand for
// them. The error is ErrNoTable, or that of a kind that is none.
func WriteCSV(e event.Event, kind TableKind) ([]byte, error) {
	for _, byID := range []bool{false, true} {
		var g table.Grid
		switch kind {
		case WholeTable:
			g = table.Joined(wholeGrids(e, byID))
		case PeopleTable:
			g = table.WritePeople(e)
		case GroupingsTable:
			g = table.WriteGroupings(e, byID)
		case CirclesTable:
			g = table.WriteCircles(e, byID)
		case MatrixTable:
			g = table.WriteMatrix(e)
		default:
			return nil, fmt.Errorf("no table of kind %d", kind)
		}
		if table.Fits([]table.Grid{g}) != nil {
			continue
		}
		if content := table.WriteCSV(g.Rows); len(content) <= MaxContent {
			return content, nil
		}
	}
	return nil, ErrNoTable
}

// RoomForWorkbook is how much memory WriteXLSX takes, in bytes, at most: it is the matrix of everybody against every
// photograph that counts. Measured by TestMemoryOfAWorkbook.
func RoomForWorkbook(e event.Event) int64 {
	return 2<<20 + 136*min(int64(len(e.People)+1)*int64(len(e.Groupings)+8), table.MaxCells)
}

// WriteXLSX writes an event as a workbook: people, circles, photographs and the day in sheets of their own,
// and people against photographs once more unless that is too large. Read reads it back equal. Its errors are those of
// WriteCSV.
func WriteXLSX(e event.Event) ([]byte, error) {
	for _, byID := range []bool{false, true} {
		grids := wholeGrids(e, byID)
		if n := event.NewIndex(&e).Photographs(); n+2 <= table.MaxColumns && (len(e.People)+1)*(n+2) <= table.MaxCells {
			if more := append(grids, table.WriteMatrix(e)); table.Fits(more) == nil {
				grids = more
			}
		}
		if table.Fits(grids) != nil {
			continue
		}
		if content, err := table.WriteXLSX(grids); err != nil || len(content) <= MaxContent {
			return content, err
		}
	}
	return nil, ErrNoTable
}

// wholeGrids are the tables that hold all of an event.
func wholeGrids(e event.Event, byID bool) []table.Grid {
	return append([]table.Grid{table.WritePeople(e), table.WriteCircles(e, byID), table.WriteGroupings(e, byID)}, dayGrids(e)...)
}
