package kin

import (
	"embed"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The words of relationship are in words/*.txt, a file a language.
//
//go:embed words/*.txt
var files embed.FS

// Lines returns what a language's file of words says, nothing where it has none. Package intake/prose/words reads its
// lines "kin" too.
func Lines(language string) string {
	content, _ := files.ReadFile("words/" + language + ".txt")
	return string(content)
}

// exactly is the file of words that are not looked up without their marks.
const exactly = "exact"

// relationRow is a line of the files: words that stand for one kind of kin, and those for several people.
type relationRow struct {
	file         string
	is           Relation
	one, several []string
}

// relationRows are all of them. Of two meanings of a word the first counts.
var relationRows = func() []relationRow {
	var rows []relationRow
	for _, file := range []string{"en", "pt", "es", "fr", "de", "other", exactly} {
		for line := range strings.Lines(Lines(file)) {
			if head, list, ok := strings.Cut(line, ":"); ok && !strings.HasPrefix(line, "#") {
				one, several, _ := strings.Cut(list, "|")
				rows = append(rows, relationRow{file, relationOf(strings.Fields(head)), strings.Split(one, ","), strings.Split(several, ",")})
			}
		}
	}
	return rows
}()

// whose is a relation to somebody as lists in all languages have it.
var whose = regexp.MustCompile(`^(.+)['’]s (\pL+)$`)

// Said says what somebody is to somebody in the grammar of a language, where the word is one of that language.
func Said(language, text string) string {
	of := map[string]string{"de": " von ", "es": " de ", "fr": " de ", "pt": " de "}[language]
	m := whose.FindStringSubmatch(text)
	if of == "" || m == nil || !slices.ContainsFunc(relationRows, func(r relationRow) bool {
		return r.file == language && slices.ContainsFunc(r.one, func(s string) bool { return strings.EqualFold(strings.TrimSpace(s), m[2]) })
	}) {
		return text
	}
	if first, size := utf8.DecodeRuneInString(m[2]); language == "de" {
		m[2] = string(unicode.ToUpper(first)) + m[2][size:]
	}
	if first, _ := utf8.DecodeRuneInString(m[1]); language == "fr" && strings.ContainsRune("AEIOUYHÉÈ", first) {
		of = " d’"
	}
	return m[2] + of + m[1]
}

var kinds = map[string]Kind{
	"couple": OfCouple, "parent": Parent, "grandparent": Grandparent, "greatgrandparent": GreatGrandparent, "sibling": Sibling,
	"aunt": AuntUncle, "greataunt": GreatAuntUncle, "cousin": Cousin, "niece": NieceNephew, "child": Offspring,
	"grandchild": Grandchild, "partner": Partner, "godparent": Godparent, "godchild": Godchild, "attendant": Attendant,
	"friend": Friend, "family": Family,
}

// relationOf is what the head of a line says: "kin parent w inlaw".
func relationOf(head []string) Relation {
	r := Relation{Kind: kinds[head[1]]}
	for _, argument := range head[2:] {
		switch argument {
		case "w":
			r.Sex = Woman
		case "m":
			r.Sex = Man
		case "inlaw":
			r.InLaw = true
		case "step":
			r.Step = true
		}
	}
	return r
}

// Words of age and parting, without accents, from everyday use of the languages, without a source.
var (
	ageWords = wordSet(`age aged is years year yrs yr y yo old turning nearly almost about
		anos ano idade com de del quase tiene tem años edad
		ans an age agee a presque
		jahre jahr jahrig alt im alter von
		anni jaar ar 岁 歲 سنة عاما عام سنوات عمرها عمره tuoi`)
	monthWords = wordSet(`months month mos mo mths mth m weeks week wks wk days
		meses mes semanas semana mois semaines semaine monate monat wochen woche mesi maanden
		个月 個月 月 周 أشهر شهور شهر شهرا thang`)
	partedWords = wordSet(`divorced separated estranged divorcee
		divorciado divorciada divorciados divorciadas separado separada separados separadas
		divorce divorces divorcees separe separee separes separees
		geschieden geschiedene geschiedener getrennt
		divorziato divorziata gescheiden 离婚 離婚 离异 مطلق مطلقة منفصلان`)
	fromWords = wordSet(`from d'avec avec do da de del von vom من`)
)
