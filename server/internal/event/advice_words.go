package event

import "strings"

// kinLists holds the words for relatives, in plain form, by what they mean. Invariant: no word has two
// meanings. A word that means different
// things, such as belle-mère (a partner's mother or a father's wife), is left out on purpose. These
// words are only ever read, never written.
var kinLists = map[kin]string{
	kinCouple: `bride; groom; bridegroom; newlywed
		noiva; noivo; novia; novio; mariee; marie; braut; brautigam; sposa; sposo; bruid; bruidegom; brud; brudgom; brudgum`,
	kinSpouse: `husband; wife; spouse; partner; boyfriend; girlfriend; fiance; fiancee
		marido; mulher; esposa; esposo; companheiro; companheira; namorado; namorada; conjuge; parceiro; parceira
		mujer; pareja; companero; companera
		mari; femme; epouse; epoux; conjoint; conjointe; compagnon; compagne
		mann; frau; ehemann; ehefrau; partnerin; verlobter; verlobte; freund; freundin
		marito; moglie; compagno; compagna; man; vrouw; echtgenoot; echtgenote; make; maka; mand; kone; ektemann`,
	kinParent: `mother; father; parent; mum; mom; mam; mummy; mommy; mumma; mama; mamma; dad; daddy; papa; pa
		mae; pai; mamae; papai; madre; padre; mere; pere; maman
		mutter; vater; mutti; vati; vaters; brautmutter; brautvater
		moeder; vader; mor; far; moder; fader`,
	kinStepParent: `stepmother; stepfather; stepparent; stepmum; stepmom; stepdad
		step mother; step father; step parent; step mum; step mom; step dad
		madrasta; padrasto; madrastra; padrastro; stiefmutter; stiefvater; stiefmoeder; stiefvader
		matrigna; patrigno; styvmor; styvfar; stemor; stefar`,
	kinSibling: `sister; brother; sibling; sis; bro; irma; irmao; mano; mana; hermana; hermano; soeur; frere
		schwester; bruder; bruders; sorella; fratello; zus; zuster; broer; syster; soster; bror; broder
		petite soeur; petit frere; grande soeur; grand frere`,
	kinHalfSibling: `half sister; half brother; half sibling; halfsister; halfbrother
		step sister; step brother; step sibling; stepsister; stepbrother; stepsibling
		meia irma; meio irmao; media hermana; medio hermano; hermanastra; hermanastro; demi soeur; demi frere
		halbschwester; halbbruder; stiefschwester; stiefbruder; sorellastra; fratellastro
		halfzus; halfbroer; stiefzus; stiefbroer; halvsyster; halvbror; halvsoster`,
	kinSiblingSpouse: `cunhada; cunhado; cunada; cunado; schwager; schwagerin
		svagerinde; svager; schoonzus; zwager; cognata; cognato; sister in law; brother in law`,
	kinNibling: `niece; nephew; nibling; sobrinha; sobrinho; sobrina; sobrino; neveu; nichte; neffe`,
	kinGrandparent: `grandmother; grandfather; grandparent; grandma; grandpa; granny; gran; grandad; granddad; grandpop
		grandmum; grandmom; nan; nana; nanna; nonna; nonno; grand mother; grand father
		avo; avozinha; avozinho; vovo; vovo; abuela; abuelo; yaya; yayo
		grand mere; grand pere; mamie; papy; papi; grossmutter; grossvater; oma; opa; omi; opi
		grootmoeder; grootvader; mormor; farmor; morfar; farfar; bestemor; bestefar; bedstemor; bedstefar`,
	kinChild: `child; daughter; son; kid; baby; filha; filho; hija; hijo; fille; fils; enfant; tochter; sohn; kind
		figlia; figlio; dochter; zoon; dotter; datter; sonn; barn`,
	kinOther: `aunt; auntie; aunty; uncle; cousin; great aunt; great uncle; godmother; godfather; godparent
		great grandmother; great grandfather; grandchild; granddaughter; grandson
		mother in law; father in law; friend; attendant; neighbour; neighbor; colleague; family friend
		tia; tio; prima; primo; madrinha; padrinho; madrina; padrino; tante; oncle; cousine; marraine; parrain
		onkel; vetter; base; patin; pate; zia; zio; cugina; cugino; oom; moster; faster; morbror; farbror`,
}

// kinWords maps each word of kinLists to what it means.
var kinWords = kinDictionary(kinLists)

func kinDictionary(lists map[kin]string) map[string]kin {
	out := make(map[string]kin)
	for k, list := range lists {
		for _, word := range wordList(list) {
			out[word] = k
		}
	}
	return out
}

// wordList splits at semicolons and line ends.
func wordList(s string) []string {
	var out []string
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ';' || r == '\n' }) {
		out = append(out, strings.TrimSpace(word))
	}
	return out
}

// kinOfWords stand between a relative and whose it is.
var kinOfWords = setOf(wordList(`of; de; da; do; das; dos; del; du; des; di; della; dello; von; vom; van; der
	meines; meiner; deines; deiner; seines; seiner; ihres; ihrer; till; til; av; af`))

// kinFillers add nothing to a relation.
var kinFillers = setOf(wordList(`the; a; an; my; our; your; his; her; their; o; os; as; la; le; les; el; los; las; il; lo
	mi; mis; tu; su; ma; mon; mes; sa; meu; minha; seu; sua; mein; meine; die; das; dem; den
	maternal; paternal; materna; materno; paterna; paterno; maternelle; maternel; paternelle; paternel
	big; little; older; elder; younger; eldest; oldest; youngest; twin; adoptive; biological
	mayor; menor; mais; velho; velha; novo; nova; ainee; aine; cadette; cadet; jumelle; jumeau
	gemea; gemeo; gemela; gemelo; kleine; kleiner; grosse; grosser; altere; alterer; jungere; jungerer`))

// coupleNames are titles and ids of the circle of the couple.
var coupleNames = setOf(wordList(`couple; the couple; newlyweds; the newlyweds; casal; o casal; noivos; os noivos
	pareja; la pareja; novios; los novios; le couple; maries; les maries; paar; das paar; brautpaar; das brautpaar
	coppia; la coppia; sposi; gli sposi; bruidspaar; brudepar; brudeparet; brudpar; brudparet`))
