package table

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// group is a photograph whose number or name guests have in a column of theirs.
type group struct {
	code   string // as it is compared
	title  string
	note   string // that stands behind the title in a key
	g      *Grid  // of the key that gives its title, or of the first who has it
	h      head
	row    int
	keyed  bool
	people []int
	out    []int // of those who are in all
}

var (
	// keyForm is a line that says what a number stands for: "Group 1 = both families".
	keyForm = regexp.MustCompile(`(?i)^(?:(?:photo )?group|groupe|grupo|gruppe|foto|photo|no\.?|nr\.?|第)?\s*#?\s*(\d{1,3}[a-z]?|[a-z])\s*(?:组)?\s*[=:：.)–-]\s*(\S.*)$`)
	// codeForm is what a cell with numbers of groups holds.
	codeForm = regexp.MustCompile(`^#?(?:\d{1,3}[A-Za-z]?|[A-Za-z]\d{0,2})$`)
	ranges   = regexp.MustCompile(`(\d{1,3})\s*[-–]\s*(\d{1,3})`)
)

// codes takes a cell with groups apart: "1, 3-5", "A+B", "Family; Friends".
func codes(cell string) []string {
	cell = ranges.ReplaceAllStringFunc(cell, func(s string) string {
		m := ranges.FindStringSubmatch(s)
		from, _ := strconv.Atoi(m[1])
		to, _ := strconv.Atoi(m[2])
		if to < from || to-from > 50 {
			return s
		}
		var out []string
		for n := from; n <= to; n++ {
			out = append(out, strconv.Itoa(n))
		}
		return strings.Join(out, ",")
	})
	split := func(c rune) bool { return strings.ContainsRune(",;/&+|、，؛،\n", c) }
	parts := strings.FieldsFunc(cell, split)
	if spaced := strings.Fields(cell); len(parts) == 1 && !slices.ContainsFunc(spaced, func(s string) bool { return !codeForm.MatchString(s) }) {
		parts = spaced
	}
	var out []string
	for _, p := range parts {
		if p = line(strings.TrimSpace(p)); p != "" && !no(p) {
			out = append(out, p)
		}
	}
	return out
}

// findGroups decides whether a column named group has numbers of photographs in it or circles.
func (h *head) findGroups(g *Grid) {
	x, circles := h.columns["circles"]
	if h.kind != People || !circles || h.has("groups") {
		return
	}
	n, short := 0, 0
	for row := h.row + 1; row < len(g.Rows); row++ {
		if cell := g.at(row, x); cell != "" && !isTotal(g.Rows[row]) {
			n++
			if !slices.ContainsFunc(codes(cell), func(c string) bool { return !codeForm.MatchString(c) && !says("all", c) }) {
				short++
			}
		}
	}
	if n > 0 && 3*short > 2*n {
		h.columns["groups"] = x
		delete(h.columns, "circles")
	}
}

// wanted reports whether a row of people stands in photographs: it has marks or groups.
func (r *reader) wanted(g *Grid, h head, row int) bool {
	return slices.ContainsFunc(h.marked, func(x int) bool { return yes(g.at(row, x)) }) || len(codes(h.get(g, row)("groups"))) > 0
}

// isKey takes a row that says what the number of a group stands for.
func (r *reader) isKey(g *Grid, h head, row int) bool {
	noted := row > h.row && filled(g.Rows[row]) == 3 && h.get(g, row)("groups") == "" && r.codeOfOthers(g, h, g.Rows[row][0]) // "E, Grandma, do this first"
	if !h.has("groups") || filled(g.Rows[row]) > 2 && !noted {
		return false
	}
	cells, note := distinct(g.Rows[row]), ""
	if noted && len(cells) == 3 {
		cells, note = cells[:2], cells[2]
	}
	m := keyForm.FindStringSubmatch(strings.Join(cells, " = "))
	if n := len(cells); m == nil && n == 2 && !keyForm.MatchString(cells[0]) { // "KEY", "A = Ann's family"
		m = keyForm.FindStringSubmatch(cells[1])
	}
	if m == nil {
		return false
	}
	r.use(g, row, place.Used)
	r.keep(&group{code: names.Plain(m[1]), title: m[2], note: note, g: g, h: head{row: -1}, row: row, keyed: true})
	return true
}

// codeOfOthers reports whether a cell is the number of a group that a guest has.
func (r *reader) codeOfOthers(g *Grid, h head, cell string) bool {
	x, ok := h.columns["groups"]
	return ok && codeForm.MatchString(cell) && r.Effort.Spend(10*len(g.Rows)) && slices.ContainsFunc(g.Rows[h.row+1:], func(cells []string) bool {
		return x < len(cells) && slices.ContainsFunc(codes(cells[x]), func(c string) bool { return names.Plain(c) == names.Plain(cell) })
	})
}

func (r *reader) keep(x *group) {
	if !slices.ContainsFunc(r.groups, func(y *group) bool { return y.code == x.code }) {
		r.groups = append(r.groups, x)
	}
}

// key reads a table that says what the groups are which guests have the numbers of.
func (r *reader) key(g *Grid, h head) {
	for row := h.row + 1; row < len(g.Rows); row++ {
		get := h.get(g, row)
		code, title := names.Plain(get("number")), line(get("title"))
		if isRuler(g, h, row) || code == "" && title == "" {
			r.use(g, row, place.Ruler)
			continue
		}
		r.use(g, row, place.Used)
		r.keep(&group{code: cmp.Or(code, names.Plain(title)), title: cmp.Or(title, get("number")), g: g, h: h, row: row, keyed: true})
	}
}

// grouped makes the photographs that guests have numbers of.
func (r *reader) grouped(tables []*table) {
	var all []int
	for _, t := range tables {
		if t.h.kind != People || !t.h.has("groups") {
			continue
		}
		for _, p := range r.byPerson[t.g] {
			but := false
			for _, c := range codes(t.h.get(t.g, p.row)("groups")) {
				rest, most := allBut(c)
				if c = rest; most || says("all", c) {
					all = append(all, p.index)
				}
				if but = but || most; !but && says("all", c) {
					continue
				}
				x := r.groupOf(c)
				if x == nil {
					x = &group{code: names.Plain(c), title: c, g: t.g, row: p.row}
					r.groups = append(r.groups, x)
				}
				if but {
					x.out = append(x.out, p.index)
				} else {
					x.people = append(x.people, p.index)
				}
			}
		}
	}
	if !slices.ContainsFunc(r.groups, func(x *group) bool { return x.keyed }) {
		slices.SortStableFunc(r.groups, func(a, b *group) int {
			m, _ := strconv.Atoi(a.code)
			n, _ := strconv.Atoi(b.code)
			return cmp.Compare(m, n)
		})
	}
	couple := r.Couple()
	missing := len(couple) == 2 && !slices.ContainsFunc(couple, func(i int) bool {
		return slices.Contains(all, i) || slices.ContainsFunc(r.groups, func(x *group) bool { return slices.Contains(x.people, i) })
	})
	for _, x := range r.groups {
		if missing {
			x.people = append(slices.Clone(couple), x.people...)
		}
		r.photographOf(x, all, missing)
	}
}

// allBut takes words off a number that put somebody into all groups but that one: "all but 7".
func allBut(cell string) (string, bool) {
	key := names.Plain(cell)
	for word := range cellWords["all but"] {
		if rest, ok := strings.CutPrefix(key, word+" "); ok {
			return rest, true
		}
	}
	return cell, false
}

// groupOf finds a group by its number, or by its title.
func (r *reader) groupOf(code string) *group {
	plain := names.Plain(code)
	for _, field := range []func(x *group) string{func(x *group) string { return x.code }, func(x *group) string { return names.Plain(x.title) }} {
		if i := slices.IndexFunc(r.groups, func(x *group) bool { return field(x) == plain }); i >= 0 {
			return r.groups[i]
		}
	}
	return nil
}

func (r *reader) photographOf(x *group, all []int, couple bool) {
	if len(x.people) == 0 {
		r.reportRow(x.g, x.row, -1, event.Error, place.CodeNobody, wording.Say("file.nobodyHasTheGroup", wording.Curly(short(x.title))))
		return
	}
	made := event.Grouping{Title: x.title, PrivateNote: x.note}
	if x.keyed && x.h.columns != nil {
		made, _ = r.grouping(x.g, x.h, x.row)
	} else if !x.keyed && codeForm.MatchString(x.title) {
		made.Title = "Group " + x.title
		r.add(x.g.problem(x.row, -1, event.Warning, place.CodeTakenAs, wording.Say("file.groupHasNoTitle", wording.Curly(x.title), wording.Curly(made.Title))))
	}
	people := slices.DeleteFunc(append(slices.Clone(all), x.people...), func(i int) bool { return slices.Contains(x.out, i) })
	slices.Sort(people)
	for _, i := range slices.Compact(people) {
		made.Members = append(made.Members, r.ID(i))
	}
	if couple {
		r.add(x.g.problem(x.row, -1, event.Info, place.CodeTakenAs, wording.Say("file.coupleIsTakenIn", wording.Curly(short(made.Title)))))
	}
	r.keepGrouping(x.g, x.row, made)
}

// keepGrouping puts a photograph of a row into the event.
func (r *reader) keepGrouping(g *Grid, row int, made event.Grouping) {
	if made.ID == "" || r.HasGrouping(made.ID) {
		made.ID = r.NewGroupingID(made.Title)
	} else {
		r.TakeGroupingID(made.ID)
	}
	r.use(g, row, place.Used, fmt.Sprintf("groupings[%d]", len(r.Event.Groupings)))
	r.Event.Groupings = append(r.Event.Groupings, made)
}
