package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// forms are questionnaires as photographers send them and couples fill them in, and the photographs that they want.
var forms = map[string]struct {
	lines string
	want  []string
}{
	"de1": {`
Fragebogen Gruppenfotos

Namen des Brautpaars: Nele und Fabian
Hochzeitsdatum: 12.09.2026
Eltern der Braut: Heike und Uwe
Eltern des Bräutigams: Monika, Dieter
Geschwister der Braut: Jan (mit Freundin Mara)
Geschwister des Bräutigams: keine
Großeltern: Oma Inge (Seite Nele, Rollator)
Trauzeugen: Mara (Braut), Lars (Bräutigam)

Gewünschte Gruppen:
1. Brautpaar mit Eltern der Braut
2. Brautpaar mit Eltern des Bräutigams
3. Brautpaar mit allen Eltern
4. Brautpaar mit Oma Inge
5. Brautpaar mit den Trauzeugen
6. Braut mit ihrem Bruder`, []string{
		"Fabian, Heike, Nele, Uwe",
		"Dieter, Fabian, Monika, Nele",
		"Dieter, Fabian, Heike, Monika, Nele, Uwe",
		"Fabian, Nele, Oma Inge",
		"Fabian, Lars, Mara, Nele",
		"Jan, Nele",
	}},
	"en1": {`
FAMILY PHOTO QUESTIONNAIRE

Names of the couple: Grace Palmer and Noah Reed
Wedding date: 20 June 2026
Who are the parents of Grace? Linda and Peter Palmer
Who are the parents of Noah? Judy (mum), Colin (dad), remarried to Sue
Grace's siblings: Hannah, Ben
Noah's siblings: Luke (wife Amy)
Grandparents attending: Grandma Edith (Grace's side, wheelchair), Grandpa Stan (Noah's side)
Any mobility needs? Grandma Edith needs a chair
Anyone who shouldn't stand together? Judy and Sue

Which group photos would you like?
1. Couple with Grace's parents
2. Couple with Noah's parents
3. Couple with both sets of siblings
4. Couple with Grandma Edith
5. Couple with Noah's brother and his wife
6. Grace with her siblings`, []string{
		"Grace Palmer, Linda, Noah Reed, Peter Palmer",
		"Colin, Grace Palmer, Judy, Noah Reed",
		"Ben, Grace Palmer, Hannah, Luke, Noah Reed",
		"Grace Palmer, Grandma Edith, Noah Reed",
		"Amy, Grace Palmer, Luke, Noah Reed",
		"Ben, Grace Palmer, Hannah",
	}},
	"en2": {`
Partner 1: Alex Kim
Partner 2: Sam Doyle

Partner 1's parents: Min-ji & David
Partner 2's parents: Carol (mother), Frank (father)
Partner 1's siblings: Jenny
Partner 2's siblings: Rob, Katie
Grandparents (P1): none
Grandparents (P2): Nana Joan, 91 - can't stand for long
Best man / maid of honor: Rob / Jenny

Please list the photos you want:
- P1 + P2 with P1 parents
- P1 + P2 with P2 parents
- Both of us with all parents
- P1 with P1 siblings
- P2 with P2 siblings
- both with P2's grandma`, []string{
		"Alex Kim, David, Min-ji, Sam Doyle",
		"Alex Kim, Carol, Frank, Sam Doyle",
		"Alex Kim, Carol, David, Frank, Min-ji, Sam Doyle",
		"Alex Kim, Jenny",
		"Katie, Rob, Sam Doyle",
		"Alex Kim, Nana Joan, Sam Doyle",
	}},
	"es1": {`
CUESTIONARIO FOTOS FAMILIARES

Nombres de los novios: Elena y Pablo
Padres de la novia: Concha y Julián
Padres del novio: Mercedes (mamá), Andrés (papá)
Hermanos de la novia: Raúl
Hermanos del novio: Lorena y Víctor
Abuelos: abuela Pepa (de la novia, silla de ruedas)
Padrinos: Julián y Mercedes
¿Alguien con movilidad reducida? La abuela Pepa

Fotos que queremos:
1. Novios con los padres de la novia
2. Novios con los padres del novio
3. Novios con los padrinos
4. Novios con la abuela Pepa
5. El novio con sus hermanos
6. La novia con su hermano`, []string{
		"Concha, Elena, Julián, Pablo",
		"Andrés, Elena, Mercedes, Pablo",
		"Elena, Julián, Mercedes, Pablo",
		"Elena, Pablo, abuela Pepa",
		"Lorena, Pablo, Víctor",
		"Elena, Raúl",
	}},
	"fr1": {`
Questionnaire photos de groupe

Prénoms des mariés : Élise et Thomas
Date du mariage : 12/09/2026
Parents de la mariée : Nathalie et Bruno
Parents du marié : Christine et Pascal (séparés)
Frères et sœurs de la mariée : Camille
Frères et sœurs du marié : Antoine, Julien
Grands-parents : Mamie Yvette (côté Élise), Papi Georges (côté Thomas, fauteuil roulant)
Témoins de la mariée : Camille et Sarah
Témoins du marié : Antoine

Groupes souhaités :
- les mariés + les parents de la mariée
- les mariés + les parents du marié
- les mariés + tous les parents
- les mariés + Mamie Yvette
- les mariés et les frères de Thomas
- la mariée + ses témoins
- le marié et son témoin`, []string{
		"Bruno, Nathalie, Thomas, Élise",
		"Christine, Pascal, Thomas, Élise",
		"Bruno, Christine, Nathalie, Pascal, Thomas, Élise",
		"Mamie Yvette, Thomas, Élise",
		"Antoine, Julien, Thomas, Élise",
		"Camille, Sarah, Élise",
		"Antoine, Thomas",
	}},
	"pt1": {`
Questionário - fotos de família

Nomes dos noivos: Inês e Tiago
Pais da noiva: Fátima e José
Pais do noivo: Helena e Carlos
Irmãos da noiva: Pedro
Irmãos do noivo: Rita, Miguel
Avós: avó Rosa (lado da Inês, 92 anos)
Padrinhos: Pedro e Rita

Fotos pretendidas:
- noivos com os pais da noiva
- noivos com os pais do noivo
- noivos com a avó Rosa
- noivo com os irmãos
- noivos com os padrinhos`, []string{
		"Fátima, Inês, José, Tiago",
		"Carlos, Helena, Inês, Tiago",
		"Inês, Tiago, avó Rosa",
		"Miguel, Rita, Tiago",
		"Inês, Pedro, Rita, Tiago",
	}},
	"zh1": {`
合影问卷

新娘姓名：林悦
新郎姓名：张浩
新娘父母：林国华、陈秀芬
新郎父母：张建民、刘芳
新娘兄弟姐妹：林杰
新郎兄弟姐妹：无
祖父母：奶奶（新郎方，坐轮椅）
伴娘：小美、小雪
伴郎：阿强

想拍的合影：
1. 新人和新娘父母
2. 新人和新郎父母
3. 新人和双方父母
4. 新人和奶奶
5. 新娘和伴娘
6. 新郎和伴郎`, []string{
		"张浩, 林国华, 林悦, 陈秀芬",
		"刘芳, 张建民, 张浩, 林悦",
		"刘芳, 张建民, 张浩, 林国华, 林悦, 陈秀芬",
		"奶奶, 张浩, 林悦",
		"小美, 小雪, 林悦",
		"张浩, 阿强",
	}},
	"q2-de1": {`
Wie heißt ihr?
Lara & Ben
Wann heiratet ihr?
05.09.2026
Wie heißen die Eltern der Braut?
Martina und Jürgen
Wie heißen die Eltern des Bräutigams?
Sabine (getrennt von Thomas)
Habt ihr Geschwister?
Lara: Schwester Pia. Ben: keine
Wer sind eure Trauzeugen?
Pia und Moritz
Gibt es Personen, die nicht lange stehen können?
Opa Heinz (Seite von Lara)
Welche Gruppenfotos wünscht ihr euch?
- Brautpaar mit Laras Eltern
- Brautpaar mit Bens Mutter
- Brautpaar mit Pia
- Brautpaar mit Trauzeugen
- Brautpaar mit Opa Heinz`, []string{
		"Ben, Jürgen, Lara, Martina",
		"Ben, Lara, Sabine",
		"Ben, Lara, Pia",
		"Ben, Lara, Moritz, Pia",
		"Ben, Lara, Opa Heinz",
	}},
	"q2-en1": {`
Group Photo Info Sheet

Couple: Jess Lowe & Tyler Grant
Date of wedding: 14 August 2026
Number of guests: about 80

Jess's side
Mum's name: Karen
Dad's name: Steve (passed away)
Step-parents: Alan (Karen's husband)
Brothers/sisters: Ollie, Beth
Grandparents: Nan (Iris)

Tyler's side
Mum's name: Diane
Dad's name: Rob
Step-parents: none
Brothers/sisters: Kyle
Grandparents: Grandpa Joe (wheelchair user)

Wedding party
Maid of honour: Beth
Bridesmaids: Chloe, Dani
Best man: Kyle
Groomsmen: Luke, Ash

Family situations we should know about? Diane & Rob are divorced, they don't want to stand together

Your group shots:
1. Couple with Karen and Alan
2. Couple with Jess's siblings
3. Couple with Jess's nan
4. Couple with Tyler's mum
5. Couple with Tyler's dad
6. Couple with Tyler's brother and grandpa
7. Jess + maid of honour + bridesmaids
8. Tyler + best man + groomsmen
9. Everyone`, []string{
		"Alan, Jess Lowe, Karen, Tyler Grant",
		"Beth, Jess Lowe, Ollie, Tyler Grant",
		"Iris, Jess Lowe, Tyler Grant",
		"Diane, Jess Lowe, Tyler Grant",
		"Jess Lowe, Rob, Tyler Grant",
		"Grandpa Joe, Jess Lowe, Kyle, Tyler Grant",
		"Beth, Chloe, Dani, Jess Lowe",
		"Ash, Kyle, Luke, Tyler Grant",
		"Alan, Ash, Beth, Chloe, Dani, Diane, Grandpa Joe, Iris, Jess Lowe, Karen, Kyle, Luke, Ollie, Rob, Tyler Grant",
	}},
	"q2-en2": {`
Q: What are your names?
A: Priya (bride) and Dan (groom)
Q: Who are the bride's parents?
A: Sunita and Vikram
Q: Who are the groom's parents?
A: Mary and John
Q: Any brothers or sisters?
A: Priya's brother Arjun, Dan's sister Katie
Q: Does anyone have trouble standing or walking?
A: Dan's grandma Betty can't stand for long
Q: Which family photos do you want?
A:
- us with Priya's parents
- us with Dan's parents
- us with our siblings
- us with Betty
- us with all the parents`, []string{
		"Dan, Priya, Sunita, Vikram",
		"Dan, John, Mary, Priya",
		"Arjun, Dan, Katie, Priya",
		"Betty, Dan, Priya",
		"Dan, John, Mary, Priya, Sunita, Vikram",
	}},
	"q2-fr1": {`
FICHE PHOTOS DE GROUPE
Mariée : Lucie Fabre
Marié : Maxime Roy
Photographe : Studio Nord
Mère de la mariée : Odile
Père de la mariée : Jean-Luc
Mère du marié : Corinne
Père du marié : décédé
Beau-père du marié : Alain
Fratrie mariée : Manon, Théo
Fratrie marié : Quentin
Grands-parents : Mamie Ginette (mère d'Odile), ne peut pas rester debout
Témoins mariée : Manon, Julie
Témoins marié : Quentin

GROUPES
1. Mariés + parents de Lucie
2. Mariés + Corinne et Alain
3. Mariés + frères et sœurs de Lucie
4. Mariés + frère de Maxime
5. Mariés + Mamie Ginette
6. Lucie + ses témoins
7. Mariés + tous les témoins`, []string{
		"Jean-Luc, Lucie Fabre, Maxime Roy, Odile",
		"Alain, Corinne, Lucie Fabre, Maxime Roy",
		"Lucie Fabre, Manon, Maxime Roy, Théo",
		"Lucie Fabre, Maxime Roy, Quentin",
		"Lucie Fabre, Mamie Ginette, Maxime Roy",
		"Julie, Lucie Fabre, Manon",
		"Julie, Lucie Fabre, Manon, Maxime Roy, Quentin",
	}},
}

// The list behind the questions uses what the answers say.
func TestForms(t *testing.T) {
	for name, c := range forms {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}

// A question and its answer stand on one line or two, with a colon, a question mark or a number.
func TestQuestionsAndAnswers(t *testing.T) {
	answers := []string{"Nell", "Otto", "Ida & Karl", "Vera and Emil", "Pia, Lotte", "Vera uses a wheelchair"}
	for _, q := range [][]string{
		{"Bride: ", "Groom: ", "Bride's parents: ", "Groom's parents: ", "Bridesmaids: ", "Any mobility needs? "},
		{"Bride's name: ", "Groom's name: ", "Parents of the bride: ", "Parents of the groom: ", "Bridesmaids? ", "Mobility needs: "},
		{"Bride's name:\n", "Groom's name:\n", "Who are the bride's parents?\n", "Who are the groom's parents?\n", "Bridesmaids:\n", "Anybody who can't stand?\n"},
		{"1. Bride's name\n", "2. Groom's name\n", "3. Bride's parents\n", "4. Groom's parents\n", "5. Bridesmaids\n", "6. Mobility needs?\n"},
		{"Partner 1: ", "Partner 2: ", "Partner 1's parents: ", "Partner 2's parents: ", "Bridesmaids: ", "Accessibility: "},
	} {
		lines := []string{"Family photo questionnaire", ""}
		for k, a := range answers {
			lines = append(lines, strings.Split(q[k]+a, "\n")...)
		}
		lines = append(lines, "", "Group photos you would like:", "- couple + Nell's parents", "- couple + Otto's parents", "- Nell + bridesmaids")
		got, _ := photographsOf(t, lines...)
		assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Emil, Nell, Otto, Vera", "Lotte, Nell, Pia"}, got, q[0])
	}
}

// Witnesses and others are shared out by what stands behind their names.
func TestWhoseWitnesses(t *testing.T) {
	head := []string{"Noms des mariés : Nell (la mariée) et Otto (le marié)", "Parents de la mariée : Ida, Karl", "Parents du marié : Vera"}
	for _, answer := range []string{"Témoins : Pia et Lotte pour Nell, Emil pour Otto", "Témoins : Pia (mariée), Lotte (mariée), Emil (marié)"} {
		got, _ := photographsOf(t, append(slices.Clone(head), answer, "", "Photos souhaitées :", "- la mariée et ses témoins", "- le marié et son témoin")...)
		assert.Equal(t, []string{"Lotte, Nell, Pia", "Emil, Otto"}, got, answer)
	}
}

// "With and without" asks for two.
func TestWithAndWithout(t *testing.T) {
	got, _ := photographsOf(t, "Wedding of Nell & Otto", "", "1. Nell's siblings: Pia (husband Emil), Lotte", "2. Couple + Nell's siblings, with and without partners")
	assert.Equal(t, []string{"Lotte, Nell, Otto, Pia", "Emil, Lotte, Nell, Otto, Pia"}, got[1:])
}
