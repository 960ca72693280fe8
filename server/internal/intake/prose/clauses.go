package prose

import "slices"

// longLine is how many words and marks a line has that is running text and no line of a list.
const longLine = 30

// clauses divides a line of running text where one wish ends and the next begins: at points, and at commas before
// "then" or "one with".
func (r *reader) clauses(i int) [][]token {
	ts, l := r.tokens[i], &r.lines[i]
	if len(ts) < longLine && !(len(ts) > 0 && isHan(ts[0].text) && len([]rune(l.text)) > 3*longLine) || l.mark != 0 || l.names {
		return nil
	}
	var out [][]token
	from, depth := 0, 0
	cut := func(k int) {
		if slices.ContainsFunc(ts[from:k], func(t token) bool { return t.kind == 'w' }) {
			out = append(out, ts[from:k])
		}
		from = k
	}
	for k := range ts {
		switch key := ts[k].key; {
		case key == "(":
			depth++
		case key == ")":
			depth = max(0, depth-1)
		case depth > 0:
		case ends(ts, k), key == ":" && len(out) == 0 && k > 2: // "Here is what we want: ..."
			cut(k + 1)
		case (key == "," || key == "-" && ts[k].gap) && r.begins(ts, k+1):
			cut(k + 1)
		}
	}
	cut(len(ts))
	return out
}

// ends reports whether a sentence ends at a mark.
func ends(ts []token, k int) bool {
	switch ts[k].key {
	case "!", "?", ";":
		return true
	case ".":
		return k+1 == len(ts) || ts[k+1].kind == 'w' && (ts[k+1].cap && ts[k+1].gap || !cased(ts[k+1].text)) && (k == 0 || len([]rune(ts[k-1].text)) > 2)
	}
	return false
}

// begins reports whether another wish begins: "then ...", "and one of ...".
func (r *reader) begins(ts []token, k int) bool {
	is := func(k int, class string) bool {
		return k < len(ts) && slices.ContainsFunc(r.lexical(ts[k]), func(w word) bool { return w.class == class })
	}
	if is(k, "and") {
		k++
	}
	if k >= len(ts) {
		return false
	}
	if isHan(ts[k].text) {
		return slices.ContainsFunc(r.splitHan(ts[k])[:1], func(t token) bool {
			return slices.ContainsFunc(r.lexical(t), func(w word) bool { return w.class == "next" })
		})
	}
	return is(k, "next") || (ts[k].key == "one" || ts[k].key == "another") && (is(k+1, "of") || is(k+1, "with"))
}
