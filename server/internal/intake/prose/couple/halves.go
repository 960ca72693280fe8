package couple

import (
	"cmp"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// halves is where of two names the half of a sex stands: the bride first.
var halves = map[byte]int{'m': 1}

// halvesNamed are the bride and the groom of a line that has the name of each right behind the word: "bride Ann, groom Bob", "B = Ann  G = Bob".
func (r *finder) halvesNamed(ph []speech.Phrase) (two [2]string, ok bool) {
	for k := 0; k+1 < len(ph); k++ {
		w, half := ph[k].Word("half")
		behind := k + 1
		if ph[behind].Key == "=" || half && ph[behind].Key == "-" && ph[behind].Gap {
			if behind++; !half { // "B = Ann   G = Bob"
				w.Sex = map[string]byte{"b": 'w', "g": 'm'}[ph[k].Key]
				half = w.Sex != 0
			}
		} else if (k == 0 || ph[k-1].Kind == 'p') && ph[k].Capital && !half { // "B Ann / G Bob"
			w.Sex = map[string]byte{"b": 'w', "g": 'm'}[ph[k].Key]
			half = w.Sex != 0
		}
		if !half || ph[k].Possessive || r.TitleName(&ph[k]) && ph[k].Capital && r.Lower {
			continue
		}
		colon := half && behind+1 < len(ph) && ph[behind].Key == ":"
		if colon { // "Bride: Ann (Annie)  Groom: Bob"
			behind++
		}
		name, end := r.NameAt(fieldOf(ph, behind), behind)
		if name == "" || ph[end-1].Possessive || colon && end < len(ph) && !ph[end].Open && ph[end].Key != "," && ph[end].Key != ";" && !ph[end].Has("half") && !isField(ph, end) {
			continue
		}
		at := halves[w.Sex]
		two[at] = cmp.Or(two[at], name)
	}
	for k, from := 0, 0; k < len(ph) && (two[0] == "" || two[1] == ""); k++ { // "Ann (bride), Bob but everybody says Rob (groom)"
		w, half := words.Word{}, false
		if n := len(ph[k].Inside); n == 1 || n == 2 {
			w, half = ph[k].Inside[len(ph[k].Inside)-1].Word("half")
		}
		if name, _ := r.NameAt(ph, from); half && name != "" {
			two[halves[w.Sex]] = name
		}
		if ph[k].Key == "=" || ph[k].Key == "," || ph[k].Key == ":" || half {
			from = k + 1
		}
	}
	return two, two[0] != "" && two[1] != "" && two[0] != two[1]
}

// toldKin reports whether a bracket or dash behind a name says whose kin somebody is: "Bride: Ida (mum), Karl (dad)", "Bride: Ida - mum".
func toldKin(ph []speech.Phrase, end int) bool {
	switch {
	case end >= len(ph):
		return false
	case ph[end].Open:
		in := ph[end].Inside
		return len(in) > 0 && in[0].Has("kin") && !(len(in) > 1 && in[1].Capital) // not "Bride: Ann (mum Ida)"
	}
	return (ph[end].Key == "-" || ph[end].Key == "=") && end+1 < len(ph) && ph[end+1].Has("kin")
}

// joinedKin reports whether another is joined behind a name, and what kin both are: "Bride: Ida & Karl (parents)".
func (r *finder) joinedKin(ph []speech.Phrase, end int) bool {
	if end+1 >= len(ph) || ph[end].Key != "&" && !ph[end].Has("and") {
		return false
	}
	_, last := r.NameAt(ph, end+1)
	return last > end+1 && toldKin(ph, last)
}

// fieldOf are the phrases before the next field of a line: "Groom: Bob Fox   Venue: Old Mill".
func fieldOf(ph []speech.Phrase, from int) []speech.Phrase {
	for k := from + 1; k < len(ph); k++ {
		if isField(ph, k) {
			return ph[:k]
		}
	}
	return ph
}

// isField reports whether a word with a colon stands at k: "Date: ...".
func isField(ph []speech.Phrase, k int) bool {
	return k+1 < len(ph) && ph[k].Kind == 'w' && ph[k].Gap && ph[k+1].Key == ":"
}

// kinBehind reports whether kin follows a mark: "Ann: mother Ida", "Bride: Ann - mum Ida", or who is of which: "Ann: Ida (mum)".
func kinBehind(ph []speech.Phrase, at int) bool {
	for k := at + 1; k < len(ph) && ph[k].Key != ","; k++ {
		if ph[k].Has("kin") || ph[k].Open && speech.AnyHas(ph[k].Inside, "kin") {
			return true
		}
	}
	return false
}

// matchSexes finds out who of the couple is the bride: said, by the given names, else who is named first, as usual.
func (r *finder) matchSexes() {
	if r.Couple[0] < 0 || r.Brides['w'] != 0 {
		return
	}
	a, b := r.Guests[r.Couple[0]].Sex, r.Guests[r.Couple[1]].Sex
	r.Unsure = a == b || a == 0 || b == 0
	two := r.Seen["brides"] && (r.Seen["both"] || r.Seen["two"] || r.Seen["2"]) || r.Seen["husbands"] || r.Seen["wives"] || r.Seen["grooms"] && r.Seen["both"]
	switch {
	case two && r.twoOfOne():
		return
	case a == 'm' && b != 'm' || b == 'w' && a != 'w':
		r.Brides['w'], r.Brides['m'] = 2, 1
	default:
		r.Brides['w'], r.Brides['m'] = 1, 2
		r.Assumed = a != 'w' && b != 'm'
	}
}

// twoOfOne reports whether the list says that there are two brides or two grooms.
func (r *finder) twoOfOne() bool {
	for i := range r.Lines {
		k := names.Plain(r.Lines[i].Text)
		for _, s := range words.List("two of one") {
			if strings.Contains(k, s) {
				return true
			}
		}
	}
	return false
}
