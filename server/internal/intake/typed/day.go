package typed

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// What stands before a colon and says something of the whole day.
var (
	coupleKeys = list("couple; the couple; newlyweds; casal; noivos; pareja; novios; couple de mariés; mariés; paar; brautpaar; sposi; bruidspaar; brudepar; brudpar; 新人; 新郎新娘; cô dâu chú rể; العروسان")
	oneKeys    = list("bride; groom; bridegroom; noiva; noivo; novia; novio; mariée; marié; braut; bräutigam; 新娘; 新郎; cô dâu; chú rể; العروس; العريس")
	titleKeys  = list("title; event; wedding; wedding of; título; evento; casamento; boda; titre; mariage; titel; hochzeit; 婚礼; đám cưới; زفاف")
	dateKeys   = list("date; day; when; data; fecha; datum; 日期; ngày; التاريخ")
	placeKeys  = list("place; where; venue; location; local; lugar; lieu; ort; 地点; địa điểm; المكان")
	timeKeys   = list("time; times; hours; hora; horário; horario; heure; zeit; uhrzeit; 时间; giờ; الوقت")
	zoneKeys   = list("time zone; timezone; fuso horário; zona horaria; fuseau horaire; zeitzone")
	whoShoots  = list("photographer; photographed by; fotógrafo; fotógrafa; photographe; fotograf; fotografin; 摄影师")
)

var (
	weddingOf  = regexp.MustCompile(`(?i)^(?:the\s+)?(?:wedding of|marriage of|casamento d[aeo]s?|boda de|mariage de|hochzeit von|family photos?(?: for| of)?|group photos?(?: for| of)?|photo list(?: for| of)?|photos for)\s+(.+)$`)
	mariageD   = regexp.MustCompile(`(?i)^mariage d['’](.+)$`)
	ofName     = regexp.MustCompile(`^(?:d[aeo]s?|di|del|der|von)\s+|^d['’]`)
	theWedding = regexp.MustCompile(`(?i)^(.+?)(?:'s|’s)?\s+(?:wedding|wedding day|wedding photos?|group photos?|family photos?|photo list|casamento|boda|hochzeit)$`)
	isoDate    = regexp.MustCompile(`^(\d{4})[-./](\d{1,2})[-./](\d{1,2})$`)
	numberDate = regexp.MustCompile(`^(\d{1,2})[-./](\d{1,2})[-./](\d{4})$`)
	wordDate   = regexp.MustCompile(`^(?:\pL+,?\s+)?(\d{1,2})(?:st|nd|rd|th|er|º|\.)?\s+(?:de\s+|of\s+)?(\pL+)\.?,?\s+(?:de\s+)?(\d{4})$`)
	dateWord   = regexp.MustCompile(`^(?:\pL+,?\s+)?(\pL+)\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})$`)
	hanDate    = regexp.MustCompile(`^(\d{4})年(\d{1,2})月(\d{1,2})日$`)
	timeRange  = regexp.MustCompile(`^(?:from\s+)?(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|h|uhr)?\s*(?:-|–|—|to|until|till|às|a|à|bis)\s*(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|h|uhr)?$`)
)

// monthNames are the beginnings of the names of months that tell them apart.
var monthNames = [12][]string{
	{"january", "janeiro", "enero", "janvier", "januar", "jan"},
	{"february", "fevereiro", "febrero", "février", "fevrier", "februar", "feb"},
	{"march", "março", "marco", "marzo", "mars", "märz", "maerz", "mar"},
	{"april", "abril", "avril", "apr"},
	{"may", "maio", "mayo", "mai"},
	{"june", "junho", "junio", "juin", "juni", "jun"},
	{"july", "julho", "julio", "juillet", "juli", "jul"},
	{"august", "agosto", "août", "aout", "aug"},
	{"september", "setembro", "septiembre", "septembre", "sept", "sep"},
	{"october", "outubro", "octubre", "octobre", "oktober", "oct", "okt"},
	{"november", "novembro", "noviembre", "novembre", "nov"},
	{"december", "dezembro", "diciembre", "décembre", "decembre", "dezember", "dec", "dez"},
}

// day reads what the list says of the whole day: the title, the couple, the date, time and place,
// and whose sides there are.
func (r *reader) day(sections []*section) {
	first := true
	for _, s := range sections {
		s.lines = slices.DeleteFunc(s.lines, func(l *line) bool {
			if r.reads(l); r.Effort.Err() != nil {
				return false
			}
			opening := first && s.heading == nil && !l.listed
			first = false
			if s.topic == remark {
				r.Use(l.number, place.Reported)
				r.report(r.at(l.span), event.Info, place.CodeNotUsed, l.text, wording.Say("list.aNote"))
				return true
			}
			return r.keyed(l) || opening && r.title(l)
		})
	}
	for _, s := range sections {
		if s.heading != nil {
			r.reads(s.heading)
			r.sideOfSection(s)
		}
	}
	if len(r.Couple()) == 0 {
		r.coupleFromSides()
	}
}

// coupleFromSides takes the two after whom the sides of the list are called for the couple.
func (r *reader) coupleFromSides() {
	var owners []int
	for _, s := range r.Event.Sides {
		if o, ok := r.Owner(s.ID); ok {
			owners = append(owners, o)
		}
	}
	if len(owners) == 2 && owners[0] != owners[1] {
		r.SetCouple(owners)
	}
}

// title reads the first line as the heading of the whole list: "Wedding of Amara & Théo", "Amara &
// Théo, 20 June 2026".
func (r *reader) title(l *line) bool {
	if strings.ContainsAny(l.text, "+()") {
		return false
	}
	text := l.text
	date, asked := "", ""
	for _, cut := range []string{",", " - ", " – ", " — ", " | ", "  "} {
		if at := strings.LastIndex(text, cut); at > 0 {
			if d, ok := readDate(text[at+len(cut):]); ok {
				asked = strings.TrimSpace(text[at+len(cut):])
				text, date = strings.TrimSpace(text[:at]), d
				break
			}
		}
	}
	named := text
	wedding := false
	if m := mariageD.FindStringSubmatch(text); m != nil {
		named, wedding = m[1], true
	} else if m := weddingOf.FindStringSubmatch(text); m != nil {
		named, wedding = m[1], true
	} else if m := theWedding.FindStringSubmatch(text); m != nil {
		named, wedding = m[1], true
	}
	two := parts(span{named, l.col})
	for k := range two {
		two[k].text = ofName.ReplaceAllString(two[k].text, "")
	}
	pair := len(two) == 2 && two[1].joint == soft && plausible(two[0].text) && plausible(two[1].text) && !isWord(two[0].text) && !isWord(two[1].text)
	if !pair && !wedding && asked == "" || !wedding && asked == "" && !(l.last && pair) {
		return false
	}
	if asked != "" && date == "" {
		r.date(span{asked, l.col})
	}
	if r.Event.Title == "" {
		r.Event.Title = clipName(text)
		r.Use(l.number, place.Used, "title")
	}
	r.Use(l.number, place.Used)
	if date != "" && r.Event.Date == "" {
		r.Event.Date = date
		r.Use(l.number, place.Used, "date")
	}
	if pair && len(r.Couple()) == 0 {
		r.setCouple([]span{two[0].span, two[1].span})
	}
	return true
}

// isWord reports whether words stand for people without being a name.
func isWord(s string) bool {
	_, kin := kin.Read(s)
	k := keyOf(s)
	return kin || coupleWords.holds(k) || everyoneWords.holds(k) || bothFamilies.holds(k)
}

// setCouple makes the couple known.
func (r *reader) setCouple(named []span) {
	var people []int
	for _, n := range named {
		before := r.side
		r.side = ""
		people = append(people, r.declareOne(n))
		r.side = before
	}
	if len(people) == 2 && people[0] != people[1] {
		r.SetCouple(people)
	}
}

// keyed reads a line such as "Date: 20 June 2026".
func (r *reader) keyed(l *line) bool {
	at := colon(l.text)
	if at <= 0 {
		return false
	}
	_, size := utf8.DecodeRuneInString(l.text[at:])
	key, value := l.cut(0, at), l.cut(at+size, len(l.text))
	if value.text == "" {
		return false
	}
	k := keyOf(key.text)
	switch {
	case coupleKeys.holds(k):
		return r.coupleLine(key, value)
	case oneKeys.holds(k):
		return r.oneOfCouple(key, value)
	case titleKeys.holds(k):
		r.Event.Title = clipName(value.text)
		r.Use(l.number, place.Used, "title")
		if two := parts(value); len(two) == 2 && len(r.Couple()) == 0 && plausible(two[0].text) && plausible(two[1].text) {
			r.setCouple([]span{two[0].span, two[1].span})
		}
	case dateKeys.holds(k):
		r.date(value)
	case placeKeys.holds(k):
		r.block().Place = clipName(value.text)
	case whoShoots.holds(k):
		r.block().Photographer = clipName(value.text)
	case timeKeys.holds(k):
		return r.times(value)
	case zoneKeys.holds(k):
		r.Event.TimeZone = value.text
		r.Use(l.number, place.Used, "timeZone")
	case noteHeadings.holds(k):
		r.Use(l.number, place.Reported)
		r.report(r.at(value), event.Info, place.CodeNotUsed, value.text, wording.Say("list.aNote"))
	default:
		return false
	}
	r.Use(l.number, place.Used)
	return true
}

// block returns the one block that a list can describe.
func (r *reader) block() *event.Block {
	if len(r.Event.Blocks) == 0 {
		r.Event.Blocks = []event.Block{{ID: "block", Title: "Group photographs"}}
	} else {
		r.Event.Blocks = slices.Clone(r.Event.Blocks)
	}
	r.Use(r.current.number, place.Used, "blocks[0]")
	return &r.Event.Blocks[0]
}

func (r *reader) coupleLine(key, value span) bool {
	two := parts(value)
	if len(two) != 2 || !plausible(two[0].text) || !plausible(two[1].text) || isWord(two[0].text) || isWord(two[1].text) {
		return false
	}
	r.setCouple([]span{two[0].span, two[1].span})
	r.Use(r.current.number, place.Used)
	return true
}

// oneOfCouple reads "Bride: Amara".
func (r *reader) oneOfCouple(key, value span) bool {
	name, _ := describe(value)
	if len(parts(name)) != 1 || !plausible(name.text) {
		return false
	}
	i := r.declareOne(name)
	r.Update(i, func(p *event.Person) {
		if p.Relation == "" {
			p.Relation = strings.ToLower(key.text)
		}
	})
	if couple := r.CoupleMember(kin.Relation{Kind: kin.OfCouple}); len(couple) == 2 && len(r.Couple()) == 0 {
		r.SetCouple(couple)
	}
	r.Use(r.current.number, place.Used)
	return true
}

func (r *reader) date(value span) {
	d, ok := readDate(value.text)
	switch {
	case ok && d != "":
		r.Event.Date = d
		r.Use(r.current.number, place.Used, "date")
	case ok:
		r.report(r.at(value), event.Error, place.CodeWhichOne, value.text, wording.Say("list.whichIsTheMonthInWrite", place.Quoted(value.text)), bothReadings(value.text)...)
	default:
		r.report(r.at(value), event.Error, event.CodeBadDate, value.text, wording.Say("list.dateCannotBeRead", place.Quoted(value.text)))
	}
}

func (r *reader) times(value span) bool {
	m := timeRange.FindStringSubmatch(fold(value.text))
	if m == nil {
		return false
	}
	opens, closes := clockTime(m[1:4]), clockTime(m[4:7])
	if m[3] == "" && m[6] == "pm" && opens < "12:00" {
		opens = clockTime([]string{m[1], m[2], "pm"})
	}
	if opens == "" || closes == "" {
		return false
	}
	b := r.block()
	b.Opens, b.Closes = opens, closes
	r.Use(r.current.number, place.Used)
	return true
}

// readDate reads a date. It returns true and nothing when day and month cannot be told apart.
func readDate(s string) (string, bool) {
	s = fold(strings.Trim(strings.TrimSpace(s), ".,"))
	number := func(t string) int { n, _ := strconv.Atoi(t); return n }
	if m := isoDate.FindStringSubmatch(s); m != nil {
		return validDate(number(m[1]), number(m[2]), number(m[3]))
	}
	if m := hanDate.FindStringSubmatch(s); m != nil {
		return validDate(number(m[1]), number(m[2]), number(m[3]))
	}
	if m := numberDate.FindStringSubmatch(s); m != nil {
		a, b, y := number(m[1]), number(m[2]), number(m[3])
		switch {
		case a == b || a > 12:
			return validDate(y, b, a)
		case b > 12:
			return validDate(y, a, b)
		}
		return "", true
	}
	if m := wordDate.FindStringSubmatch(s); m != nil {
		if month := monthNamed(m[2]); month > 0 {
			return validDate(number(m[3]), month, number(m[1]))
		}
	}
	if m := dateWord.FindStringSubmatch(s); m != nil {
		if month := monthNamed(m[1]); month > 0 {
			return validDate(number(m[3]), month, number(m[2]))
		}
	}
	return "", false
}

func bothReadings(s string) []string {
	m := numberDate.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return nil
	}
	a, b := "0"+m[1], "0"+m[2]
	a, b = a[len(a)-2:], b[len(b)-2:]
	return []string{m[3] + "-" + b + "-" + a, m[3] + "-" + a + "-" + b}
}

func validDate(y, m, d int) (string, bool) {
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if y < 1900 || t.Year() != y || int(t.Month()) != m || t.Day() != d {
		return "", false
	}
	return t.Format("2006-01-02"), true
}

func monthNamed(s string) int {
	for i, n := range monthNames {
		if slices.Contains(n, s) {
			return i + 1
		}
	}
	return 0
}

// sideOfSection returns the side that a section is about, and makes it known with its owner.
func (r *reader) sideOfSection(s *section) string {
	if s.owner == "" {
		return ""
	}
	return r.sideOfOwner(s.owner, s.label)
}

// sideOfOwner returns the side of one of the couple, who is made known by it.
func (r *reader) sideOfOwner(owner, label string) string {
	if id, ok := r.SideNamed(label); ok {
		return id
	}
	if id, ok := r.SideNamed(owner); ok {
		return id
	}
	i, ok := r.OwnerNamed(owner)
	if !ok {
		if rel, ok := kin.Read(owner); ok && rel.Kind == kin.OfCouple {
			// "Bride's side": the one of the couple is called what the list calls them.
			i = r.declareOne(span{capital(strings.Join(strings.Fields(owner), " ")), r.current.col})
			r.Update(i, func(p *event.Person) { p.Relation = strings.ToLower(owner) })
		} else if plausible(owner) {
			i = r.declareOne(span{owner, r.current.col})
		} else {
			return r.AddSide(clipName(label), -1)
		}
	}
	if id, ok := r.SideOf(i); ok {
		return id
	}
	before := r.side
	r.side = ""
	id := r.AddSide(clipName(label), i)
	r.side = before
	return id
}

// capital writes the first letter large.
func capital(s string) string {
	c, size := utf8.DecodeRuneInString(s)
	return strings.ToUpper(string(c)) + s[size:]
}
