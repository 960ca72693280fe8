package couple

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// nicknames takes a name in brackets behind that of one of the couple, where both are named, for what they are called too: "Theresa
// (Resi) and Otto".
func (r *finder) nicknames() {
	if r.Couple[0] < 0 {
		return
	}
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := 1; k < len(ph); k++ {
			if !ph[k].Open || r.HalfNamed(ph[k-1].Text) == 0 || !slices.ContainsFunc(ph, func(p speech.Phrase) bool {
				return p.Kind == 'w' && r.HalfNamed(p.Text) == 3-r.HalfNamed(ph[k-1].Text)
			}) {
				continue
			}
			if name, end := r.NameAt(ph[k].Inside, 0); name != "" && end == len(ph[k].Inside) && r.HalfNamed(name) == 0 {
				r.Call(r.Couple[r.HalfNamed(ph[k-1].Text)-1], name)
			}
		}
	}
	r.shortNames()
	r.longNames()
}

// shortNames takes words that stand on several lines and begin the name of one of the couple for that name: "Jé" of Jéssica.
func (r *finder) shortNames() {
	for _, ts := range r.Tokens {
		for _, t := range ts {
			_, given := words.Given(t.Key)
			if given || t.Kind != 'w' || !t.Capital || len([]rune(t.Key)) < 2 || r.Times[t.Key] < 2 || len(r.Find(t.Text)) > 0 || !r.Effort.Spend(10) || len(r.Lexical(t)) > 0 {
				continue
			}
			a, b := r.begins(t.Key, 0), r.begins(t.Key, 1)
			if a != b {
				r.Call(r.Couple[map[bool]int{true: 0, false: 1}[a]], t.Text)
			}
		}
	}
}

// longNames takes a name that stands beside one of the couple at the head of lines, of which that of the other, who is hardly named
// otherwise, is a short form, for what they are called too: "Davie's side", and "Mira, Davison, Ida".
func (r *finder) longNames() {
	count := make(map[string]int)
	for i := range r.Lines {
		ph := r.Heads(i)
		if len(ph) < 3 || r.HalfNamed(ph[0].Text) == 0 || ph[1].Key != "," && !joinsTwo(&ph[1]) || ph[2].Kind != 'w' || !ph[2].Capital || len(r.Find(ph[2].Text)) > 0 {
			continue
		}
		h := 2 - r.HalfNamed(ph[0].Text) // the other's place
		key, given := ph[2].Key, names.Plain(r.Guests[r.Couple[h]].Given)
		short := strings.TrimRight(given, "iey")
		if len(short) > 2 && len(short) < len(given) && len(key) > len(given) && strings.HasPrefix(key, short) && r.Times[given] < 4 {
			if count[key]++; count[key] == 2 {
				r.Call(r.Couple[h], ph[2].Text)
				r.Guests[r.Couple[h]].Name, r.Guests[r.Couple[h]].Given = ph[2].Text, ph[2].Text
			}
		}
	}
}

// begins reports whether a word begins the name of one of the couple.
func (r *finder) begins(key string, half int) bool {
	return strings.HasPrefix(names.Plain(r.Guests[r.Couple[half]].Given), key)
}

// lettersOfRoles takes B and G for the bride and the groom although one of the two is called so, where the list has both and B alone:
// "B&G with Ida", "B with her mum", of Grace and Mark.
func (r *finder) lettersOfRoles() {
	_, b := r.Initials["b"]
	if _, g := r.Initials["g"]; b == g {
		return
	}
	both, alone := false, false
	for _, ts := range r.Tokens {
		for k, t := range ts {
			pair := k+2 < len(ts) && (ts[k+1].Key == "&" || ts[k+1].Key == "+" || ts[k+1].Key == "/") && len(ts[k+2].Key) == 1
			switch {
			case !t.Capital || t.Key != "b" && t.Key != "g" || !r.Effort.Spend(1):
			case pair && ts[k+2].Key != t.Key && (ts[k+2].Key == "b" || ts[k+2].Key == "g"):
				both = true
			case k == 0 && !pair && (t.Key == "b") != b:
				alone = true
			}
		}
	}
	if both && alone {
		delete(r.Initials, "b")
		delete(r.Initials, "g")
	}
}
