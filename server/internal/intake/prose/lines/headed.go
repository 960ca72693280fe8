package lines

import (
	"regexp"
	"slices"

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
