package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
)

// Lists whose lines lean on a heading, a key, a number or a last name, with who is in each photograph.
var leaning = map[string]struct {
	lines string
	want  []string
}{
	"headings that lead": {`Ana & Tom - formals

Bride & Groom with:
- bride's parents (Rita, Gil)
    - add her brother Max
Groom steps out. Bride with:
- Mum
- Max`, []string{"Ana, Gil, Rita, Tom", "Ana, Gil, Max, Rita, Tom", "Ana, Rita", "Ana, Max"}},
	"solo in Spanish": {`Fotos boda Ana y Tom

Novios con:
- hermanos de la novia con sus parejas (Marta y Quique, Javi y Noelia)
Solo novia:
- con sus hermanos`, []string{"Ana, Javi, Marta, Noelia, Quique, Tom", "Ana, Javi, Marta"}},
	"numbers": {`Ana & Tom

1. Couple + Rita
2. Couple + Gil + Max
3. Same as 1 plus Zoe
4. 2 + 3
5. 1 to 3 all together`, []string{"Ana, Rita, Tom", "Ana, Gil, Max, Tom", "Ana, Rita, Tom, Zoe", "Ana, Gil, Max, Rita, Tom, Zoe", "Ana, Gil, Max, Rita, Tom, Zoe"}},
	"a key": {`Ana + Tom formals

B = Ana, G = Tom
MOB = Rita, FOB = Gil, BOB = Max (11)
GM = Granny Ida (Ana's, 92)

1. B G MOB FOB
2. B BOB GM
3. G GM
4. all of the above`, []string{"Ana, Gil, Rita, Tom", "Ana, Granny Ida, Max", "Granny Ida, Tom", "Ana, Gil, Granny Ida, Max, Rita, Tom"}},
	"a reunion": {`Whitlow family reunion

1) Whole family
2) Grandma & Grandpa with their kids (Lin, Paul)
3) Each individual family:
   Lin & Greg + Emma, Noah (11)
   Paul & Dee + Tyler
4) just the grandkids
5) the 2 kids with their spouses
Grandma = June
Grandpa = Harold`, []string{
		"Dee, Emma, Greg, Harold, June, Lin, Noah, Paul, Tyler", "Harold, June, Lin, Paul", "Emma, Greg, Lin, Noah", "Dee, Paul, Tyler", "Emma, Noah, Tyler", "Dee, Greg, Lin, Paul",
	}},
	"last names": {`Family photos: Niamh Coombe & Peter Lee

1. Couple + Granny Coombe (Enid, 88)
2. Couple + Uncle Joe Coombe
3. All the Coombes`, []string{"Granny Coombe, Niamh Coombe, Peter Lee", "Niamh Coombe, Peter Lee, Uncle Joe Coombe", "Granny Coombe, Niamh Coombe, Uncle Joe Coombe"}},
	"grandparents of a son": {`Ezra's Bar Mitzvah

1. Ezra + Mom (Rachel) + Dad (Josh)
2. Ezra w/ Rachel's parents: Helen, Mort
3. Ezra w/ Josh's mom, Grandma Carol
4. E + all 3 grandparents`, []string{"Ezra, Josh, Rachel", "Ezra, Helen, Mort", "Ezra, Grandma Carol", "Ezra, Grandma Carol, Helen, Mort"}},
	"forms of address and kin behind names": {`Ana weds Tom

1. Couple + Tom's mother Smt. Lata (chairs please)
2. Couple + Deepak Kaka & Nirmala Atya
3. Ana + her godmother Aunty Philo
4. Couple + Una the celebrant
5. Couple + colleagues (only if time permits)`, []string{"Ana, Smt Lata, Tom", "Ana, Deepak, Nirmala, Tom", "Ana, Aunty Philo", "Ana, Tom, Una", "Ana, Colleagues, Tom"}},
	"groups before a dash": {`Ana & Tom

1. Ana + book club - Viv, Carol, Mandy
2. Couple with Rita's family - Rita, Gil, Max
3. Couple with Gil, Max and both mams (Rita, June)`, []string{"Ana, Carol, Mandy, Viv", "Ana, Gil, Max, Rita, Tom", "Ana, Gil, June, Max, Rita, Tom"}},
	"children of both": {`Ana & Tom

Ana's girls - Izzy (16) and Flo (13)
Tom's boys - Jack (19) and Ollie (14)
Tom's brother - Max

1. A + T + all four kids
2. Tom with Max and his parents (Vera, Emil)
3. Max and his parents`, []string{"Ana, Flo, Izzy, Jack, Ollie, Tom", "Emil, Max, Tom, Vera", "Emil, Max, Vera"}},
	"named below": {`PICTORIALS
Bea Cruz & Migs Uy
February 20, 2027

- Couple with all godparents:
  Danilo & Corazon
  Susan
- Bea with Susan`, []string{"Bea Cruz, Corazon, Danilo, Migs Uy, Susan", "Bea Cruz, Susan"}},
	"what keeps people apart asks for nobody": {`Ana & Tom

1. Couple + Rita (Ana's mum. Please don't put her next to Gil)
2. Couple + Gil - not in any with Rita
3. Couple + the cousins Garner: Hugo, Lucy`, []string{"Ana, Rita, Tom", "Ana, Gil, Tom", "Ana, Hugo, Lucy, Tom"}},
	"mine and theirs": {`Photo groups (Ana & Tom)

Mine
- us + Mam & Dad (Rita, Gil)
- us + Mam & Dad + Max

Tom's
- us + Mam & Dad (Vera, Emil)
- us + Mam`, []string{"Ana, Gil, Rita, Tom", "Ana, Gil, Max, Rita, Tom", "Ana, Emil, Tom, Vera", "Ana, Tom, Vera"}},
	"spouses in brackets": {`Please find the photographs for Mama's 80th birthday

1. Mama and her children (sons Chidi and Uche, daughter Ada)
2. Mama, the children and their spouses: Ife (Chidi), Tunde (Ada)
3. Mama and her sons`, []string{"Ada, Chidi, Mama, Uche", "Ada, Chidi, Ife, Mama, Tunde, Uche", "Chidi, Mama, Uche"}},
	"numbers of another script": {`صور العيلة - فرح سلمى وكريم

١- العروسين مع سعاد لو فيه وقت
٢- العروسين مع منى، لازم تمشي الساعة ٤ ونص`, []string{"سعاد, سلمى, كريم", "سلمى, كريم, منى"}},
	"sponsors by what they give": {`XV de Ximena

1. Ximena con sus padrinos de velación Gaby y Memo
2. Ximena con su madrina de ramo, Fer
3. Ximena con todos sus padrinos`, []string{"Gaby, Memo, Ximena", "Fer, Ximena", "Fer, Gaby, Memo, Ximena"}},
	"small Roman numbers": {`Ana & Tom

i. Whole congregation
ii. A&T + Rita, Gil
iii. A&T + Vera

Must-haves: ii, iii.`, []string{"Ana, Gil, Rita, Tom, Vera", "Ana, Gil, Rita, Tom", "Ana, Tom, Vera"}},
	"a greeting": {`Hi Jo! Ok here goes, sorry for the essay

Ana & Tom

1. Ana & Tom with Rita
2. Ana & Tom with Gil`, []string{"Ana, Rita, Tom", "Ana, Gil, Tom"}},
	"both sets of parents, set by set": {`Formals for Ana & Tom

1. Couple with both sets of parents (Rita, Gil + Vera, Emil)
2. Ana w/ her mum and dad
3. Tom with his parents`, []string{"Ana, Emil, Gil, Rita, Tom, Vera", "Ana, Gil, Rita", "Emil, Tom, Vera"}},
	"both sets of parents, each with whose": {`Formals for Ana & Tom

1. Couple with both sets of parents (Ana's mum Rita, Ana's dad Gil, his dad Emil, his mum Vera)
2. Ana with her parents
3. Tom with his mum`, []string{"Ana, Emil, Gil, Rita, Tom, Vera", "Ana, Gil, Rita", "Tom, Vera"}},
	"sides": {`Ana & Tom, 12 June 2027
Ana's parents: Rita and Gil. Tom's parents: Vera and Emil

1. Ana's side: parents, brother Max
2. Tom's side: parents, sister, her husband Joe
3. Ana with her husband`, []string{"Ana, Gil, Max, Rita", "Emil, Joe, Tom, Tom's sister, Vera", "Ana, Tom"}},
	"sides without names": {`Groups for Ana & Tom

Ana's side: parents, brother
Tom's side: mum, sister, her husband Joe
Everyone`, []string{"Ana, Ana's brother, Ana's parents", "Joe, Tom, Tom's mum, Tom's sister", "Ana, Ana's brother, Ana's parents, Joe, Tom, Tom's mum, Tom's sister"}},
	"people of sides": {`Ana & Tom

Ana's side: mum Rita, dad Gil, brother Max
Tom's side: mum Vera, dad Emil

Both families together
Ana with her brother
Tom with his parents`, []string{"Ana, Emil, Gil, Max, Rita, Tom, Vera", "Ana, Max", "Emil, Tom, Vera"}},
	"then": {`Ana & Tom

1. Ana with her parents, Rita and Gil, then add her brother Max, then add Tom
2. Tom with his mum Vera, then swap Vera for his dad Emil
3. Ana with Max. Then without Max`, []string{"Ana, Gil, Rita", "Ana, Gil, Max, Rita", "Ana, Gil, Max, Rita, Tom", "Tom, Vera", "Emil, Tom", "Ana, Max", "Ana"}},
	"witnesses, for whom": {`Photos de groupe - mariage de Ana & Tom

1. Les mariés avec leurs témoins
2. Ana avec ses témoins
3. Tom avec ses témoins

nos témoins : Rita et Vera pour moi, Max pour Tom`, []string{"Ana, Max, Rita, Tom, Vera", "Ana, Rita, Vera", "Max, Tom"}},
	"numbers in brackets": {`Ana & Tom

1. Ana & Tom with Rita, Gil
2. Ana & Tom with Tita Baby, Lolo Andoy, Kuya Jun and Ninang Fe
3. Ana & Tom with Vera
4. Entire Keane family with couple (all of 1 to 2)
5. Both families together (nos 2-3)`, []string{"Ana, Gil, Rita, Tom", "Ana, Kuya Jun, Lolo Andoy, Ninang Fe, Tita Baby, Tom", "Ana, Tom, Vera", "Ana, Gil, Kuya Jun, Lolo Andoy, Ninang Fe, Rita, Tita Baby, Tom", "Ana, Kuya Jun, Lolo Andoy, Ninang Fe, Tita Baby, Tom, Vera"}},
	"letters with brackets": {`Rosie & Theo - families

R = Rosie, T = Theo
R's lot: M (her mum Rita), D (her dad Gil), B (her brother Max)
T's lot: V (his mum Vera), P + H (his sisters Pia, Hanna)

R T M D
R B
R T P H
R T V B`, []string{"Gil, Rita, Rosie, Theo", "Max, Rosie", "Hanna, Pia, Rosie, Theo", "Max, Rosie, Theo, Vera"}},
	"struck out behind a box": {`Ana & Tom

- [x] ~~Ana & Tom + Great-aunt Merle~~ can't come
- [ ] Ana & Tom + Rita
~~3) Ana + Uncle Terry~~ not now
_n/a_Ana with godparents
- [ ] Everyone`, []string{"Ana, Rita, Tom", "Ana, Rita, Tom"}},
	"headings with letters, and in capitals": {`PHOTOGRAPHS FOR THE DAY - Ana & Tom

A. PARENTS
1. Couple with Rita and Gil
B. CHURCH
2. Couple with Rev. Okoro

OTHERS
3. Couple with Max
4. Everybody`, []string{"Ana, Gil, Rita, Tom", "Ana, Rev Okoro, Tom", "Ana, Max, Tom", "Ana, Gil, Max, Rev Okoro, Rita, Tom"}},
	"what is no group": {`RUN OF THE DAY - Ana + Tom

14:00 ceremony
15:00 Ana + Tom + Rita
15:10 Ana + Tom + Gil
17:00 meal
20:00 first dance + ceilidh`, []string{"Ana, Rita, Tom", "Ana, Gil, Tom"}},
	"a key of two letters": {`key: A = Ana, T = Tom. A fam = Ma (Rita), Pa (Gil), Joe. T fam = Mum (Vera), sis Hanna

A+T w/
 - A fam
 - T fam
 - A's sibs: Max
 - Joe`, []string{"Ana, Gil, Joe, Max, Rita, Tom", "Ana, Hanna, Tom, Vera", "Ana, Max, Tom", "Ana, Joe, Tom"}},
	"whose husband, and an article that is no bullet": {`Fotos de grupo - Ana e Tom

Do lado da Ana:
a irmã Hanna + o marido dela, o Joe
o pai, Gil, e a Vera

1. os noivos com o Max`, []string{"Hanna, Joe", "Gil, Vera", "Ana, Max, Tom"}},
	"each of the parents, and witnesses by what they are": {`Gruppenfotos Hochzeit Ana & Tom

1. Brautpaar + Eltern von Ana: Rita, Gil
2. Brautpaar + Eltern von Tom: Vera, Emil
3. Brautpaar + Trauzeugen Max & Hanna
4. Ana + Trauzeugin
5. Tom + Trauzeuge`, []string{"Ana, Gil, Rita, Tom", "Ana, Emil, Tom, Vera", "Ana, Hanna, Max, Tom", "Ana, Hanna", "Max, Tom"}},
	"who writes, by whom others are told of": {`PHOTOS DE FAMILLE - Ana & Tom

Côté Ana
1. Ma sœur Rita
Côté Tom
2. Tom et son frère Max (sans moi)
3. Moi + filles d'honneur : Hanna, Vera (sans Tom)
4. Tout le cortège`, []string{"Rita", "Max, Tom", "Ana, Hanna, Vera", "Ana, Hanna, Tom, Vera"}},
	"in haste": {`hi its ana, photos for ana and tom

- me and tom with my sisters (gemma, kelly)
- my friends - gemma kelly rosa lucy
- all four: gemma kelly rosa lucy
- evryone`, []string{"ana, gemma, kelly, tom", "gemma, kelly, lucy, rosa", "gemma, kelly, lucy, rosa", "ana, gemma, kelly, lucy, rosa, tom"}},
	"both mothers": {`Ana & Tom formals

Ana's parents: Rita and Pat
Tom's parents: Vera and Emil

1. Ana with her parents
2. Couple with both mums
3. Both mothers with Ana
4. Tom with both dads`, []string{"Ana, Pat, Rita", "Ana, Rita, Tom, Vera", "Ana, Rita, Vera", "Emil, Pat, Tom"}},
	"sentences behind a wish": {`Ana & Tom

1. Couple with Rita
2. Tom with his groomsmen. Max, Joe, Bram
3. Groomsmen with Ana
4. Couple with Gil. NB: Rita and Gil not together in any photo`, []string{"Ana, Rita, Tom", "Bram, Joe, Max, Tom", "Ana, Bram, Joe, Max", "Ana, Gil, Tom"}},
	"whose mum in a chat": {`[12/04, 19:02] Ana: ok photo list!
[12/04, 19:03] Tom: go
[12/04, 19:03] Ana: 1. us with my mum and dad (Rita & Gil)
[12/04, 19:06] Tom: 2. us + my mum Vera
[12/04, 19:08] Ana: 3. me with mum
[12/04, 19:10] Tom: 4. me + mum`, []string{"Ana, Gil, Rita, Tom", "Ana, Tom, Vera", "Ana, Rita", "Tom, Vera"}},
	"a name behind kin below a side": {`Fotos boda Ana y Tom

FAMILIA DE ANA
- Madre, Rita
- Padre, Gil, con su mujer Vera
- Novios con los padres de la novia`, []string{"Rita", "Gil, Vera", "Ana, Gil, Rita, Tom"}},
	"the header of a table": {`Ana & Tom

| N° | Photo | Personnes |
|----|-------|-----------|
| 1 | Famille | Ana, Tom, Rita |
| 2 | Amis | Ana, Tom, Gil |`, []string{"Ana, Rita, Tom", "Ana, Gil, Tom"}},
	"both sets of parents, the other way round": {`Formals for Ana & Tom

1. Couple with Tom's mum Vera
2. Couple with both sets of parents: Vera and Emil, Rita and Gil
3. Ana with her parents`, []string{"Ana, Tom, Vera", "Ana, Emil, Gil, Rita, Tom, Vera", "Ana, Gil, Rita"}},
	"endings and slips": {`Hochzeit Lena & Jonas

1. Brautpaar mit beiden Elternpaaren (Uli, Christa, Rolf, Inge)
2. Jonas und Zwillingsbruder Simon
3. Brautpaar + Simons Frau Meike`, []string{"Christa, Inge, Jonas, Lena, Rolf, Uli", "Jonas, Simon", "Jonas, Lena, Meike"}},
}

func TestLinesThatLean(t *testing.T) {
	for name, c := range leaning {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}

// TestWhoseParents asks once whose parents four are whom nothing divides, and never takes all of them for those of one.
func TestWhoseParents(t *testing.T) {
	list := []string{"Formals for Ana & Tom", "", "1. Couple with both sets of parents (Rita, Gil, Vera and Emil)", "2. Ana with her mum and dad", "3. Couple with Tom's mum"}
	got, out := photographsOf(t, list...)
	assert.Equal(t, []string{"Ana, Emil, Gil, Rita, Tom, Vera", "Ana", "Ana, Tom"}, got)
	asked := make(map[string][]int)
	for _, p := range out.Problems {
		if p.Severity == event.Error {
			asked[p.Text()] = append(asked[p.Text()], p.Line)
		}
	}
	assert.Equal(t, map[string][]int{"Which of Rita, Gil, Vera and Emil are the parents of Ana, and which of Tom? Write a line for each, such as “parents of Ana: name, name”.": {4, 5}}, asked)

	got, _ = photographsOf(t, append(list, "", "Parents of Ana: Rita, Gil")...)
	assert.Equal(t, []string{"Ana, Emil, Gil, Rita, Tom, Vera", "Ana, Gil, Rita", "Ana, Tom, Vera"}, got)
}

// Who else "both mothers" are is asked where the list names one of them.
func TestTheOtherMother(t *testing.T) {
	got, out := photographsOf(t, "Formals for Ana & Tom", "", "1. Couple with Tom's mum Vera", "2. Couple with Gil", "3. Both mothers with Ana")
	assert.Equal(t, []string{"Ana, Tom, Vera", "Ana, Gil, Tom", "Ana, Vera"}, got)
	assert.True(t, slices.ContainsFunc(out.Problems, func(p place.Problem) bool { return p.Line == 5 && p.Severity == event.Warning }))
}
