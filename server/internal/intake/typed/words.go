package typed

import (
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/kin"
)

// The words that lists are written with, in English, Portuguese, Spanish, French and German, and the most
// usual ones in Arabic, Chinese and Vietnamese. They come from everyday use, without a source.

// fold writes words for a look-up in the lists below: without case and typographic apostrophes.
func fold(s string) string {
	if s = kin.Fold(s); kin.IsASCII(s) {
		return s
	}
	return apostrophes.Replace(s)
}

var apostrophes = strings.NewReplacer("’", "'", "‘", "'", "ʼ", "'")

// phrases is a set of words and phrases.
type phrases map[string]bool

func list(groups ...string) phrases {
	set := make(phrases)
	for _, g := range groups {
		for _, p := range strings.FieldsFunc(g, func(r rune) bool { return r == ';' || r == '\n' }) {
			if p = fold(strings.Join(strings.Fields(p), " ")); p != "" {
				set[p] = true
				set[names.Plain(p)] = true
			}
		}
	}
	delete(set, "")
	return set
}

// has reports whether the words are one of the phrases, but for case, accents and the marks around.
func (p phrases) has(s string) bool { return p.holds(keyOf(s)) }

// key is words as they are looked up, which costs more than to look.
type key struct{ folded, plain string }

func keyOf(s string) key {
	s = strings.Trim(s, " .:!?*_-–—")
	if len(s) > longestPhrase {
		return key{}
	}
	s = fold(strings.Join(strings.Fields(s), " "))
	return key{s, names.Plain(s)}
}

func (p phrases) holds(k key) bool { return p[k.folded] || p[k.plain] }

// longestPhrase is longer than any of the lists has, in bytes, with some spaces more.
const longestPhrase = 200

var (
	peopleHeadings = list(`guests; guest list; the guests; people; the people; who; who's who; who is who; who is coming; who's coming; names
		family members; list of people; list of guests; people and names; attendees; cast; who we are
		convidados; lista de convidados; pessoas; quem é quem; quem vem; invitados; lista de invitados; personas; quién es quién
		invités; les invités; liste des invités; personnes; qui est qui; gäste; gästeliste; personen; wer ist wer; die gäste
		invitati; gasten; gäster; gjester; gæster; الضيوف; المدعوون; الأشخاص; 宾客; 来宾; 宾客名单; 人员; 名单; khách mời; danh sách khách`)

	groupingHeadings = list(`photos; photo list; the photos; photographs; group photos; group photographs; groups; groupings; the groups; list; the list
		family photos; family photographs; formals; family formals; formal photos; pictures; group pictures; group shots; shots; combinations; photo groups; photos we want; photos wanted; list of photos
		wanted; requests; family groups; portraits; family portraits
		foto; foto di gruppo; fotos; fotografias; fotos de grupo; fotografias de grupo; grupos; fotos de família; lista de fotos; combinações
		fotografías; fotos de familia; fotos en grupo; fotos grupales; combinaciones
		photos de groupe; groupes; photos de famille; liste des photos; gruppenfotos; gruppen; familienfotos; fotoliste; fotogruppen; bilder; gruppenbilder
		foto di gruppo; groepsfoto's; gruppbilder; الصور; صور جماعية; الصور الجماعية; 合影; 照片; 集体照; 合照; 合影名单; ảnh nhóm; danh sách ảnh; chụp ảnh`)

	noSideHeadings = list(`both; both sides; both families; together; all together; everyone; everybody; mixed; others; other; misc; miscellaneous; general; no side; neither side
		ambos; ambos os lados; juntos; outros; los dos lados; otros; ensemble; les deux côtés; autres; beide seiten; zusammen; gemeinsam; andere; sonstige; 双方; 两家; hai bên; الجميع`)

	everyoneWords = list(`everyone; everybody; all; all guests; all the guests; every guest; the whole group; whole group; all of us; everyone together; everybody together; all together; the lot; whole wedding; the whole wedding; all people; big group; the big group; full group; the full group; whole gang; the whole gang; all the people; everyone present; everyone here
		todos; todos os convidados; toda a gente; todo mundo; toda gente; todos juntos; o grupo todo; grupo todo
		todos los invitados; todo el mundo; el grupo entero; todo el grupo; tout le monde; tous; tous les invités; tous ensemble; le groupe entier
		alle; alle gäste; alle zusammen; die ganze gruppe; ganze gruppe; tutti; iedereen; alla; alla gäster
		الجميع; كل الضيوف; جميع الضيوف; الكل; 所有人; 全体; 大家; 全体合影; 所有宾客; 全部; mọi người; tất cả; tất cả mọi người; tất cả khách mời`)

	bothFamilies = list(`both families; the two families; both sides; both sides of the family; both whole families; all family; all the family; the families; whole families
		as duas famílias; ambas as famílias; las dos familias; ambas familias; les deux familles; beide familien; beide seiten; 双方家人; 两家人; hai gia đình; hai bên gia đình; العائلتان; العائلتين`)

	coupleWords = list(`couple; the couple; us; couple alone; just the couple; couple only; just us; only us; us two; the two of us; we; both of us; newlyweds; the newlyweds; happy couple; the happy couple
		casal; o casal; noivos; os noivos; nós; nós dois; pareja; la pareja; novios; los novios; nosotros; nosotros dos; le couple; les mariés; nous; nous deux
		paar; das paar; brautpaar; das brautpaar; wir; wir zwei; wir beide; sposi; gli sposi; bruidspaar; brudparet; brudeparet
		العروسان; العروسين; 新人; 新郎新娘; cô dâu chú rể; cô dâu và chú rể; đôi uyên ương`)

	sameWords = list(`same; the same; same people; same as above; as above; the above; above; same again; same group; the same group; same as before; those; them; these; previous; the previous; previous group; ditto; idem
		os mesmos; mesmo grupo; los mismos; mismo grupo; les mêmes; même groupe; dieselben; gleiche gruppe; wie oben; 同上; như trên; نفس المجموعة`)

	moreWords = list(`etc; and so on; others; the others; other; the rest; rest; more; and more; others tbc; tbc; tbd; to be confirmed; some others; ...; …; whoever; anyone else; others to follow
		outros; etc.; otros; autres; weitere; andere; usw; 等; v.v.`)

	mustWords = list(`must; must have; must-have; musts; must haves; must-haves; a must; essential; essentials; priority; high priority; top priority; important; very important; most important; definitely; non-negotiable; required; need this; needed
		obrigatório; obrigatória; obrigatórias; indispensável; importante; muito importante; prioridade; imprescindible; imprescindibles; obligatorio; obligatoria; indispensable; obligatoire; important !; prioritaire; incontournable
		muss; unbedingt; pflicht; wichtig; sehr wichtig; ganz wichtig; 必须; 必拍; 重要; bắt buộc; quan trọng; ضروري; مهم; !; !!; !!!`)

	niceWords = list(`if time; if there's time; if there is time; if we have time; if time permits; if time allows; time permitting; only if time; if possible; if poss; optional; optionals; maybe; nice to have; nice-to-have; nice to haves; bonus; extras; extra; low priority; if we can; not essential; if enough time
		se der tempo; se houver tempo; se possível; opcional; talvez; si hay tiempo; si da tiempo; si queda tiempo; si es posible; quizás; opcionales
		si on a le temps; s'il reste du temps; si possible; facultatif; optionnel; en option; peut-être; wenn zeit; wenn zeit ist; wenn zeit bleibt; falls zeit; falls zeit bleibt; falls noch zeit ist; wenn noch zeit ist; wenn möglich; vielleicht; bei zeit
		如果有时间; 有时间的话; 可选; nếu có thời gian; nếu kịp; إذا سمح الوقت; إن أمكن; اختياري`)

	shouldWords = list(`should; normal; normal priority; medium; medium priority`)

	firstWords = list(`first; do first; first please; start with this; at the start; primeiro; primeira; primero; primera; en premier; d'abord; zuerst; als erstes; 先; 第一; đầu tiên; أولا`)
	lastWords  = list(`last; do last; at the end; the last one; por último; no fim; último; al final; en dernier; à la fin; zuletzt; zum schluss; am ende; 最后; cuối cùng; أخيرا`)

	absentWords = list(`absent; not coming; can't come; cannot come; won't be there; not there; declined; no show; sends regrets; not attending
		não vem; ausente; não pode vir; no viene; no puede venir; absent; absente; ne vient pas; kommt nicht; abwesend; 不来; không đến; غائب; غائبة`)

	noteHeadings = list(`note; notes; nb; n.b.; remark; remarks; please; please note; info; p.s.; ps; comment; comments; reminder; nota; notas; observação; observações; remarque; remarques; hinweis; hinweise; anmerkung; bitte; 备注; 注意; ghi chú; ملاحظة`)

	// fillers stand before names and add nothing.
	fillers = list(`just; only; then; also; now; add; finally; next; the; all; all the; all of the; all of; our; my; both; some of; and; with; photo of; photograph of; picture of; a photo of; a picture of; both sets of; both pairs of; group photo of; group photo with; a photo with; photo with; foto de; foto dos; foto da; foto do; foto con; foto com; photo de; photo avec; foto mit; foto von; todos os; todas as; todos los; todas las; tous les; toutes les; alle; só; apenas; solo; sólo; seulement; juste; nur; dann; depois; luego; puis; 只有; chỉ`)

	// articles stand before names in some languages, written small; written large they may be a part of
	// the name.
	articles = list("a; o; os; as; la; el; los; las; le; les; il; lo; gli; der; die; das; den; dem; do; da")

	idleTails = list("alone; only; together; please; too; again; all; juntos; ensemble; zusammen; solos")
	eachTails = list("separately; individually; each; separados; séparément; einzeln")

	// spoken are words that stand in sentences and not in names: with one of them, and without a
	// name that is known, words are not taken for a person.
	spoken = list(`please; is; are; was; be; will; would; can; could; should; we; i; you; he; she; it; they; me; him; her; his; its; their; this; that; there; here; at; in; on; by; for; from; to; into; near; before; after; when; while; if; not; don't; do; does; has; have; had; want; wants; like; likes; need; needs; make; makes; get; keep; take; takes; taken; as; or; but; because; so; too; very; photo; photos; picture; pictures; shot; shots; group; list; ask; first; who; which; what; where; how; about; whatever; something; someone; somebody; anyone; outside; inside; tbc; tbd; lake; church; garden; stairs; steps; venue; ceremony; reception; dinner; drinks; minutes; time; wheelchair; also; then; next; etc; with; without; of; an; table; late; early; quick; quickly
		por; favor; para; que; não; está; estão; são; foto; fotos; grupo; antes; depois; quando; muito; nos; nas; no; na; em; ao; à; se; mas; ou; um; uma
		está; están; son; después; cuando; muy; pero; una; unos; en; al; lo; es
		est; sont; pour; avec; dans; sur; avant; après; quand; très; mais; ou; une; un; photo; s'il; vous; plaît; il; elle; ils; au; aux
		ist; sind; bitte; für; mit; im; am; vor; nach; wenn; sehr; aber; oder; ein; eine; nicht; bild; bilder; gruppe; wir; sie; er; es; auf; bei; zum; zur`)
)

// joiners separate the entries of a line. The value says how much: a soft one may stand inside a
// name or title that is known.
type joint int

const (
	start   joint = iota
	soft          // and
	hard          // a comma, a plus, with
	without       // except
)

// joiners by their words, up to three. Single letters count only as they are written here.
var joiners = func() map[string]joint {
	m := make(map[string]joint)
	add := func(j joint, text string) {
		for _, p := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' }) {
			m[strings.Join(strings.Fields(p), " ")] = j
		}
	}
	add(soft, `and; y; e; et; und; ed; och; og; و; und auch; as well as; sowie; và`)
	add(hard, `with; w/; plus; together with; along with; with all; also; and also; and with; and then; con; com; avec; mit; med; met; mais os; mais a; mais o; más; com os; com as; con los; con las; avec les; mit den; mit dem; mit der; với; cùng; مع`)
	add(without, `without; w/o; except; except for; excluding; excl; excl.; minus; but not; apart from; and not; not; no; other than; with no; but; but without; less
		sem; exceto; excepto; menos; sin; sans; sauf; sauf les; hors; à part; ohne; außer; ausser; senza; tranne; zonder; behalve; utan; uden; uten; بدون; ما عدا; باستثناء; ngoại trừ; trừ; không có`)
	return m
}()

// joinerStarts are the first words of joiners: most words are not, and need no further look.
var joinerStarts = func() map[string]bool {
	m := make(map[string]bool)
	for j := range joiners {
		first, _, _ := strings.Cut(j, " ")
		m[first] = true
	}
	return m
}()

// punctuation separates entries too.
var punctuation = map[rune]joint{
	',': hard, ';': hard, '+': hard, '&': soft, '/': soft, '|': hard, '、': hard, '，': hard, '；': hard, '،': hard, '؛': hard, '＋': hard, '＆': soft, '·': hard, '•': hard, '\t': hard,
}

// unspacedJoiners separate entries in Chinese, where words are not spaced.
var unspacedJoiners = map[string]joint{"和": soft, "与": soft, "與": soft, "跟": soft, "及": soft, "除了": without, "不含": without, "没有": without, "加上": hard}
