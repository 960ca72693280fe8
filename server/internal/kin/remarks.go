package kin

import (
	"strings"
	"unicode"
)

// Remarks is what words say beside a relation: the age of "grandmother, 82", that "father (divorced)" has left the other
// parent.
type Remarks struct {
	// Age is in whole years, -1 where none is said.
	Age int
	// Divorced says so of a marriage, From from whom where the words say it: "divorced from Karim".
	Divorced bool
	From     string
}

// oldest is the greatest number that is read as an age.
const oldest = 119

// ReadRemarks understands the parts of a relation between commas and brackets. A number is an age only where nothing but
// words of age are beside it: "table 12" is none.
func ReadRemarks(s string) Remarks {
	out := Remarks{Age: -1}
	for part := range strings.FieldsFuncSeq(straight(s), func(r rune) bool { return strings.ContainsRune(",;()[]،，、（）", r) }) {
		words := strings.Fields(part)
		if years, ok := ageOf(part); ok {
			out.Age = years
		}
		for i, w := range words {
			if !partedWords[Bare(Key(w))] {
				continue
			}
			out.Divorced = true
			if i+2 < len(words) && (relationOfs[Fold(words[i+1])] || fromWords[Fold(words[i+1])]) {
				out.From = strings.Join(withoutArticle(words[i+2:]), " ")
			}
		}
	}
	return out
}

// ageOf reads "82", "aged 82", "8 months", "82 Jahre alt", "82岁" in whole years.
func ageOf(part string) (years int, ok bool) {
	number, months := -1, false
	for _, w := range strings.Fields(apartFromDigits(Bare(Key(part)))) {
		switch n, digits := count(w); {
		case digits && number < 0 && n <= oldest:
			number = n
		case monthWords[w]:
			months = true
		case !ageWords[w]:
			return 0, false
		}
	}
	if months {
		number /= 12
	}
	return number, number >= 0
}

// apartFromDigits puts a space between digits and letters: "8mo" is "8 mo".
func apartFromDigits(s string) string {
	var b strings.Builder
	before := ' '
	for _, r := range s {
		if unicode.IsDigit(r) != unicode.IsDigit(before) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		before = r
	}
	return b.String()
}

// count reads a number in the digits of any script.
func count(w string) (n int, ok bool) {
	for _, r := range w {
		zero := r
		for unicode.IsDigit(zero-1) && r-zero < 9 {
			zero--
		}
		if !unicode.IsDigit(r) || n > oldest {
			return 0, false
		}
		n = 10*n + int(r-zero)
	}
	return n, w != ""
}
