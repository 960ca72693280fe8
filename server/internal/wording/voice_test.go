package wording

import (
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// banned are words that the page of voice in DEVELOPERS.md does without, by language: foreign words, words of the
// code, words for one gender where anybody may be meant. They were found by readers of the printed sheets.
var banned = map[string][]string{
	"en": {`\bmend`, `hand in\b`, `honest min`, `%s is no `, `as is wanted`, `\banew\b`, `goes by`, `\bgroupings?\b`, `\bcircles?\b`, `\bblocks?\b`,
		`walk-ins?`, `\bowed\b`, `\b[Ee]lders\b`, `birth family`, `photograph\b`, `photographs\b`, `\bgap\b`, `\bbound\b`, `\bproven\b`, `slim people`, `kept beside`, `put right\b`, `[Tt]elephone`},
	"de": {`Ereignis`, `Kreis`, `Wege? ins Bild`, `Aufnahme`, `Herkunft`, `Rückstrich`, `\bgeben Sie .* ab\b`, `schlank`, `übersetz`, `das Mindeste`, `\b[Zz]urückgestellt:`, `ehrlich`, `weiteres Objektiv`,
		`Taschenliste`, `Betreiber`, `jemand, der`, `jemandem, der`, `Gefolge`, `Datei der Veranstaltung`, `hereinlassen`, `Ausrufen`, `\bgerufen`, `nverzichtbar`, `daneben (auf|er)`},
	"fr": {`Feuille d’appel`, `aînés`, `famille de naissance`, `\bpris pour\b`, `cercle`, `honnête`, `ceux du dessus`, `rappelé`, `Pour vous seul\b`, `sûrement`, `minces`, `Liste de poche`, `de ceux qui`, `\bun photographe`, `autres? invités?`, `Direction photo`, `Déplacées`, `gardé à côté`, `Peuvent partir`, `'`, ` [;:?!]`},
	"es": {`Hoja de llamada`, `círculo`, `aparato`, `honesto`, `entregue`, `[Ll]lamados`, `probado`, `delgadas`, `Mayores y`, `[Qq]uién foto\b`,
		`quien foto\b`, `los foto\b`, `a los demás`, `[Vv]an todos`, `invitados? más`, `\bRep(oner|uesta)\b`, `\bunos %s`, `[Cc]uente hasta`, `imprescindible`, `Cambian de lugar`},
	"pt": {`Folha de chamada`, `círculo`, `aparelho`, `telefone`, `honesto`, `entregue`, `[Cc]hamados`, `\bnoivos\b`, `alcunha`, `dívida`, `mais aberta`, `magras`, `se lê\b`,
		`fotografias`, `(uma|esta|última) fotografia`, `[Vv]ão todos`, `outros? convidados?`, `[Tt]irá-las`, `você `, `[Cc]onte até`, `[Ll]igaç(ão|ões) (nova|errad|de plan)`, `Mudaram de lugar`, `Volta a tentar`},
	"ar": {`دائرة`, `الدوائر`, `الكبار`, `الصغار`, `فراغ`, `صادقة`, `تحرير`, `دليل الوجوه`, `ألقاب`, `النحيف`, `العروس`, `الجيب`, `من يقف أين`, `يفرغ`, `التعبئة`, `لا بد منها`, `الجانب`, `بدأ اليوم`, `متروك`, `انصراف قريب`, `(^|[ :])(ضع|اكتب|احذف|أضف|عدّل|التقط|اضغط|راجع) `},
	"zh": {`出镜`, `[入出]画`, `次序`, `圈子`, `原生家庭`, `叫名`, `只交`, `尚欠`, `祖辈`, `瘦`, `私密`, `s号`, `照片`, `口袋`, `自由`, `无名`, `补光闪光`, `时间允许`, `亲属方`, `召集人`, `跪`, `策划[者人]`},
}

// The words of the trade are said in every language, and the others stay out.
func TestNoBannedWords(t *testing.T) {
	for tag, words := range banned {
		for _, word := range words {
			rx := regexp.MustCompile(word)
			for k, m := range in(tag).texts {
				for _, s := range append(formsOf(m), m.other) {
					assert.NotRegexp(t, rx, s, "%s: %s", tag, k)
				}
			}
		}
	}
}

// A sheet is called the same wherever it is spoken of as in its own head.
func TestSheetsHaveOneName(t *testing.T) {
	for spoken, head := range map[Key]Key{
		"page.pocketListOnOnePage": "sheet.pocketSheet", "page.facesToFindBySideAnd": "sheet.finderSheet", "sheet.onlyTheFindersSheet": "sheet.finderSheet",
		"page.largeNamesForWhoReadsThem": "sheet.readerSheet", "page.whoStandsWhereAPictureFor": "standing.whoStandsWhere", "page.whoStandsWhereIn": "standing.whoStandsWhere",
	} {
		for _, c := range append(others(), english) {
			assert.Contains(t, c.texts[spoken].other, c.texts[head].other, "%s: %s", c.tag, spoken)
		}
	}
}

func formsOf(m message) []string {
	var out []string
	for _, s := range m.forms {
		out = append(out, s)
	}
	return out
}

// figures are texts whose numbers count nothing: they are names, limits, degrees, or the unit is short for all numbers.
var figures = []Key{"sheet.mostThatIsDrawn", "outdoors.hasTheSunInTheLens", "outdoors.hasPeopleLookIntoTheSun", "outdoors.sunIsHigh",
	"outdoors.takeFewerPeoplePerRowIn", "outdoors.fromHereItWouldTakeA", "advice.toGatherTheCircleAndIs", "check.ruleNamesFewerThanTwo",
	"check.ruleSaysNothing", "check.ruleSaysSeveralThings", "check.stretchOfPresenceHasNoTime", "check.walkHasNoPlaceHere",
	"check.walkLeadsFromToItself", "check.hasNoValueNumber", "check.theIs", "check.circlesAndGroupingsNamePeopleMore", "check.theMost",
	"check.grouping", "check.grouping3", "check.groupingsComeToPhotographsEachofCounted", "check.rule2", "check.rule3", "check.ruleKeepsFewerThanTwoApart",
	"check.rulesUpToRuleKeepMore", "check.rulesUpToRulePutInOrder", "check.mustBeFromTo", "check.block2", "check.block3", "check.person", "check.person2", "check.person3", "check.person4",
	"check.side", "check.side3", "check.circle2", "check.circle3", "check.arrangeTableGoesFromNewcomersTo", "check.framesTableGoesFromPeopleTo",
	"plan.rule", "plan.changedMore", "plan.hasAndHolds", "list.atLine", "list.sameAsLine", "list.fromThisLineOnTheList", "list.listIsLongerThanLinesOr", "file.entryOf",
	"file.fieldIsGivenTwiceFirstIn", "file.readingThisTakesTooLongAnd", "file.byteOfTheFile", "file.tableIsTooLarge", "file.tableHasTooMuchText", "file.commaOrTheClosingBracketIs",
	"file.lineDoesNotGoOnWith", "page.everybodyWhoComes", "page.saysMoreOfLine", "page.name", "page.line", "page.line2", "page.takeBlockOut",
	"page.takeRuleOut", "page.placeInTheBlockNow", "page.plansAreBeingMadeAndWait", "page.lineWasChangedInTheList"}

// A text with a number has plural forms, unless the number counts nothing or stands behind a label.
func TestNumbersHaveForms(t *testing.T) {
	label := regexp.MustCompile(`^[^%]*: %d\.?$`)
	counts := regexp.MustCompile(`%(\[\d\])?d`)
	for k, m := range english.texts {
		if !counts.MatchString(m.other) || len(m.forms) > 0 || label.MatchString(m.other) {
			assert.False(t, len(m.forms) > 0 && slices.Contains(figures, k), "%s has forms and is listed as a figure", k)
			continue
		}
		assert.Contains(t, figures, k, m.other)
	}
	for _, k := range figures {
		assert.Contains(t, english.texts, k)
	}
}
