package run

// InMemory is how many things a desk holds in memory of runs.
func (d *Desk) InMemory() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.occasions) + len(d.feeds)
}
