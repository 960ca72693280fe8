package lines

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// beforeTold is what may be a heading on the line that it stands over: "Who's who:", "Names -".
var beforeTold = regexp.MustCompile(`^([^:：=()]{2,50}?)(?:\s*[:：]|\s+[-–—]+)\s+\S`)

// headed takes the heading off a line that tells who is who right behind it: "People to know: Ann's mum - Ida; brothers - Max, Tim". The
// heading is a line of its own then, above.
func (l *Line) headed() {
	if l.Mark != 0 || l.Cells != nil || l.Heads > 0 || l.Ask != 0 || l.Answer != 0 {
		return
	}
	m := beforeTold.FindStringSubmatch(l.Text)
	if m == nil || !words.Listed("aside", names.Plain(m[1])) {
		return
	}
	n := len(m[0]) - 1
	for n > 0 && l.Text[n]&0xc0 == 0x80 { // the first letter behind has several bytes
		n--
	}
	if letters := keyForm.MatchString(l.Text[n:]); letters || !slices.ContainsFunc(words.Tokenize(l.Text[n:]), func(t words.Token) bool {
		return slices.ContainsFunc(words.Find(t.Key), func(w words.Word) bool { return w.Class == "kin" })
	}) {
		return
	}
	head := *l
	head.Text = m[1] + ":"
	l.cut(n)
	l.Above, l.After = &head, false
}

// bulletsBelow indents bullets that stand right below bullets of another kind, each of which begins a block: "* BRIDE'S FAMILY" over
// "- Bride with Mum".
func bulletsBelow(ls []Line) {
	heads, below := "", ""
	for i := 1; i < len(ls); i++ {
		if a, b := &ls[i-1], &ls[i]; a.Mark == '-' && b.Mark == '-' && a.After && !b.After && a.Bullet != b.Bullet && a.Indent == b.Indent {
			heads, below = a.Bullet, b.Bullet
			break
		}
	}
	blocks := 0
	for i := range ls {
		switch l := &ls[i]; {
		case l.Mark != '-' || heads == "":
		case l.Bullet == heads:
			if blocks++; !l.After || i+1 == len(ls) || ls[i+1].Bullet != below {
				return
			}
		case l.Bullet != below:
			return
		}
	}
	if blocks < 2 {
		return
	}
	for i := range ls {
		if ls[i].Bullet == below && ls[i].Mark == '-' {
			ls[i].Indent += 2
		}
	}
}

// headsOfBlocks takes letters and bullets that stand over numbers, each after a blank line, for headings: "A) Ann's family, Bea calls" and "B)
// Tom's family" over "1. Couple with her mum". The numbers begin anew or go on.
func headsOfBlocks(ls []Line) {
	at := slices.IndexFunc(ls, func(l Line) bool { return l.After && (l.Mark == 'A' || l.Mark == '-') && l.Cells == nil })
	if at < 0 {
		return
	}
	var heads []int
	last := 0
	for i := range ls {
		l := &ls[i]
		if n, err := strconv.Atoi(l.Label); err == nil && l.Mark == '#' {
			last = n
		}
		if l.Mark != ls[at].Mark || l.Bullet != ls[at].Bullet {
			continue
		}
		if !l.After || strings.Contains(l.Text, "+") || i+1 == len(ls) {
			return
		}
		below := &ls[i+1]
		if n, err := strconv.Atoi(below.Label); below.Mark == 0 || below.Blank || below.Mark == l.Mark && below.Bullet == l.Bullet || below.Indent != l.Indent || below.Mark == '#' && (err != nil || n != 1 && n != last+1) || below.Mark != '#' && len(heads) == 0 {
			return
		}
		heads = append(heads, i)
	}
	if len(heads) < 2 {
		return
	}
	for _, i := range heads {
		ls[i].Mark, ls[i].Heads = 0, 2
	}
}
