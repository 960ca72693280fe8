package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
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
