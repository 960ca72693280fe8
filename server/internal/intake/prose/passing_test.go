package prose

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
)

// lists are such as families write them, and the photographs that they want: who is in all of them is said once, bullets divide the
// list, and who somebody is stands beside their name.
var lists = map[string]struct {
	lines string
	want  []string
}{
	"always, de": {`Gruppenfotos Nell & Otto
(Brautpaar ist immer mit drauf, wenn nichts anderes dasteht)

☐ Mutter vom Bräutigam Ida + ihr Mann Karl
☐ Nell nur mit Ida
☐ Geschwister vom Bräutigam: Emil, Pia`, []string{"Ida, Karl, Nell, Otto", "Ida, Nell", "Emil, Nell, Otto, Pia"}},
	"always, below a plus": {`Nell & Otto - family photographs

COUPLE +
1. Parents of the bride - Ida & Karl
2. Best man & maid of honour

Best man: Emil
Maid of honour: Pia`, []string{"Ida, Karl, Nell, Otto", "Emil, Nell, Otto, Pia"}},
	"bullets below bullets": {`Group photos - Nell Hart & Otto Lind
Unless it says otherwise we're both in every photo!

● Both families
    ○ All the parents: Ida & Karl, Vera & Emil
● Nell's side
    ○ Ida and Karl
    ○ The Shore cousins (Ada, Leo)
● Otto's side
    ○ Vera and Emil
    ○ Otto only with Vera`, []string{"Emil, Ida, Karl, Nell Hart, Otto Lind, Vera", "Ida, Karl, Nell Hart, Otto Lind", "Ada, Leo, Nell Hart, Otto Lind", "Emil, Nell Hart, Otto Lind, Vera", "Otto Lind, Vera"}},
	"letters of the couple": {`Lena & Dirk, Sat 10 October
L & D are in all of them unless we say

1. L's mum Ida and stepdad Karl
2. D's whole family - Mum (Vera), Dad (Emil), sister Pia`, []string{"Dirk, Ida, Karl, Lena", "Dirk, Emil, Lena, Pia, Vera"}},
	"a late message": {`hiya its Nell!! photo list for sat

me + Otto w my mum n dad (Ida & Karl)
me and mum
me n Otto + both nans (Vera + Ottos nan Pat)
me + Otto with Emil`, []string{"Ida, Karl, Nell, Otto", "Ida, Nell", "Nell, Otto, Pat, Vera", "Emil, Nell, Otto"}},
	"a mother writes": {`Dear Kim,

As discussed on the phone I am sending the list of the family photographs for my daughter Nell's wedding with Otto on 28th November. Kindly finish all of these on the stage itself right after the ceremony.

1) Nell with Pia
2) Couple with Otto's parents Vera and Emil

Thanking you,
Ida`, []string{"Nell, Pia", "Emil, Nell, Otto, Vera"}},
	"a golden wedding": {`BODAS DE ORO DE LOS ABUELOS - sábado 17 de octubre

Abuelos: Ida (79) y Karl (77, que tenga silla)

FOTOS
1. Los abuelos solos
2. Los abuelos con don Emil`, []string{"Ida, Karl", "Ida, Karl, don Emil"}},
	"a title without a mark": {`苏玥 程屹 婚礼合影名单 10月3日

1. 新人+赵鹏
2. 新娘+何静
3. 新人+新娘高中同学，有时间再拍`, []string{"程屹, 苏玥, 赵鹏", "何静, 苏玥", "新娘高中同学, 程屹, 苏玥"}},
	"an honoured child": {`Batizado da Cecília

Mãe: Renata / Pai: Gustavo / Avó: Ida

1. Cecília com os pais
2. Cecília com Ida`, []string{"Cecília, Gustavo, Renata", "Cecília, Ida"}},
	"a chat in which a line begins with whom": {`
12/5/26, 23:02 - Nell: hola! las fotos de grupo
12/5/26, 23:03 - Nell: nosotros con mis padres (Ida y Karl)
12/5/26, 23:05 - Nell: con mis abuelos, el abuelo Emil y la abuela Pilar. La abuela va en silla de ruedas
12/5/26, 23:09 - Otto: pocas jeje. yo con mi hermano Sergio
12/5/26, 23:12 - Nell: ah y los testigos! Sergio, Laura y Quique`, []string{"Ida, Karl, Nell, Otto", "Nell, Otto, abuela Pilar, abuelo Emil", "Otto, Sergio", "Laura, Quique, Sergio"}},
	"on a lap": {`Theo's baptism, Sunday April 11

1. Theo with Ida
2. Theo on Great-Grandma Rose's lap, she's 93
3. Theo in Karl's arms`, []string{"Ida, Theo", "Great-Grandma Rose, Theo", "Karl, Theo"}},
	"kin, whose, and the name": {`صور زفاف مازن ودانا مع العائلة
العريس: مازن، العروس: دانا

١- مازن ودانا مع أخوات العريس لمى وشهد
٢- صديقات العروس`, []string{"دانا, شهد, لمى, مازن", "صديقات العروس"}},
	"a girl called Poppy": {`Nell & Otto
The children: Poppy (11) and Col (8)

1. Nell & Otto with Poppy and Col
2. Nell with Jan, Col`, []string{"Col, Nell, Otto, Poppy", "Col, Jan, Nell"}},
}

func TestLists(t *testing.T) {
	for name, c := range lists {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}

// Priorities stand where a legend or the words right before a wish say them, and ages with all of whom they are said.
func TestPrioritiesAndAges(t *testing.T) {
	list := `Wedding of Nell & Otto, 2027-06-12

Groupings you want (put a * by the ones you can't live without)
1 Couple + Ida
2* Couple + Karl
3 Couple + twins Pia and Leo (7)
4 Couple + Emil - if they co-operate

Mia is 4 months.
5 Couple + Mia`
	got := Read(effort.New(t.Context(), 50_000_000), list, event.Event{}, time.Time{})
	var is []string
	for _, g := range got.Event.Groupings {
		is = append(is, map[event.Priority]string{event.Must: "must", event.Nice: "nice", event.Should: "should"}[g.Priority])
	}
	assert.Equal(t, []string{"should", "must", "should", "nice", "should"}, is)
	bands := make(map[string]event.AgeBand)
	for _, p := range got.Event.People {
		bands[p.Name] = p.AgeBand
	}
	assert.Equal(t, []event.AgeBand{event.Child, event.Child, event.Infant}, []event.AgeBand{bands["Pia"], bands["Leo"], bands["Mia"]})
}
