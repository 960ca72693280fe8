package sheet

// readerPage is what whoever calls the names holds: what is taken, who walks in and how they are said, who walks out,
// who is free, and whom to have ready. It is drawn from what a reader may see, so that nothing can be read out that is
// not for everybody.
type readerPage struct {
	pageShell
	Blocks []blockPage
}

func (b *builder) readerPage(shell pageShell) *readerPage {
	page := &readerPage{pageShell: shell}
	for i := range b.sheet.Blocks {
		view := b.block(i)
		block := blockPage{blockView: &view, Say: page.Say}
		for k := range view.Entries {
			e := &view.Entries[k]
			e.Stay, e.Facts = nil, e.Facts[:1] // who does nothing is not called
			for c := range e.Calls {
				e.Calls[c].Notes = nil
			}
			for _, g := range e.Groups {
				for c := range g.Calls {
					g.Calls[c].Notes = nil
				}
			}
			block.Entries = append(block.Entries, entryPage{e, page.Say})
		}
		page.Blocks = append(page.Blocks, block)
	}
	return page
}
