package event

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// sheetOf makes a sheet from blocks whose entries are ten minutes long.
func sheetOf(blocks ...SheetBlock) CallSheet {
	for b := range blocks {
		for k := range blocks[b].Entries {
			e := &blocks[b].Entries[k]
			if e.Offset == 0 {
				e.Offset = time.Duration(k) * 10 * time.Minute
			}
			e.Length = 10 * time.Minute
		}
	}
	return CallSheet{Blocks: blocks}
}

func in(ids ...string) SheetEntry { return SheetEntry{StepIn: ids} }

func releasing(e SheetEntry, ids ...string) SheetEntry {
	e.Released = ids
	return e
}

func TestFrees(t *testing.T) {
	three := time.Date(2026, 6, 20, 15, 0, 0, 0, time.UTC)
	late := in("ann", "bo")
	late.Offset = 30 * time.Minute
	yard := SheetBlock{Start: three, Entries: []SheetEntry{in("ann", "bo"), late}}
	hall := SheetBlock{Start: three.Add(5 * time.Minute), Entries: []SheetEntry{{}, in("ann"), {Near: []string{"bo", "cy"}, Stay: []string{"ann"}}}}
	for _, blocks := range [][]SheetBlock{{yard, hall}, {hall, yard}} {
		s := sheetOf(blocks...)
		yardAt := 0
		if blocks[0].Start != three {
			yardAt = 1
		}
		assert.Equal(t, map[string]SheetPlace{"ann": {yardAt, 1}, "bo": {yardAt, 1}, "cy": {1 - yardAt, 2}}, s.Frees())
		assert.Equal(t, []SheetPlace{{yardAt, 0}, {1 - yardAt, 0}, {1 - yardAt, 1}, {1 - yardAt, 2}, {yardAt, 1}}, s.InTime())
	}
}

// Without clock times the sheet says in which block somebody is released; within a block order is time.
func TestFreesWithoutClock(t *testing.T) {
	first := SheetBlock{Entries: []SheetEntry{in("ann", "bo"), releasing(in("ann"), "ann"), in("ann")}}
	second := SheetBlock{Entries: []SheetEntry{in("ann", "bo"), in("cy")}}
	s := sheetOf(first, second)
	assert.Equal(t, map[string]SheetPlace{"ann": {0, 2}, "bo": {1, 0}, "cy": {1, 1}}, s.Frees())
	assert.Equal(t, []SheetPlace{{0, 0}, {0, 1}, {0, 2}, {1, 0}, {1, 1}}, s.InTime())
	var none CallSheet
	assert.Empty(t, none.Frees())
}
