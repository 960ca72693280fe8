package table

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/unicode/norm"
)

// maxMerged is how many cells the merged ones of a sheet may stand for.
const maxMerged = 50_000

// maxSheets is how many sheets a workbook may have.
const maxSheets = 200

// ReadXLSX reads the sheets of a workbook that are not hidden. Merged cells stand for each of the cells they
// cover. The error is ErrTooBig, ErrTooLong, ErrLocked or ErrBroken.
func ReadXLSX(content []byte) ([]Grid, error) {
	if err := weigh(content); err != nil {
		return nil, err
	}
	f, err := excelize.OpenReader(bytes.NewReader(content), excelize.Options{UnzipSizeLimit: 2 * MaxUnpacked, UnzipXMLSizeLimit: 2 * MaxUnpacked})
	if err != nil {
		if errors.Is(err, excelize.ErrWorkbookFileFormat) || errors.Is(err, excelize.ErrWorkbookPassword) {
			return nil, ErrLocked
		}
		return nil, ErrBroken
	}
	defer f.Close()
	merged, err := survey(content)
	if err != nil {
		return nil, err
	}
	var grids []Grid
	var n cells
	names := f.GetSheetList()
	if len(names) > maxSheets {
		return nil, ErrTooBig
	}
	for _, name := range names {
		if visible, err := f.GetSheetVisible(name); err != nil || !visible {
			continue
		}
		g, err := sheet(f, name, merged[name], &n)
		if err != nil {
			return nil, err
		}
		grids = append(grids, g)
	}
	return grids, nil
}

func sheet(f *excelize.File, name string, merged []string, n *cells) (Grid, error) {
	g := Grid{Name: name}
	rows, err := f.Rows(name)
	if err != nil {
		return g, nil // a chart, for example: it has no cells
	}
	defer rows.Close()
	for rows.Next() {
		row, err := rows.Columns()
		if err != nil {
			return Grid{}, ErrBroken
		}
		if err := n.add(row); err != nil {
			return Grid{}, err
		}
		for i := range row {
			row[i] = norm.NFC.String(clean(row[i]))
		}
		g.Rows = append(g.Rows, row)
		g.Lines = append(g.Lines, len(g.Rows))
	}
	return g, spread(&g, merged, n)
}

// spread writes what a merged cell holds into each of the cells it covers.
func spread(g *Grid, merged []string, n *cells) error {
	covered := 0
	for _, m := range merged {
		start, end, _ := strings.Cut(m, ":")
		left, top, err := excelize.CellNameToCoordinates(start)
		right, bottom, err2 := excelize.CellNameToCoordinates(cmp.Or(end, start))
		if err != nil || err2 != nil {
			return ErrBroken
		}
		bottom = min(bottom, len(g.Rows))
		right = min(right, MaxColumns)
		if bottom < top || right < left {
			continue
		}
		if covered += (bottom - top + 1) * (right - left + 1); covered > maxMerged {
			return ErrTooBig
		}
		value := g.at(top-1, left-1)
		if n.text += len(value) * (bottom - top + 1) * (right - left + 1); n.text > MaxText {
			return ErrTooLong
		}
		for y := top - 1; y < bottom; y++ {
			for len(g.Rows[y]) < right {
				g.Rows[y] = append(g.Rows[y], "")
			}
			for x := left - 1; x < right; x++ {
				g.Rows[y][x] = value
			}
		}
	}
	return nil
}

// WriteXLSX writes a workbook with a sheet for each table, its first row kept in sight. Cells are texts: none
// is a formula.
func WriteXLSX(grids []Grid) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return nil, fmt.Errorf("workbook: %w", err)
	}
	for k, g := range grids {
		if k == 0 {
			err = f.SetSheetName("Sheet1", g.Name)
		} else {
			_, err = f.NewSheet(g.Name)
		}
		if err == nil {
			err = writeSheet(f, g, bold)
		}
		if err != nil {
			return nil, fmt.Errorf("workbook: %w", err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		return nil, fmt.Errorf("workbook: %w", err)
	}
	return b.Bytes(), nil
}

func writeSheet(f *excelize.File, g Grid, bold int) error {
	w, err := f.NewStreamWriter(g.Name)
	if err != nil {
		return err
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	if n := g.width(); n > 0 {
		if err := w.SetColWidth(1, n, 18); err != nil {
			return err
		}
	}
	for y, row := range g.Rows {
		values := make([]any, len(row))
		for x, cell := range row {
			switch {
			case y == 0:
				values[x] = excelize.Cell{StyleID: bold, Value: cell}
			case cell != "":
				values[x] = cell
			}
		}
		at, err := excelize.CoordinatesToCellName(1, y+1)
		if err != nil {
			return err
		}
		if err := w.SetRow(at, values); err != nil {
			return err
		}
	}
	return w.Flush()
}
