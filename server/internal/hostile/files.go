package hostile

import (
	"fmt"
	"strings"
)

// Tables are CSV files, of as many rows as may be.
func Tables() []Shape {
	var out []Shape
	for _, s := range tables {
		out = append(out, Shape{s.Name, func(n int) string { return firstLines(s.Make(n)) }})
	}
	return out
}

var tables = []Shape{
	{"one cell", func(n int) string { return fill(n, same("<tr><td>a")) }},
	{"groups of unknown names", func(n int) string {
		return "Group,Members\n" + fill(n, func(i int) string { return fmt.Sprintf("t%d,\"%s\"\n", i, rows(90, 90*i, "; ")) })
	}},
	{"photographs of unknown names", func(n int) string {
		return "Title,People\n" + fill(n, func(i int) string { return fmt.Sprintf("t%d,\"%s\"\n", i, rows(20, i, "; ")) })
	}},
	{"photographs of unknown names in long cells", func(n int) string {
		return "Title,People\n" + fill(n, func(i int) string { return fmt.Sprintf("t%d,\"%s\"\n", i, rows(200, i, ", ")) })
	}},
	{"photographs of names like those of people", func(n int) string {
		k := min(2000, n/80)
		return "[People],\nName,Relation\n" + lines(k, func(i int) string { return name(i) + ",cousin" }) + "[Photographs],\nTitle,People\n" +
			fill(n-20*k, func(i int) string { return fmt.Sprintf("t%d,\"%sq, %sz, %s\"\n", i, name(i), name(2*i), name(3*i)) })
	}},
	{"people of one name", func(n int) string { return "Name,Relation\n" + fill(n, same("Anna,cousin\n")) }},
	{"people of one name in photographs", func(n int) string {
		k := min(2000, n/40)
		return "[People],\nName,Relation\n" + strings.Repeat("Anna,cousin\n", k) + "[Photographs],\nTitle,People\n" + fill(n-12*k, same("t,\"Anna, Anna, Anna\"\n"))
	}},
	{"photographs of one title", func(n int) string { return "Title,People\n" + fill(n, same("t,\"Rosa; Bo\"\n")) }},
	{"sides", func(n int) string {
		return "Name,Side\n" + fill(n, func(i int) string { return name(i) + "," + word(i) + " side\n" })
	}},
	{"circles", func(n int) string {
		return "Name,Circles\n" + fill(n, func(i int) string { return name(i) + ",\"" + rows(60, i*60, "; ") + "\"\n" })
	}},
	{"circles of circles", func(n int) string {
		return "[Circles],,\nCircle,People,Leader\n" + fill(n, func(i int) string { return word(i) + ",\"" + rows(30, i, "; ") + "\"," + word(i+1) + "\n" })
	}},
	{"a matrix", func(n int) string {
		w := min(500, n/1000+2)
		return "," + strings.Join(strings.Split(rows(w, 0, ";"), ";"), ",") + "\n" + fill(n, func(i int) string { return name(i) + strings.Repeat(",x", w) + "\n" })
	}},
	{"fields inside of fields", func(n int) string {
		return "[Event],\nfield,value\n" + fill(n, func(i int) string {
			return word(i) + strings.Repeat("[4999].a", 60) + ",1\n"
		})
	}},
	{"empty cells", func(n int) string { return "Name,Relation\n" + fill(n, same(strings.Repeat(",", 900)+"\n")) }},
	{"quotes", func(n int) string { return "Name,Relation\n" + fill(n, same("a\"b\"\"c,\"d\"e\n")) }},
	{"headers", func(n int) string { return fill(n, same("name,people,title,relation,members\n")) }},
}

// rows are k names from i on with a separator between them.
func rows(k, i int, separator string) string {
	names := make([]string, k)
	for j := range names {
		names[j] = name(i + j)
	}
	return strings.Join(names, separator)
}

func lines(k int, next func(i int) string) string {
	var b strings.Builder
	for i := range k {
		b.WriteString(next(i) + "\n")
	}
	return b.String()
}

// Trees are event files in YAML.
var Trees = []Shape{
	{"complex keys", func(n int) string { return "people: [{" + fill(n, same("? ,")) + "}]" }},
	{"complex keys of lists", func(n int) string { return "people: [{" + fill(n, same("? [a] : b,")) + "}]" }},
	{"one mapping of many keys", func(n int) string {
		return "people: [{" + fill(n, func(i int) string { return word(i) + ": 1," }) + "}]"
	}},
	{"one block of many keys", func(n int) string { return fill(n, func(i int) string { return word(i) + ": 1\n" }) }},
	{"one key often", func(n int) string { return "people: [{" + fill(n, same("a: 1,")) + "}]" }},
	{"null members", func(n int) string { return "people: [{id: a, name: A}]\ngroupings: [{members: [" + fill(n, same(",")) }},
	{"members", func(n int) string { return "groupings: [{members: [" + fill(n, same("q,")) + "]}]" }},
	{"unknown members in many photographs", func(n int) string {
		return "people: [" + fill(n/2, func(i int) string { return "{id: " + word(i) + ", name: " + name(i) + "}," }) + "]\ngroupings: [" +
			fill(n/2, func(i int) string { return "{members: [" + rows(30, i, "q, ") + "]}," }) + "]"
	}},
	{"empty people", func(n int) string { return "people: [" + fill(n, same("{},")) + "]" }},
	{"aliases of a long text", func(n int) string {
		return "title: &a " + strings.Repeat("x", n/2) + "\npeople: [" + fill(n/2, same("{name: *a, relation: *a},")) + "]"
	}},
	{"aliases of a list", func(n int) string {
		return "sides: &a [" + strings.Repeat("q,", 900) + "]\npeople: [" + fill(n, same("{nicknames: *a},")) + "]"
	}},
	{"anchors", func(n int) string {
		return "people: [" + fill(n, func(i int) string { return "&" + word(i) + " {}," }) + "]"
	}},
	{"brackets", func(n int) string { return "people: [" + fill(n, same("[[[[[[]]]]]],")) + "]" }},
	{"comments", func(n int) string { return fill(n, same("# a\n")) + "people: []" }},
	{"comments between", func(n int) string { return "people:\n" + fill(n, same("- a # b\n# c\n\n")) }},
	{"quotes", func(n int) string { return "people: [" + fill(n, same(`"\n\u0041'",`)) + "]" }},
	{"folded lines", func(n int) string { return "title: >\n" + fill(n, same(" a\n\n")) }},
	{"tags", func(n int) string { return "people: [" + fill(n, same("!!str a,")) + "]" }},
	{"questions", func(n int) string { return fill(n, same("? ")) }},
	{"colons", func(n int) string { return "people: [" + fill(n, same("a: b: ")) }},
	{"dashes", func(n int) string { return "people:\n" + fill(n, same("- - - a\n")) }},
}

// JSON are event files in JSON.
var JSON = []Shape{
	{"of one line", func(n int) string {
		return `{"people":[{` + fill(n, func(i int) string { return `"` + word(i) + `":1,` }) + `"z":1}]}`
	}},
	{"people", func(n int) string {
		return `{"people":[` + fill(n, func(i int) string { return `{"id":"` + word(i) + `","nam":1},` }) + `{}]}`
	}},
	{"escapes", func(n int) string { return `{"title":"` + fill(n, same(`\u00e9`)) + `"}` }},
	{"unknown fields", func(n int) string {
		return `{` + fill(n, func(i int) string { return `"peopl` + word(i) + `":[],` }) + `"a":1}`
	}},
	{"spaces", func(n int) string { return `{"people":[` + fill(n, same("          1,")) + `1]}` }},
}
