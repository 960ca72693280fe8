package web

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// asking gets a page as a browser of some language does.
func (v visitor) asking(path, accept string) page {
	v.Helper()
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Header.Set("Accept-Language", accept)
	return v.answer(r)
}

func (p page) language() (lang, dir string) {
	each(p.root, func(n *html.Node) {
		if n.Data == "html" {
			lang, dir = attribute(n, "lang"), attribute(n, "dir")
		}
	})
	return lang, dir
}

// The language is the one chosen, else the one that the browser asks for, by the order of its wishes
// (RFC 9110, 12.5.4); what no page is in is English.
func TestTheLanguageOfAPage(t *testing.T) {
	v := visit(t, planning.Plan)
	for accept, want := range map[string]string{
		"": "en", "de": "de", "de-AT,de;q=0.9,en;q=0.5": "de", "en;q=0.3, fr;q=0.8": "fr", "sv, pt-BR;q=0.7": "pt",
		"ar-EG": "ar", "zh-CN,zh;q=0.9": "zh", "sv": "en", "*": "en", "es-MX": "es", strings.Repeat("x", 5000): "en",
	} {
		lang, dir := v.asking("/", accept).language()
		assert.Equal(t, want, lang, accept)
		assert.Equal(t, map[bool]string{true: "rtl", false: "ltr"}[want == "ar"], dir, accept)
	}
	lang, _ := v.asking("/?lang=fr", "de").language()
	assert.Equal(t, "fr", lang, "the choice goes first")
	lang, _ = v.asking("/?lang=%3Cb%3E", "de").language()
	assert.Equal(t, "de", lang, "what cannot be read is no choice")
	lang, _ = v.asking("/nowhere?lang=zh", "").language()
	assert.Equal(t, "zh", lang, "refusals too")
}

// A language once chosen stays through every form, without a cookie, and what was written stays.
func TestTheLanguageStays(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "language", map[string]string{"lang": "de", "text": small})
	assert.Equal(t, []string{"Welche Gruppenfotos, und wer ist darauf?"}, p.titles("h1"))
	assert.Equal(t, small, fieldsOf(p.root)["text"])
	p = v.press(p, "read", nil)
	assert.Equal(t, []string{"Die ganze Liste wurde verstanden"}, p.titles("h1"))
	p = v.press(p, "plan", nil)
	assert.True(t, p.has("Geplant für: Ausgeglichen."), p.text())
	assert.Equal(t, "de", fieldsOf(p.root)["language"], "sheets are offered in the language of the page")
	first := p.order()[0]
	p = v.press(p, "down:"+idOf(first), nil)
	assert.Regexp(t, `So oft kommt jemand ins Bild: [+±]\d+, [+±]\d+(,5)? Min\. gegenüber der besten Reihenfolge\. Fest: 1\.`, p.text())
	moved := p.order()
	p = v.press(p, "language", map[string]string{"lang": "ar"})
	assert.Equal(t, moved, p.order(), "what the hand moved stays")
	lang, dir := p.language()
	assert.Equal(t, [2]string{"ar", "rtl"}, [2]string{lang, dir})
	assert.Empty(t, p.Header().Get("Set-Cookie"))
	p = v.press(p, "/list", nil)
	assert.Equal(t, []string{"فُهمت القائمة كلها"}, p.titles("h1"))
}

// The day that an English list says is written as the page writes days.
func TestTheDayThatAListSays(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.press(v.get("/?lang=de"), "read", map[string]string{"text": "Wedding of Mara and Ilyas, 15 May 2027\n\nCouple with Rosa\n"})
	assert.True(t, p.has("Samstag, 15. Mai 2027"), p.text())
}

// inLetters is the small list with nothing in it that is written in Latin letters but ids.
func inLetters(word string) string {
	return strings.NewReplacer("Small party", word, "Everybody", word+" ١", "The sisters", word+" ٢", "Bo with Dag", word+" ٣", "Ann alone", word+" ٤",
		"On the lawn", word, "name: Ann", "name: "+word+"ا", "name: Bo", "name: "+word+"ب", "Cléo", word+"ج", "LAPWING", word, "grandfather", word).Replace(small)
}

var foreign = regexp.MustCompile(`[A-Za-z]{2,}`)

// shown is what a page shows and reads out.
func (p page) shown() string {
	var b strings.Builder
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data + " ")
			return
		}
		if n.Data == "textarea" || n.Data == "style" || n.Data == "code" || attribute(n, "id") == "lang" || attribute(n, "id") == "language" {
			return
		}
		for _, a := range n.Attr {
			if wordAttributes[a.Key] {
				b.WriteString(a.Val + " ")
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(p.root)
	return b.String()
}

// own are words that every language writes in Latin letters: names of forms and papers, and ids.
var own = regexp.MustCompile(`kinorder|--host|YAML|JSON|HTML|CSV|iCalendar|Letter|UTF-8|Windows-1252|Europe/Lisbon|MiB|SHA-256|CA|g-\w+|\b(ann|bo|cleo|dag|sisters?|lawn|id|Host|NE|xlsx|csv|mm|Amara|Théo)\b`)

// Nothing on any page is in English where the page is not.
func TestNoTextEscapesTheCatalogue(t *testing.T) {
	needs.Alone(t)
	for tag, word := range map[string]string{"ar": "كلمة", "zh": "词语"} {
		v := visit(t, planning.Plan)
		check := func(name string, p page) page {
			t.Helper()
			require.NotEqual(t, http.StatusInternalServerError, p.Code, name)
			assert.Empty(t, foreign.FindAllString(own.ReplaceAllString(p.shown(), ""), -1), "%s, %s", tag, name)
			return p
		}
		start := check("start", v.get("/?lang="+tag))
		check("example", v.get("/example?lang="+tag))
		check("trust", v.get("/trust?lang="+tag))
		check("unknown", v.get("/nowhere?lang="+tag))
		list := check("list", v.press(start, "read", map[string]string{"text": inLetters(word)}))
		list = check("rule", v.press(list, "add-rule", nil))
		check("faults", v.press(list, "read", map[string]string{"block.0.capacity": "?", "rule.0.who.0": word, "rule.0.who.1": "?"}))
		check("a broken reference", v.press(list, "plan", map[string]string{"text": strings.Replace(inLetters(word), "[sisters]", "[sister]", 1)}))
		plan := check("plan", v.press(v.press(start, "read", map[string]string{"text": inLetters(word)}), "plan", nil))
		check("moved", v.press(plan, "down:g-all", nil))
		check("dropped", v.press(plan, "drop:g-all", nil))
		check("not moved", v.press(plan, "to:g-all", map[string]string{"place.g-all": "0"}))
		check("compared", v.press(plan, "compare", nil))
		check("a typed list", v.press(start, "read", map[string]string{"text": word + "، " + word + "ب\n\n" + word + " + ؟؟\n" + word + "ج ٣\n" + word + "ه\n"}))
		check("a broken file", v.press(start, "read", map[string]string{"text": "people: [{id: ann\n"}))
		check("a wrong file", v.press(start, "read", map[string]string{"file": "PK\x03\x04"}))
		check("print", v.press(plan, "/sheet", nil))
		for _, err := range []error{errBroken, fields.ErrCrowded, errCrossOrigin, fields.ErrForm, fields.ErrTooLarge, fields.ErrSlow, errMisdirected} {
			r := refusalOf(err)
			c, _ := wording.For(tag)
			assert.Empty(t, foreign.FindAllString(own.ReplaceAllString(c.Render(r.title)+c.Render(r.text), ""), -1), "%s, %v", tag, err)
		}
	}
}
