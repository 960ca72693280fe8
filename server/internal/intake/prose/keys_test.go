package prose

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
)

// apartOf are the names of those who are kept apart.
func apartOf(res place.Result) [][]string {
	var out [][]string
	for _, rule := range res.Event.Rules {
		var two []string
		for _, p := range res.Event.People {
			if slices.Contains(rule.Apart.People, p.ID) {
				two = append(two, p.Name)
			}
		}
		slices.Sort(two)
		out = append(out, two)
	}
	return out
}

// A photographer's shorthand: letters for the couple on one line, letters for their parents without a mark between them, names that a
// mark divides elsewhere.
func TestLettersWithoutMarks(t *testing.T) {
	got, res := photographsOf(t, "B = Nell   G = Otto", "MOB Ida, FOB Karl", "G's sisters Efua, Akosua", "Gran = Vera (MOB's mum)", "",
		"1 B G MOB FOB", "2 B G FOB Max Gran", "3 B Max", "4 G Efua Akosua", "5 G + GM (Max, Jon)", "6 B G GM")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Karl, Max, Nell, Otto, Vera", "Max, Nell", "Akosua, Efua, Otto", "Jon, Max, Otto", "Jon, Max, Nell, Otto"}, got)
	for _, p := range res.Problems {
		assert.NotEqual(t, event.Error, p.Severity, p.Text)
	}
}

// "One of us" is one of the couple, in a letter that first says whose family comes next.
func TestOneOfUs(t *testing.T) {
	got, _ := photographsOf(t, "Hi Jo,", "", "Then my family. My parents are Ida and Karl, my brother is Max. We'd like one of us with just my parents, and one of us with Max.", "", "Thanks", "Nell & Otto")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Max, Nell, Otto"}, got)
}

// Whoever begins a line of who is who is a child of the grandparents whom the day is about, with a partner and children of their own.
func TestChildrenBelowEach(t *testing.T) {
	got, _ := photographsOf(t, "BODAS DE ORO DE LOS ABUELOS", "", "QUIÉN ES QUIÉN", "Abuelos: Eusebio (79) y Herminia (77)", "Marisol, la mayor, con su marido Joaquín. Hijos: Álvaro (19) e Inés (9)",
		"Fermín, separado de Pilar. Hijos: Hugo (12) y Tomás (7)", "Tía Remedios (81), hermana de la abuela", "", "FOTOS",
		"1. Los abuelos con sus hijos", "2. Los abuelos con todos los nietos", "3. La abuela con su hermana", "4. El abuelo con los nietos (los chicos)", "5. Pilar con Hugo")
	assert.Equal(t, []string{"Eusebio, Fermín, Herminia, Marisol", "Eusebio, Herminia, Hugo, Inés, Tomás, Álvaro", "Herminia, Tía Remedios", "Eusebio, Hugo, Tomás, Álvaro", "Hugo, Pilar"}, got)
}

// Numbers that count on are no hours: "13 H only" behind 12; and "Col" is a name beside others.
func TestNumbersCountOn(t *testing.T) {
	got, _ := photographsOf(t, "Nell/Mel - fam formals", "", "N = Nell, M = Mel", "A: N's parents Jan, Col", "B: M's mum Vera", "H: Zoe, Tilda", "",
		"1 N+M + A", "2 N + A", "3 N+M + B", "4 M + B", "5 N+M + H", "6 H", "7 N+M + A+B", "8 H only", "9 N+M + H")
	assert.Equal(t, []string{"Col, Jan, Mel, Nell", "Col, Jan, Nell", "Mel, Nell, Vera", "Mel, Vera", "Mel, Nell, Tilda, Zoe", "Tilda, Zoe", "Col, Jan, Mel, Nell, Vera", "Tilda, Zoe", "Mel, Nell, Tilda, Zoe"}, got)
}

// Somebody who is addressed and has the groom's last name is another; the two before brothers and sisters are the parents.
func TestLastNameOfTheCouple(t *testing.T) {
	got, _ := photographsOf(t, "NELL BRENNAN + CHIDI OKAFOR", "", "Groom's Family", "1. Couple + Okafor immediate: Dr. Emeka Okafor, Mrs. Ngozi Okafor, brother Max", "2. Couple + groom's parents",
		"3. Couple + Chief Okafor (groom's grandfather)", "4. Couple + bridal party (bridesmaids Ida, Pia; groomsmen Jon - BM, Leo)", "5. Groom + groomsmen")
	assert.Equal(t, []string{
		"CHIDI OKAFOR, Dr Emeka Okafor, Max, Mrs Ngozi Okafor, NELL BRENNAN", "CHIDI OKAFOR, Dr Emeka Okafor, Mrs Ngozi Okafor, NELL BRENNAN", "CHIDI OKAFOR, Chief Okafor, NELL BRENNAN",
		"CHIDI OKAFOR, Ida, Jon, Leo, NELL BRENNAN, Pia", "CHIDI OKAFOR, Jon, Leo",
	}, got)
}

// Among wishes without marks, those who have a role are wished for, and not only told of.
func TestRolesAmongWishes(t *testing.T) {
	got, _ := photographsOf(t, "Wedding of Nell & Otto", "", "me + Otto w my mum n dad (Ida & Karl)", "me & nan Vera, shes 86 and gets tired standing so can she go early pls and get her a chair",
		"NOT ida and pia in one photo please", "all my bridesmaids - Zoe, Mia", "lads: Max (best man), Leo", "Ruth n Ava flower girls, 4 and 6, w me", "everyone!!", "", "thats it i think xx")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, Vera", "Mia, Zoe", "Leo, Max", "Ava, Nell, Ruth"}, got[:min(5, len(got))])
}

// "The four", both families and the wife of somebody, as the languages say them.
func TestBothFamilies(t *testing.T) {
	got, _ := photographsOf(t, "Fotos do batizado da Cecília", "", "Mãe: Renata / Pai: Gustavo / Irmão: Bento (4 anos)", "", "☐ Cecília com os pais", "☐ os quatro + vovó Sônia", "☐ os quatro + vovô Ademir e Vilma, namorada dele")
	assert.Equal(t, []string{"Cecília, Gustavo, Renata", "Bento, Cecília, Gustavo, Renata, vovó Sônia", "Bento, Cecília, Gustavo, Renata, Vilma, vovô Ademir"}, got)
	got, _ = photographsOf(t, "العريس: مازن، العروس: دانا", "", "أهل العروس", "١- مازن ودانا مع أخ العروس طارق", "٢- دانا مع رنا زوجة طارق وأولادهم جود ٦ سنوات وسيلين سنتين", "أهل العريس", "٣- مازن مع أمه نجوى", "٤- العائلتين مع بعض")
	assert.Equal(t, "جود, دانا, رنا, سيلين, طارق, مازن, نجوى", got[3])
}

// The children of each are told of after a colon, and a name that is a word of kin, too, is one where an age stands behind it.
func TestWhoseAreWho(t *testing.T) {
	got, res := photographsOf(t, "Hi Jo,", "", "The children: mine are Poppy (11) and Luca (8), Otto's are Erin (17) and Max (19).", "", "Photos:", "- Me & Otto with all four children", "- Me with Poppy and Luca",
		"- Both of us with my mum Ida and stepdad Roy", "- Both of us with my dad Karl and his wife Sally. Mum and Dad can't be in the same photo, please don't call them up together",
		"- My side altogether: Ida, Roy plus Poppy & Luca", "", "Thanks so much", "Nell & Otto")
	assert.Equal(t, []string{"Erin, Luca, Max, Nell, Otto, Poppy", "Luca, Nell, Poppy", "Ida, Nell, Otto, Roy", "Karl, Nell, Otto, Sally", "Ida, Luca, Nell, Poppy, Roy"}, got)
	assert.Equal(t, [][]string{{"Ida", "Karl"}}, apartOf(res))
	_, res = photographsOf(t, "BODAS DE ORO", "", "- Pilar y Fermín", "- Pilar con Hugo", "", "Importante: Pilar y Fermín juntos en una foto no, por favor.")
	assert.Equal(t, [][]string{{"Fermín", "Pilar"}}, apartOf(res))
}

// From when photographs are taken is said in ranges of four digits, behind who prints a list, and below a title.
func TestHoursOfPhotographs(t *testing.T) {
	for want, list := range map[string][]string{
		"14:40-15:10": {"Group list: Nell & Otto, 12 June, groups 1440-1510"},
		"16:45-17:15": {"Nell/Otto – sat 6 feb – fam formals", "cer ends 4.30, grps 4.45-5.15 under the tree"},
		"16:30-":      {"Bonjour,", "", "Voici la liste des photos de groupe pour le 4 juillet. On les fait dans le parc à 16h30."},
		"14:45-":      {"Gruppenfotos Nell & Otto, Samstag 23. Mai", "ab ca. 14.45 Uhr im Hof"},
	} {
		list = append(list, "", "1. Nell & Otto", "2. Nell & Otto, Ida", "3. Nell & Otto, Karl")
		got := Read(effort.New(t.Context(), 50_000_000), strings.Join(list, "\n"), event.Event{}, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
		if assert.Len(t, got.Event.Blocks, 1, want) {
			assert.Equal(t, want, got.Event.Blocks[0].Opens+"-"+got.Event.Blocks[0].Closes)
		}
	}
	for _, day := range []string{"16/08", "8/16"} {
		got := Read(effort.New(t.Context(), 50_000_000), "Fotos Nell & Otto - "+day+"\n\n- Nell & Otto\n- Nell, Ida", event.Event{}, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
		assert.Equal(t, "2026-08-16", got.Event.Date)
	}
}

// Letters for the couple stand among others, behind a word for them.
func TestKeyWithCouple(t *testing.T) {
	got, _ := photographsOf(t, "PHOTOS - mariage Nell & Otto", "abrév. : LM = les mariés, N = Nell, O = Otto", "", "côté N", "LM + parents N (Ida & Karl)", "LM + Ida", "N + Karl")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Ida, Nell, Otto", "Karl, Nell"}, got)
}

// Whose day it is stands in headings and keys, and a mother who writes is not of the couple.
func TestCoupleByHeadingsAndKeys(t *testing.T) {
	got, _ := photographsOf(t, "From your list", "", "Bride's side", "- Nell & parents (Karl and me, Ida)", "- Nell + Nana Vera", "- all the Linds (my side)", "Groom's side",
		"- Otto & his mam Eve", "- Otto, Eve, stepdad Max", "", "Thank you, Ida")
	assert.Equal(t, []string{"Ida, Karl, Nell", "Eve, Otto", "Eve, Max, Otto"}, []string{got[0], got[3], got[4]})
	got, _ = photographsOf(t, "Bride: Nell (Nelly)  Groom: Otto", "", "1. Nelly & Otto + her mum Ida", "2. Otto + sister Uma", "3. Nelly alone")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Otto, Uma", "Nell"}, got)
}

// Keys of a planner's own: letters with a small one, letters with numbers, a section of them above boxes.
func TestKeysOfTheirOwn(t *testing.T) {
	got, _ := photographsOf(t, "QUI EST QUI", "M = Nell (mariée)", "Mé = Otto (marié)", "PM = parents M : Ida + Karl", "T1 Eve, T2 Uma = témoins M", "",
		"□ M + Mé + PM", "□ Mé + T1 + T2", "□ M + T2")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Eve, Otto, Uma", "Nell, Uma"}, got)
}

// Two whom most lines begin with are the couple whoever signs, and "us" are the parents that the list asks for without a name.
func TestMotherWritesOfThemAll(t *testing.T) {
	got, res := photographsOf(t, "Dear Jo,", "", "Nell and Otto with us (Ida and Karl)", "Nell and Otto with Otto's parents, Eve and Max", "Nell and Otto with both sets of parents",
		"Nell and Otto with Nell's sisters, Uma and Zoe", "Nell, her sisters and me", "Nell with her father", "", "With best wishes,", "Ida")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Eve, Max, Nell, Otto", "Eve, Ida, Karl, Max, Nell, Otto", "Nell, Otto, Uma, Zoe", "Ida, Nell, Uma, Zoe", "Karl, Nell"}, got)
	assert.Len(t, res.Event.People, 8)
}

// A mother writes of her child's wedding, below the head of a mail; a form has numbers, and asks for photographs at last.
func TestLetterAndFormOfOthers(t *testing.T) {
	got, _ := photographsOf(t, "Objet : Re: Re: photos", "", "Voici la liste pour le mariage de ma fille Nell et de Otto.", "",
		"Les mariés avec le papa de Otto, Karl. Puis les mariés avec la maman de Otto, Ida.")
	assert.Equal(t, []string{"Karl, Nell, Otto", "Ida, Nell, Otto"}, got)
	got, _ = photographsOf(t, "1) Nome dos noivos: Nell e Otto", "2) Data e local: 23/08, chácara", "3) Pais da noiva: Ida e Karl", "4) Pais do noivo: Eva e Max",
		"5) Alguém com dificuldade de locomoção? vó Vera", "6) Fotos que não podem faltar:", "- noivos com os pais da noiva", "- noiva com a vó Vera")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, vó Vera"}, got)
}
