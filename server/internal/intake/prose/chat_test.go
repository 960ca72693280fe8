package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// chats are conversations as programs export them, in the words of people who make a list together, and the photographs
// that they want in the end.
var chats = map[string]struct {
	lines string
	want  []string
}{
	"ar1": {`
[12/9/2026 8:14 م] سارة: قائمة الصور
[12/9/2026 8:15 م] سارة: 1. احنا مع أمي وأبوي (هدى وعلي)
[12/9/2026 8:15 م] سارة: 2. احنا مع أهل ماجد (فاطمة وحسن)
[12/9/2026 8:16 م] سارة: 3. أنا مع أخواتي مريم ونور
[12/9/2026 8:17 م] ماجد: 4. أنا مع أخوي طارق
[12/9/2026 8:18 م] ماجد: 5. احنا مع جدتي أمينة (كرسي متحرك)
[12/9/2026 8:19 م] سارة: أضيفي ليلى للصورة 3
[12/9/2026 8:20 م] ماجد: احذفي 4
[12/9/2026 8:21 م] سارة: وصورة مع الجميع في النهاية`, []string{
		"سارة, علي, ماجد, هدى",
		"حسن, سارة, فاطمة, ماجد",
		"سارة, ليلى, مريم, نور",
		"جدتي أمينة, سارة, ماجد",
		"جدتي أمينة, حسن, سارة, طارق, علي, فاطمة, ليلى, ماجد, مريم, نور, هدى",
	}},
	"de1": {`
12.09.26, 20:14 - Lena: so, die Gruppenfotos
12.09.26, 20:15 - Lena: 1. wir mit meinen Eltern (Ute und Jörg)
12.09.26, 20:15 - Lena: 2. wir mit Timos Eltern (Gabi und Frank)
12.09.26, 20:16 - Lena: 3. ich mit meinen Schwestern Mia und Jule
12.09.26, 20:20 - Timo: 4. ich mit meinem Bruder Nils
12.09.26, 20:21 - Timo: 5. wir + Oma Trude (91, kann nicht lange stehen)
12.09.26, 20:22 - Lena: <Medien ausgeschlossen>
12.09.26, 20:23 - Lena: bei der 3 noch Ella dazu
12.09.26, 20:24 - Timo: die 4 streichen, Nils will nicht
12.09.26, 20:25 - Lena: ok 😅
12.09.26, 20:26 - Lena: und am Ende eins mit allen!`, []string{
		"Jörg, Lena, Timo, Ute",
		"Frank, Gabi, Lena, Timo",
		"Ella, Jule, Lena, Mia",
		"Lena, Oma Trude, Timo",
		"Ella, Frank, Gabi, Jule, Jörg, Lena, Mia, Nils, Oma Trude, Timo, Ute",
	}},
	"en2": {`
[12/04/26, 19:02:11] Tess: Hi Dana! here are our groups
[12/04/26, 19:02:40] Dana Photos: Great, send them over
[12/04/26, 19:05:02] Tess: Me and Moe with my parents Ana and Luis
Me and Moe with Moe's mum Farah
Me with my bridesmaids: Kit, Lou, Bex
Moe with his best man Ravi
[12/04/26, 19:05:59] Dana Photos: Lovely. Any grandparents?
[12/04/26, 19:07:12] Tess: yes! me and Moe with Nan Joyce (she's in a wheelchair)
[12/04/26, 19:08:30] Dana Photos: ok noted x
[12/04/26, 19:09:00] Tess: Thanks so much!!`, []string{
		"Ana, Luis, Moe, Tess",
		"Farah, Moe, Tess",
		"Bex, Kit, Lou, Tess",
		"Moe, Ravi",
		"Moe, Nan Joyce, Tess",
	}},
	"es1": {`
[12/9/26, 20:14:02] Lucía: las fotos de familia:
[12/9/26, 20:15:10] Lucía: 1. nosotros con mis padres, Pilar y Antonio
[12/9/26, 20:15:40] Lucía: 2. nosotros con los padres de Iván (Rosa y Manuel)
[12/9/26, 20:16:10] Lucía: 3. yo con mis primas: Marta, Noa
[12/9/26, 20:17:00] Iván: 4. yo con mi hermana Sara y su marido Pablo
[12/9/26, 20:17:30] Iván: 5. nosotros y mi abuela Carmen
[12/9/26, 20:18:00] Lucía: imagen omitida
[12/9/26, 20:18:30] Lucía: a la 3 añade a Irene
[12/9/26, 20:19:00] Iván: quita a Pablo de la 4
[12/9/26, 20:19:20] Iván: vale!!
[12/9/26, 20:20:00] Lucía: y otra con todos`, []string{
		"Antonio, Iván, Lucía, Pilar",
		"Iván, Lucía, Manuel, Rosa",
		"Irene, Lucía, Marta, Noa",
		"Iván, Sara",
		"Iván, Lucía, abuela Carmen",
		"Antonio, Irene, Iván, Lucía, Manuel, Marta, Noa, Pablo, Pilar, Rosa, Sara, abuela Carmen",
	}},
	"fr1": {`
12/09/2026 20:14 - Manon: Coucou, voici la liste des photos de groupe
12/09/2026 20:15 - Manon: 1) nous avec mes parents (Brigitte et Alain)
12/09/2026 20:15 - Manon: 2) nous avec les parents de Théo : Sylvie et Marc
12/09/2026 20:16 - Manon: 3) moi avec mes sœurs Léa et Zoé
12/09/2026 20:18 - Théo: 4) moi et mon frère Hugo
12/09/2026 20:19 - Théo: 5) nous + ma grand-mère Odette, elle est en fauteuil roulant
12/09/2026 20:20 - Manon: <Médias omis>
12/09/2026 20:21 - Manon: ajoute Inès à la 3
12/09/2026 20:22 - Théo: enlève la 4 finalement
12/09/2026 20:24 - Manon: et une avec tout le monde à la fin
12/09/2026 20:25 - Théo: parfait merci`, []string{
		"Alain, Brigitte, Manon, Théo",
		"Manon, Marc, Sylvie, Théo",
		"Inès, Léa, Manon, Zoé",
		"Manon, Théo, grand-mère Odette",
		"Alain, Brigitte, Hugo, Inès, Léa, Manon, Marc, Sylvie, Théo, Zoé, grand-mère Odette",
	}},
	"pt1": {`
12/09/2026 20:14 - Rita: olá! as fotos de grupo
12/09/2026 20:15 - Rita: 1 nós com os meus pais (Paula e Jorge)
12/09/2026 20:15 - Rita: 2 nós com os pais do Nuno (Teresa e Rui)
12/09/2026 20:16 - Rita: 3 eu com as minhas irmãs Sofia e Marta
12/09/2026 20:17 - Nuno: 4 eu e o meu irmão Diogo
12/09/2026 20:18 - Nuno: 5 nós com a minha avó Alice
12/09/2026 20:19 - Rita: <Ficheiro não revelado>
12/09/2026 20:20 - Rita: na 3 junta a Joana
12/09/2026 20:21 - Nuno: tira a 4
12/09/2026 20:22 - Rita: e uma com toda a gente no fim`, []string{
		"Jorge, Nuno, Paula, Rita",
		"Nuno, Rita, Rui, Teresa",
		"Joana, Marta, Rita, Sofia",
		"Nuno, Rita, avó Alice",
		"Diogo, Joana, Jorge, Marta, Nuno, Paula, Rita, Rui, Sofia, Teresa, avó Alice",
	}},
	"sister": {`
[14/03/27, 10:02:11 AM] Priti: Namaste ji, here is our list. I am the bride's sister
[14/03/27, 10:02:40 AM] Priti: bride Meera, groom Arjun. 5 March, photos at 2 pm
[14/03/27, 10:04:02 AM] Studio Photo: ok send
[14/03/27, 10:05:02 AM] Priti: 1. Couple with our parents, Usha and Deepak
2. Couple with me and our brother Rohit
3. Couple with Dadu (Hari Prasad, our grandfather, 88). Hip problem so he will sit
4. Meera with me
5. Couple with his parents Suresh uncle and Lata aunty
6. Both sets of parents with couple
7. Full family, both sides`, []string{
		"Arjun, Deepak, Meera, Usha",
		"Arjun, Meera, Priti, Rohit",
		"Arjun, Hari Prasad, Meera",
		"Meera, Priti",
		"Arjun, Lata, Meera, Suresh",
		"Arjun, Deepak, Lata, Meera, Suresh, Usha",
		"Arjun, Deepak, Hari Prasad, Lata, Meera, Priti, Rohit, Suresh, Usha",
	}},
	"zh1": {`
2026/9/12 20:14 小雅: 合影名单发一下
2026/9/12 20:15 小雅: 1. 我俩和我爸妈（周建国、李秀兰）
2026/9/12 20:15 小雅: 2. 我俩和大伟爸妈（王福生、陈玉梅）
2026/9/12 20:16 小雅: 3. 我和我姐周晴、我妹周雨
2026/9/12 20:17 大伟: 4. 我和我弟王小军
2026/9/12 20:18 大伟: 5. 我俩和奶奶（88岁，坐轮椅）
2026/9/12 20:19 小雅: 第3张加上表妹陈可
2026/9/12 20:20 大伟: 第4张不要了
2026/9/12 20:21 小雅: 好的
2026/9/12 20:22 小雅: 最后大家一起拍一张`, []string{
		"周建国, 大伟, 小雅, 李秀兰",
		"大伟, 小雅, 王福生, 陈玉梅",
		"周晴, 周雨, 小雅, 陈可",
		"大伟, 奶奶, 小雅",
		"周建国, 周晴, 周雨, 大伟, 奶奶, 小雅, 李秀兰, 王小军, 王福生, 陈可, 陈玉梅",
	}},
	"c2-en": {`
[03/05/2026, 21:14:05] Photography by Lou: Hi both! Could you send me your family groups by Friday?
[03/05/2026, 21:30:41] Hannah Brooks: Yes! Here goes 😊
[03/05/2026, 21:31:02] Hannah Brooks: 1. Both of us + my mum Tina + my stepdad Gary
[03/05/2026, 21:31:40] Hannah Brooks: 2. Both of us + my dad (Neil) and his wife Carol
[03/05/2026, 21:32:11] Hannah Brooks: 3. Both of us + Will's parents - Anne & Peter
[03/05/2026, 21:32:50] Hannah Brooks: 4. Me + my two sisters, Meg and Lottie
[03/05/2026, 21:33:30] Will Carter: 5. me and my brother Joe
[03/05/2026, 21:34:00] Will Carter: 6. the boys: Joe, Dan, Rich and Tom
[03/05/2026, 21:35:12] Hannah Brooks: 7. bridesmaids with me (Meg, Lottie, Fi)
[03/05/2026, 21:36:00] Photography by Lou: Perfect. Any grandparents?
[03/05/2026, 21:37:12] Hannah Brooks: oh yes! us with Nana Pat please, she's 88 and in a wheelchair
[03/05/2026, 21:38:00] Will Carter: and Grandad Ron with Nana Pat
[03/05/2026, 21:39:10] Hannah Brooks: can we swap Fi for Jess in 7
[03/05/2026, 21:40:00] Will Carter: Dan can't make it anymore
[03/05/2026, 21:41:00] Hannah Brooks: Also a big group shot with everyone
[03/05/2026, 21:42:00] Photography by Lou: Got it, see you Saturday!`, []string{
		"Gary, Hannah Brooks, Tina, Will Carter",
		"Carol, Hannah Brooks, Neil, Will Carter",
		"Anne, Hannah Brooks, Peter, Will Carter",
		"Hannah Brooks, Lottie, Meg",
		"Joe, Will Carter",
		"Joe, Rich, Tom",
		"Hannah Brooks, Jess, Lottie, Meg",
		"Grandad Ron, Hannah Brooks, Nana Pat, Will Carter",
		"Anne, Carol, Fi, Gary, Grandad Ron, Hannah Brooks, Jess, Joe, Lottie, Meg, Nana Pat, Neil, Peter, Rich, Tina, Tom, Will Carter",
	}},
	"c2-es": {`
14/6/26, 18:02 - Los mensajes y las llamadas están cifrados de extremo a extremo.
14/6/26, 18:02 - Vero: holaa, estas son las fotos q queremos
14/6/26, 18:03 - Vero: Andrés y yo con mis papás (Lupita y Chuy)
14/6/26, 18:03 - Vero: Andrés y yo con sus papás, Doña Mary y Don Beto
14/6/26, 18:04 - Vero: yo con mis hermanas Karla y Dani
14/6/26, 18:04 - Vero: Andrés con sus hermanos Memo y Luis
14/6/26, 18:05 - Foto Martín: perfecto! algo más?
14/6/26, 18:06 - Vero: sí, nosotros con mi abuelita Cuca, usa silla de ruedas
14/6/26, 18:07 - Vero: y una con todos los invitados
14/6/26, 18:08 - Foto Martín: anotado 👌`, []string{
		"Andrés, Chuy, Lupita, Vero",
		"Andrés, Don Beto, Doña Mary, Vero",
		"Dani, Karla, Vero",
		"Andrés, Luis, Memo",
		"Andrés, Vero, abuelita Cuca",
		"Andrés, Chuy, Dani, Don Beto, Doña Mary, Karla, Luis, Lupita, Memo, Vero, abuelita Cuca",
	}},
}

// Who writes is known, "we" are the couple, and later messages change what earlier ones want.
func TestChats(t *testing.T) {
	for name, c := range chats {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}

// Every program stamps its messages in a way of its own.
func TestStampsOfChats(t *testing.T) {
	for _, stamp := range []string{
		"[12/04/2026, 7:02:33 PM] %s: ", "12/04/2026, 19:02 - %s: ", "4/12/26, 7:02 p.m. - %s: ", "[2026-04-12 19:02] %s: ", "12.04.26, 19:02 - %s: ", "[19:02, 12/04/2026] %s: ",
		"2026/4/12 19:02 %s：", "[12.04.26, 19:02:11] %s: ", "\u200e[12/4/26, 7:02:33\u202fPM] %s: ", "19:02 %s: ", "[19:02] %s: ", "%s: ", "%s, [12.04.26 19:02]\n", "%s  7:02 PM\n", "%s — Today at 7:02 PM\n",
	} {
		var lines []string
		for _, m := range [][2]string{
			{"Nell", "us with my mum Ida"}, {"Otto", "and us with my brothers Emil and Karl"}, {"Nell", "me + Pia"}, {"Otto", "me and Vera"}, {"Nell", "ok!!"},
		} {
			lines = append(lines, strings.Split(strings.ReplaceAll(stamp, "%s", m[0])+m[1], "\n")...)
		}
		got, _ := photographsOf(t, lines...)
		assert.Equal(t, []string{"Ida, Nell, Otto", "Emil, Karl, Nell, Otto", "Nell, Pia", "Otto, Vera"}, got, stamp)
	}
}

// A time of the day before words is no stamp of a chat when nobody writes twice.
func TestScheduleIsNoChat(t *testing.T) {
	got, _ := photographsOf(t, "Wedding of Nell & Otto", "15:00 Family: couple + Ida, Karl", "15:10 Friends: couple + Pia, Lotte")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Lotte, Nell, Otto, Pia"}, got)
}

// Later messages change photographs by their numbers.
func TestChanges(t *testing.T) {
	list := []string{"Wedding of Nell & Otto", "1. Couple + Ida", "2. Nell + Pia, Lotte", "3. Otto + Emil", ""}
	for change, want := range map[string]string{
		"add Zoe to 2":                    "Ida, Nell, Otto/Lotte, Nell, Pia, Zoe/Emil, Otto",
		"also Zoe in no. 3 please":        "Ida, Nell, Otto/Lotte, Nell, Pia/Emil, Otto, Zoe",
		"take Lotte out of 2":             "Ida, Nell, Otto/Nell, Pia/Emil, Otto",
		"scrap 3, Emil hates photos":      "Ida, Nell, Otto/Lotte, Nell, Pia",
		"please remove numbers 1 and 3":   "Lotte, Nell, Pia",
		"cancel photo 2 (with Pia)":       "Ida, Nell, Otto/Emil, Otto",
		"can we swap Lotte for Zoe in 2":  "Ida, Nell, Otto/Nell, Pia, Zoe/Emil, Otto",
		"replace Emil with Karl in no. 3": "Ida, Nell, Otto/Lotte, Nell, Pia/Karl, Otto",
	} {
		got, _ := photographsOf(t, append(slices.Clone(list), change)...)
		assert.Equal(t, strings.Split(want, "/"), got, change)
	}
}
