package sheet

// readerPage is the sheet of the person who calls names: what is taken, who steps in and how their names are said, who
// steps out, who is free, and whom to have ready. It is drawn from what a reader may see, so that nothing private can
// be read out.
type readerPage struct {
	pageShell
	Blocks []blockPage
}

func (b *builder) readerPage(shell pageShell, paper Paper) *readerPage {
	page := &readerPage{pageShell: shell}
	for i := range b.sheet.Blocks {
		view := b.block(i)
		view.Place = shortPlace(view.Place)
		block := blockPage{blockView: &view, Say: page.Say}
		for k := range view.Entries {
			e := &view.Entries[k]
			e.Facts, e.Star, e.IfTime, e.Large = e.Facts[:1], "", "", true
			if !manyOut(&b.sheet.Blocks[i].Entries[k]) {
				e.Stay = nil // who does nothing is not called, unless all others step out
			}
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
	page.Style += typeOf[Reader].setLarger("main", page.Blocks, 32, 55, paper)
	return page
}
