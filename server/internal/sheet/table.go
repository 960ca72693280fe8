package sheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
)

// byteOrderMark stands at the start of a table: without it some spreadsheets take UTF-8 for
// something else.
const byteOrderMark = "\ufeff"

// table writes RFC 4180: a head, then records of as many fields, lines that end with CR and LF. Times
// and numbers have the digits 0 to 9 in every language, as programs read them.
func (b *builder) table(o Options) ([]byte, error) {
	records := b.callRecords()
	if o.Kind == Times {
		records = b.timeRecords(o.Per)
	}
	var out bytes.Buffer
	out.WriteString(byteOrderMark)
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	for _, r := range records {
		for i := range r {
			r[i] = harmless(r[i])
		}
		if err := w.Write(r); err != nil {
			return nil, fmt.Errorf("write a table: %w", err)
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

// harmless puts an apostrophe in front of text that a spreadsheet would take for a formula.
func harmless(s string) string {
	if event.Formula(s) {
		return "'" + s
	}
	return s
}

// joined sets several names in one cell.
func joined(names []string) string { return strings.Join(names, "; ") }

// namesOf returns the name of everybody, one by one.
func (b *builder) namesOf(ids []string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = b.name(id)
	}
	return out
}

// callRecords is the call sheet with a record for each entry.
func (b *builder) callRecords() [][]string {
	var head []string
	for _, k := range []wording.Key{
		"sheet.columnNumber", "sheet.columnBlock", "sheet.place", "sheet.columnDate", "sheet.columnStart", "sheet.columnMinute",
		"sheet.columnWait", "sheet.columnLength", "sheet.columnGrouping", "sheet.columnPeople", "sheet.columnFrames",
		"sheet.walkIn", "sheet.walkOut", "sheet.stay", "sheet.near", "sheet.release", "sheet.ready",
	} {
		head = append(head, b.cat.Say(k))
	}
	records := [][]string{head}
	at := 0
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		place := ""
		if d := b.blocks[s.Block]; d != nil {
			place = fold.Clean(d.Place)
		}
		for k := range s.Entries {
			e := &s.Entries[k]
			records = append(records, []string{
				strconv.Itoa(b.numbers[at]), b.blockTitle(s), place, b.dayOf(s), b.plainClock(s, e.Offset, false),
				strconv.Itoa(int(max(e.Offset, 0) / time.Minute)), halves(e.Wait), halves(e.Length),
				b.title(e.Grouping, e.Title), strconv.Itoa(len(b.frames[at].people) + b.guests[e.Grouping]), strconv.Itoa(max(e.Frames, 0)),
				joined(b.namesOf(e.StepIn)), joined(b.namesOf(e.StepOut)), joined(b.namesOf(e.Stay)),
				joined(b.namesOf(e.Near)), joined(b.namesOf(b.released(event.SheetPlace{Block: i, Entry: k}))), joined(b.namesOf(e.Standby)),
			})
			at++
		}
	}
	return records
}

// timeRecords says with a record for each party, block and pair of times when people are needed. Only
// the last record of a party says when they are free.
func (b *builder) timeRecords(per Per) [][]string {
	if per == PerDefault {
		per = PerPerson
	}
	var head []string
	for _, k := range []wording.Key{
		"sheet.columnName", "sheet.columnFor", "sheet.columnDate", "sheet.columnBlock", "sheet.place", "sheet.columnReadyFrom",
		"sheet.columnCalled", "sheet.columnFree", "sheet.columnMinute", "sheet.columnNumbers",
	} {
		head = append(head, b.cat.Say(k))
	}
	records := [][]string{head}
	stints := b.stints()
	circleOf := map[string]string{}
	for _, p := range b.parties(stints, PerCircle, b.grown) {
		for _, id := range p.people {
			circleOf[id] = p.title
		}
	}
	for _, p := range b.parties(stints, per, b.grown) {
		for _, t := range b.timesOf(p, stints) {
			place, free := "", ""
			if d := b.blocks[t.block.Block]; d != nil {
				place = fold.Clean(d.Place)
			}
			if t.free {
				free = b.plainClock(t.block, t.until, true)
			}
			records = append(records, []string{
				joined(b.namesOf(t.people)), circleOf[t.people[0]], b.dayOf(t.block), b.blockTitle(t.block), place,
				b.plainClock(t.block, t.ready, false), b.plainClock(t.block, t.from, false), free,
				strconv.Itoa(int(max(t.from, 0) / time.Minute)), b.numbersOf(t.stint),
			})
		}
	}
	return records
}

// timing is people of one party who are needed for the same time.
type timing struct {
	stint
	people []string
}

// timesOf lists when the people of a party are needed, by time; those with the same times together.
func (b *builder) timesOf(p party, stints map[string][]stint) []timing {
	var out []timing
	for _, id := range p.people {
		for _, s := range stints[id] {
			i := slices.IndexFunc(out, func(t timing) bool {
				return t.at == s.at && t.free == s.free && t.ready == s.ready && t.from == s.from && t.until == s.until && slices.Equal(t.entries, s.entries) &&
					(s.free || t.next == s.next || t.next != nil && s.next != nil && t.next.at == s.next.at && t.next.ready == s.next.ready)
			})
			if i < 0 {
				out = append(out, timing{stint: s})
				i = len(out) - 1
			}
			out[i].people = append(out[i].people, id)
		}
	}
	slices.SortStableFunc(out, func(x, y timing) int {
		if !x.block.Start.IsZero() && !y.block.Start.IsZero() {
			return x.block.Start.Add(x.ready).Compare(y.block.Start.Add(y.ready))
		}
		return x.at - y.at
	})
	return out
}

// numbersOf lists the entries of a stint.
func (b *builder) numbersOf(s stint) string {
	parts := make([]string, len(s.entries))
	for i, at := range s.entries {
		parts[i] = strconv.Itoa(b.numbers[at])
	}
	return strings.Join(parts, " ")
}

// plainClock writes a time with the digits 0 to 9, rounded down or up to the minute; nothing without
// a clock.
func (b *builder) plainClock(s *event.SheetBlock, d time.Duration, up bool) string {
	if s.Start.IsZero() {
		return ""
	}
	t := b.local(s.Start.Add(d))
	if whole := t.Truncate(time.Minute); up && !whole.Equal(t) {
		t = whole.Add(time.Minute)
	}
	return t.Format("15:04")
}

// halves writes minutes to the nearest half.
func halves(d time.Duration) string {
	half := (max(d, 0)/time.Second + 15) / 30
	s := strconv.FormatInt(int64(half/2), 10)
	if half%2 == 1 {
		s += ".5"
	}
	return s
}
