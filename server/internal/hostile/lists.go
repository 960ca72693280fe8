// Package hostile makes input that is meant to keep a core busy, for tests and benchmarks of everything that
// reads what strangers send. It holds no bytes that are invalid: all of it is within the limits.
package hostile

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// A Shape makes input of a kind of about n bytes.
type Shape struct {
	Name string
	Make func(n int) string
}

// fill repeats what next makes until it has n bytes.
func fill(n int, next func(i int) string) string {
	var b strings.Builder
	for i := 0; b.Len() < n; i++ {
		b.WriteString(next(i))
	}
	return b.String()
}

// long puts what next makes on lines of 1900 bytes.
func long(n int, next func(i int) string) string {
	at := 0
	return fill(n, func(i int) string {
		s := next(i)
		if at += len(s); at > 1900 {
			at = len(s)
			return "\n" + s
		}
		return s
	})
}

// word is a word of small letters that no other i has.
func word(i int) string {
	s := ""
	for i++; i > 0; i /= 26 {
		i--
		s = string(rune('a'+i%26)) + s
	}
	return s
}

// name is a name that no other i has, near those of many others when they are near.
func name(i int) string { return "Annaxy" + word(i) }

func guests(n int, next func(i int) string) string {
	var b strings.Builder
	b.WriteString("Guests:\n")
	for i := range n {
		b.WriteString(next(i) + "\n")
	}
	return b.String() + "\nPhotos:\n"
}

// under is guests and then photographs, together of about n bytes.
func under(n, people int, guest, photo func(i int) string) string {
	list := guests(people, guest)
	return list + fill(n-len(list), photo)
}

func same(s string) func(int) string { return func(int) string { return s } }

// MostLines is how many lines a typed list may have.
const MostLines = 4000

// Lists are typed lists, of as many lines as may be.
func Lists() []Shape {
	var out []Shape
	for _, s := range lists {
		out = append(out, Shape{s.Name, func(n int) string { return firstLines(s.Make(n)) }})
	}
	return out
}

func firstLines(s string) string {
	lines := strings.SplitN(s, "\n", MostLines)
	return strings.Join(lines[:min(len(lines), MostLines-1)], "\n")
}

var lists = []Shape{
	{"the same few on every line", func(n int) string { return fill(n, same("Ann Be and Cy De with Ed Fi and Go Ha\n")) }},
	{"guests of one name, all in each photograph", func(n int) string {
		k := max(2, n/64)
		return guests(min(k, 1900), same("Anna - cousin")) + long(n-14*k, same("Anna, "))
	}},
	{"a line of one-letter words", func(n int) string { return long(n, same("a ")) }},
	{"a line of small words", func(n int) string { return long(n, func(i int) string { return word(i) + " " }) }},
	{"everyone except", func(n int) string {
		return under(n, min(1900, n/24), func(i int) string { return "Ann " + word(i) }, same("everyone except A and B and Ann\n"))
	}},
	{"unknown names like those of guests", func(n int) string {
		return under(n, min(1900, n/24), name, func(i int) string { return name(i) + "q, " + name(3*i) + "z\n" })
	}},
	{"unknown names like those of guests in long lines", func(n int) string {
		list := guests(min(1900, n/24), name)
		return list + long(n-len(list), func(i int) string { return "Annaxyz" + word(i) + ", " })
	}},
	{"slips in names of several words", func(n int) string {
		return under(n, min(1900, n/48), func(i int) string { return "Annabella Carolina " + word(i) + "sson" },
			func(i int) string { return "Anabella Carolinna " + word(i) + "son, Anabela Carolina\n" })
	}},
	{"names nobody has, with digits", func(n int) string {
		return under(n, 1500, func(i int) string { return fmt.Sprintf("Annabella%dxyz", i) }, func(i int) string {
			line := fmt.Sprintf("Anabela%dxzy", 25*i)
			for k := range 24 {
				line += fmt.Sprintf(" + Anabela%dxzy", 25*i+k+1)
			}
			return line + "\n"
		})
	}},
	{"Anna & Anna", func(n int) string { return long(n, same("Anna & ")) }},
	{"names and names", func(n int) string { return long(n, func(i int) string { return "Anna " + word(i) + " & " }) }},
	{"commas", func(n int) string { return long(n, same("a,")) }},
	{"names with commas", func(n int) string { return long(n, func(i int) string { return name(i) + ", " }) }},
	{"guests with commas", func(n int) string {
		return "Guests:\n" + long(n, func(i int) string { return word(i) + "," })
	}},
	{"guests with brackets", func(n int) string {
		return "Guests:\n" + long(n, func(i int) string { return word(i) + "(a)," })
	}},
	{"open brackets", func(n int) string { return long(n, same("(")) + "a" }},
	{"open brackets of people", func(n int) string { return long(n, same("a (")) }},
	{"brackets", func(n int) string { return long(n, same("a (b) ")) }},
	{"brackets of brackets", func(n int) string { return long(n, same("a, b ([a], {b}) ")) }},
	{"dashes", func(n int) string { return long(n, same("a - ")) }},
	{"only dashes", func(n int) string { return long(n, same(" -")) + "a" }},
	{"guests with dashes", func(n int) string { return "Guests:\n" + long(n, same("a - ")) }},
	{"colons", func(n int) string { return long(n, same("a: ")) }},
	{"parents and siblings", func(n int) string {
		return under(n, min(900, n/48), func(i int) string {
			return name(i) + " - " + []string{"mother", "brother", "parent", "sister"}[i%4] + " of " + name(i/2)
		}, func(i int) string { return name(i%900) + "'s parents and siblings and " + name(i%90) + "'s cousins\n" })
	}},
	{"relations of relations", func(n int) string { return long(n, same("Rosa's mother's brother's cousin's, ")) }},
	{"of of of", func(n int) string { return long(n, same("mother of the ")) }},
	{"partners and kids", func(n int) string {
		return under(n, min(1900, n/24), func(i int) string { return name(i) + " - friend" }, same("everyone with partners and kids and their families\n"))
	}},
	{"everyone often", func(n int) string {
		return under(n, min(1900, n/24), name, func(i int) string { return strings.Repeat("everyone, ", 180) + "\n" })
	}},
	{"the same again", func(n int) string { return "everyone\n" + fill(n, same("same, same, same + same\n")) }},
	{"add to the same", func(n int) string { return fill(n, func(i int) string { return "+ " + name(i) + "\n" }) }},
	{"families of one name", func(n int) string {
		return under(n, min(1900, n/24), func(i int) string { return word(i) + " Vance" }, same("the Vances, Vance family, the Vance clan, Mr & Mrs Vance\n"))
	}},
	{"circles of guests", func(n int) string {
		return "Guests:\n" + fill(n, func(i int) string { return word(i) + "s: " + name(i%500) + ", " + name(i%499) + "\n" })
	}},
	{"circles of cousins", func(n int) string {
		return "Guests:\n" + fill(n, func(i int) string { return name(i%200) + "'s cousins: " + name(i%500) + ", " + name(i%499) + "\n" })
	}},
	{"sides", func(n int) string {
		return fill(n, func(i int) string { return "# " + name(i) + "'s side\n" + word(i) + " - cousin\n" })
	}},
	{"people of sides", func(n int) string {
		return "Guests:\n" + fill(n, func(i int) string { return word(i) + " (" + name(i) + "'s side)\n" })
	}},
	{"headings", func(n int) string {
		return fill(n, func(i int) string { return "## cousins\n" + name(i) + "\n" })
	}},
	{"numbers of people", func(n int) string {
		return fill(n, func(i int) string { return "50 " + word(i) + " cousins, 49 " + word(i) + "s friends\n" })
	}},
	{"plus ones", func(n int) string {
		return under(n, min(1900, n/24), name, same("everyone + plus ones\n"))
	}},
	{"accents", func(n int) string { return long(n, same("é̂́̃ñ̃̃, ")) }},
	{"marks on one letter", func(n int) string { return long(n, same("\u0301\u0323")) }},
	{"Chinese", func(n int) string { return long(n, same("林伟的父母和")) }},
	{"Chinese names", func(n int) string {
		return under(n, min(1900, n/24), func(i int) string { return "林" + string(rune(0x4e00+i)) }, same("林, 林的父母\n"))
	}},
	{"Arabic", func(n int) string { return long(n, same("أحمد وعائلته، ")) }},
	{"nicknames", func(n int) string {
		return "Guests:\n" + fill(n, func(i int) string { return "Rosa " + strings.Repeat(`"`+word(i)+`" `, 30) + "\n" })
	}},
	{"couples", func(n int) string {
		return fill(n, func(i int) string { return "Couple: " + name(i) + " & " + word(i) + "\n" })
	}},
	{"fillers", func(n int) string { return long(n, same("then all of the ")) }},
	{"remarks at the end", func(n int) string { return fill(n, same("Rosa, x2, x3, if time, must, 5 min !!\n")) }},
	{"prose", func(n int) string {
		return long(n, same("we would like to have all of them who are there because they are, "))
	}},
	{"titles", func(n int) string {
		return fill(n, func(i int) string { return fmt.Sprintf("all %ss: %s, %s\n", word(i), name(i), name(i+1)) })
	}},
	{"spaces", func(n int) string { return long(n, same("a\u00a0\u2003 ")) }},
	{"an honest list of 300 guests and 80 photographs with 8 slips each", func(int) string { return Slips() }},
}

// pieces are what people write, and what they do not.
var pieces = []string{
	"Anna", "Rosa", "Ann Vance", "the Vances", "Vance family", "Annaxyq", "Mr", "Mrs Vance", "everyone", "couple", "all cousins", "parents", "siblings", "and kids", "with partners",
	"Rosa's parents", "Anna's", "mother of the bride", "bride", "groom", "both families", "same", "others", "etc", "50 cousins", "two friends", "plus ones", "her mother", "their kids",
	"Rosa's side", "family", "household", "grandmother", "Nana", "uncle", "best man",
	"except", "without", "and", "&", "+", ",", ";", "/", "(", ")", "[", "]", "-", "–", ":", "\"", "'s", "of", "the", "all", "then", "x2", "must", "if time", "5 min", "!", "12:30", "#", "*",
	"a", "b", "q", "é", "ñ́", "林伟", "和", "的父母", "أحمد", "و", "Ñandú Ägir", "aka", "age 7", "wheelchair", "baby", "is", "please", "photo of",
	"\t", "  ", "\u00a0", ".", "?", "%", "12", "1.", "- ",
}

// Random is a list made of a few pieces, picked by a seed, on lines of some length, below guests or none.
func Random(seed uint64, n int) string {
	r := rand.New(rand.NewPCG(seed, 12))
	few := make([]string, 1+r.IntN(6))
	for i := range few {
		few[i] = pieces[r.IntN(len(pieces))]
	}
	length := []int{50, 90, 300, 1900}[r.IntN(4)]
	line := func(int) string {
		var b strings.Builder
		for b.Len() < length {
			b.WriteString(few[r.IntN(len(few))])
			if r.IntN(8) > 0 {
				b.WriteString(" ")
			}
		}
		return b.String() + "\n"
	}
	k := []int{0, 20, min(300, n/64), min(1900, n/32)}[r.IntN(4)]
	kind := r.IntN(6)
	guest := func(i int) string {
		return [...]string{"Anna", name(i), "Ann " + word(i), word(i) + " Vance", name(i) + " - " + few[0], "Anna - cousin of " + name(i/3)}[kind]
	}
	if k == 0 {
		return firstLines(fill(n, line))
	}
	return firstLines(under(n, k, guest, line))
}

// Slips is the list of somebody who types fast: every name of a photograph has a letter too few.
func Slips() string {
	return typed(300, 80, 8, func(s string) string { return s[:3] + s[4:] })
}

// Typed is a list of guests and of photographs of a few guests each, without a slip.
func Typed(people, photographs, each int) string {
	return typed(people, photographs, each, func(s string) string { return s })
}

func typed(people, photographs, each int, write func(string) string) string {
	first := []string{"Matilda", "Leonard", "Beatrix", "Cornelius", "Philippa", "Sebastian", "Rosamund", "Theodore", "Harriet", "Ferdinand"}
	last := []string{"Ashworth", "Bellamy", "Carmichael", "Dunmore", "Ellington", "Fairweather"}
	full := func(i int) string { return first[i%10] + " " + last[i/10%6] + word(i/60) + "s" }
	return guests(people, full) + lines(photographs, func(i int) string {
		names := make([]string, each)
		for k := range names {
			names[k] = write(full((i*each + k*37) % people))
		}
		return strings.Join(names, ", ")
	})
}
