package sheet

import "fmt"

// readerPage is what the reader holds: a number, the names to read out, how they are said, and who is
// to be ready next. It has no title, so that nothing comes between the names, and is drawn from what a
// reader may see, so that nothing can be read out that is not for everybody.
type readerPage struct {
	pageShell
	Pages []readerBlock
}

// readerBlock is one block on its own pages.
type readerBlock struct {
	Page, Title, Hours, Date string
	NoClock                  bool
	Entries                  []readerEntry
}

// readerEntry is one call.
type readerEntry struct {
	Number int
	Wait   string
	Calls  []callView // without notes
	Crowd  string
	Long   bool
	Ready  []string
}

func (b *builder) readerPage(shell pageShell) *readerPage {
	page := &readerPage{pageShell: shell}
	number := 0
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		view := b.block(i)
		block := readerBlock{
			Page: fmt.Sprintf("block%d", i+1), Title: view.Title, Hours: view.Hours, Date: view.Date, NoClock: view.NoClock,
		}
		page.addHead(block.Page, view.Title)
		for k := range s.Entries {
			number++
			e := readerEntry{
				Number: number, Wait: view.Entries[k].Wait, Crowd: crowd(len(view.Entries[k].Calls), fourColumnsForReadFrom),
				Long: view.Entries[k].Long(), Ready: b.short(s.Entries[k].Standby),
			}
			for _, c := range view.Entries[k].Calls {
				e.Calls = append(e.Calls, callView{Name: c.Name, Say: c.Say})
			}
			block.Entries = append(block.Entries, e)
		}
		page.Pages = append(page.Pages, block)
	}
	return page
}
