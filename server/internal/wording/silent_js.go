package wording

// String is for errors alone: in a browser nothing is put into words, since the page has them.
func (m Message) String() string { return string(m.Key) }
