package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Lists in other languages than English as people type them on a phone, with who is in each photograph.
var abroad = map[string]struct {
	lines string
	want  []string
}{
	"林爸林妈, kin run together, both sides below one": {`新郎：林浩然  新娘：陈思怡
男方家
1. 新人＋林爸林妈＋哥哥林浩宇
2. 新人＋爷爷奶奶（爷爷坐轮椅）
3. 新人＋双方父母
女方家
4. 新人和陈爸陈妈
5. 陈爸、外公（86岁，坐轮椅）
6. 新娘＋闺蜜（佳佳、阿May）
- 林爸和陈爸关系不好，不要挨着站`, []string{"林妈, 林浩宇, 林浩然, 林爸, 陈思怡", "奶奶, 林浩然, 爷爷, 陈思怡", "林妈, 林浩然, 林爸, 陈妈, 陈思怡, 陈爸",
		"林浩然, 陈妈, 陈思怡, 陈爸", "外公, 陈爸", "佳佳, 阿May, 陈思怡"}},
	"zus., little words for kin, both pairs of parents": {`Hochzeit Lena & Tom
Familie Lena:
1. Brautpaar + Eltern (Ida u. Karl)
2. wie 1, zus. m. Schwesterherz Carla
Familie Tom:
3. Brautpaar zus. mit Mama Rosa u. ihrem Lebensgefährten Uwe
4. Brautpaar + beide Elternpaare
5. komplette Gesellschaft`, []string{"Ida, Karl, Lena, Tom", "Carla, Ida, Karl, Lena, Tom", "Lena, Rosa, Tom, Uwe", "Ida, Karl, Lena, Rosa, Tom", "Carla, Ida, Karl, Lena, Rosa, Tom, Uwe"}},
	"abréviations": {`Mariage Chloé & Tom
1 - mariés + frangine Léa et la petite dernière Zoé
2 - mariés ss Zoé
3 - tt le monde
si on a le tps : mariés + Léa`, []string{"Chloé, Léa, Tom, Zoé", "Chloé, Tom", "Chloé, Léa, Tom, Zoé", "Chloé, Léa, Tom"}},
	"nicknames in brackets, a mother who writes": {`Brautpaar = Helene (Leni) u. Friedemann (Friedl)

1) BP m. Brauteltern (meine Wenigkeit Rita u. mein Mann Karl)
2) BP m. Eltern v. Bräutigam: Ida, Emil
3) Leni m. Oma Margarethe (Gretl)
4) Friedls Seite: sein Bruder Otto
5) Leni + Gretl
6) BP mit allen 4 Eltern
Bis bald, Rita`, []string{"Friedemann, Helene, Karl, Rita", "Emil, Friedemann, Helene, Ida", "Helene, Oma Margarethe", "Friedemann, Otto", "Helene, Oma Margarethe",
		"Emil, Friedemann, Helene, Ida, Karl, Rita"}},
	"how many in brackets, the couple by whose parents are wanted": {`Hier die Gruppen, in Klammern die Leute

1) Brautpaar + Eltern Vera: Ida, Karl (4)
2) Brautpaar + Eltern Timo: Rosa und Emil (4)
3) BP mit beiden Eltern (6)
4) Vera + Mädels: Zoe, Pia (3)
5) Timo mit Emil und dem Hund (2)
6) Timo + Schwester Lou (3), ihr Mann kommt nicht
7) alle vor der Kirche, danach gibts Torte`, []string{"Ida, Karl, Timo, Vera", "Emil, Rosa, Timo, Vera", "Emil, Ida, Karl, Rosa, Timo, Vera", "Pia, Vera, Zoe",
		"Emil, Timo", "Lou, Timo", "Emil, Ida, Karl, Lou, Pia, Rosa, Timo, Vera, Zoe"}},
	"80. Geburtstag": {`Gruppenfotos zum 80. Geburtstag von Oma Hilde

1. Oma mit ihren Kindern: Karl, Bernd u. Ute
2. Oma mit Ute ohne Can
3. nur Oma und die drei Kinder`, []string{"Bernd, Karl, Oma Hilde, Ute", "Oma Hilde, Ute", "Bernd, Karl, Oma Hilde, Ute"}},
	"大寿": {`奶奶八十大寿 拍照名单

1、奶奶单独一张
2、奶奶和三个子女：大伯建国、我爸建军、姑姑建英（4人左右）
3、上面这张再加配偶：大伯母秀兰、我妈玉梅
4、奶奶和两个儿子
5、建国和秀兰两个人来一张
6、全家福，奶奶坐中间，14:00要先走`, []string{"奶奶", "大伯建国, 奶奶, 姑姑建英, 建军", "大伯建国, 大伯母秀兰, 奶奶, 姑姑建英, 建军, 玉梅", "大伯建国, 奶奶, 建军", "大伯建国, 大伯母秀兰",
		"大伯建国, 大伯母秀兰, 奶奶, 姑姑建英, 建军, 玉梅"}},
	"títulos em negrito": {`*FOTOS* casamento Jacinta e Waldomiro

*lado dela*
- noivos + pais da Jaci (Sônia e Adilson)
- só a Jaci com a mãe, e só a Jaci com o pai

*lado dele*
- noivos com o pai dele (Otto) ⚠️ Otto e Adilson NÃO podem sair na mesma foto
- Waldo + Sônia
- Waldo e Otto`, []string{"Adilson, Jacinta, Sônia, Waldomiro", "Jacinta, Sônia", "Adilson, Jacinta", "Jacinta, Otto, Waldomiro", "Sônia, Waldomiro", "Otto, Waldomiro"}},
	"والده الحاج": {`فرح نادين ومروان

- العروسين مع والده الحاج فتحي ووالدته الحاجة زينب
- كل الناس على السلم`, []string{"الحاج فتحي, الحاجة زينب, مروان, نادين", "الحاج فتحي, الحاجة زينب, مروان, نادين"}},
	"أخت تكتب": {`مرحبا، أنا رنا أخت العروسة
العروسة: هالة    العريس: كريم

١- هالة مع إخواتها: أنا ومازن
٢- العرسان مع حماتها طنط سمر وحماها عمو نبيل
٣- ولاد مازن: آدم ٧ سنين وجنى ٤ سنين مع العروسة`, []string{"رنا, مازن, هالة", "طنط سمر, عمو نبيل, كريم, هالة", "آدم, جنى, هالة"}},
	"foto gral": {`Boda Ana y Luis
1. Novios con papás de ambos: Rosa, Hugo, Inés y Raúl
2. Novios con suegra Inés
3. foto gral`, []string{"Ana, Hugo, Inés, Luis, Raúl, Rosa", "Ana, Inés, Luis", "Ana, Hugo, Inés, Luis, Raúl, Rosa"}},
	"sogros": {`Casamento Ana e Tiago
1. Noiva com os sogros (Paula e Nuno)
2. Noivos + mana Rita
3. foto geral com todo mundo`, []string{"Ana, Nuno, Paula", "Ana, Rita, Tiago", "Ana, Nuno, Paula, Rita, Tiago"}},
	"الأهل من الطرفين": {`العروس جنى والعريس رامي
١- العروس مع أهلها: نبيل وسمر
٢- العريس مع أهله: فادي وعبير
٣- العرسان مع الأهل من الطرفين
٤- رامي مع مراته جنى وحماته سمر`, []string{"جنى, سمر, نبيل", "رامي, عبير, فادي", "جنى, رامي, سمر, عبير, فادي, نبيل", "جنى, رامي, سمر"}},
	"who writes and whom they marry": {`Hola! Soy Dani, la novia, y mi prometido es Beto. Les paso las fotos:

Nosotros con mis papás, Lupita y Ramón
Nosotros con la hermana de él Vero
Yo con mi mamá`, []string{"Beto, Dani, Lupita, Ramón", "Beto, Dani, Vero", "Dani, Lupita"}},
	"我老公叫": {`摄影师你好～我是新娘小鱼（余晓彤），我老公叫顾川
要拍的：
我俩+他爸他妈（顾国梁、吴敏）
他和他妈`, []string{"吴敏, 小鱼, 顾国梁, 顾川", "吴敏, 顾川"}},
	"خطيبي": {`مرحبا، هاي الصور اللي بدنا ياها، أنا لينا وخطيبي رامز
نحنا الاتنين مع أهلي: أبي جورج وأمي هدى
الشهود خالو أشرف وزياد مع رامز`, []string{"جورج, رامز, لينا, هدى", "خالو أشرف, رامز, زياد"}},
	"who signs with the other beside": {`Bonjour,
- nous deux + mes parents Sylvie et Jean-Marc, jamais Sylvie et Luc ensemble svp
- nous deux + maman
- Maëlle + papa
- les collègues de Florian si on a le temps
Maëlle (et Florian qui relit par dessus mon épaule)`, []string{"Florian, Jean-Marc, Maëlle, Sylvie", "Florian, Maëlle, Sylvie", "Jean-Marc, Maëlle", "Collègues de Florian"}},
	"two lists side by side": {`Casamento Ana e Tiago
NOIVA (Ana) | NOIVO (Tiago)
1 noivos + pais dela, Rita e Ademir | 4 noivos + mãe dele, Sônia
2 noivos c/ vó Ida | 5 Tiago e a mãe
3 Ana c/ o pai, é p/ o quadro | 6 noivos + irmão dele Hugo`, []string{"Ademir, Ana, Rita, Tiago", "Ana, Sônia, Tiago", "Ana, Tiago, vó Ida", "Sônia, Tiago", "Ademir, Ana", "Ana, Hugo, Tiago"}},
	"v. d.": {`Hochzeit Resi & Tom
1) BP + Geschwister v. d. Resi (Vroni, Xaver) OHNE Partner
2) dito mit Partner (Vroni ihr Mann Uwe)
3) wenn noch Zeit ist die Nachbarn`, []string{"Resi, Tom, Vroni, Xaver", "Resi, Tom, Uwe, Vroni, Xaver", "Nachbarn"}},
	"wir sind": {`Hallo Herr Brandl,
wir sind Kati & Stefan und heiraten am 12.9.
1. Familie Kati: Eltern Josef und Maria, Oma Rosa (90)
2. Familie Stefan: Mutter Helga, Bruder Uwe, Onkel Fritz
3. Beide Familien zusammen
4. Stefan mit seiner Mama
Stefans Papa ist leider schon verstorben.`, []string{"Josef, Kati, Maria, Rosa", "Helga, Onkel Fritz, Stefan, Uwe",
		"Helga, Josef, Kati, Maria, Onkel Fritz, Rosa, Stefan, Uwe", "Helga, Stefan"}},
	"padres ella": {`Fotos boda Marta/Iker
novios c padres ella (Ana, Josu)
novios c padres el (Miren, Koldo)
novios c abuela paterna Elvira
novios c 4 padres`, []string{"Ana, Iker, Josu, Marta", "Iker, Koldo, Marta, Miren", "Iker, Marta, abuela Elvira", "Ana, Iker, Josu, Koldo, Marta, Miren"}},
	"【女方】": {`明轩&雨桐 婚礼合影

【女方】
新郎新娘+爸爸妈妈+哥哥嫂子
新郎新娘+舅舅一家
【男方】
新郎新娘+妈妈+妹妹
新郎新娘+叔叔婶婶
【朋友】
新娘+闺蜜`, []string{"哥哥, 妈妈, 嫂子, 明轩, 爸爸, 雨桐", "明轩, 舅舅一家, 雨桐", "妈妈 (明轩), 妹妹, 明轩, 雨桐", "叔叔, 婶婶, 明轩, 雨桐", "闺蜜, 雨桐"}},
	"أم خالد": {`صور عائلية لحفل زفاف هند وماجد

صورة العروسين مع والد العروس ووالدتها
العروس مع جدتها أم خالد (كرسي متحرك)
العروسين مع خالات العروس`, []string{"ماجد, هند, والد العروس, والدتها (هند)", "جدتها أم خالد, هند", "خالات العروس, ماجد, هند"}},
	"without their partners": {`Mariage Amandine et Julien
- mariés + sœurs d'Amandine (Élodie, Laura) + leurs conjoints (Kevin et Samir)
- pareil sans les conjoints`, []string{"Amandine, Julien, Kevin, Laura, Samir, Élodie", "Amandine, Julien, Laura, Élodie"}},
	"Brüder, ohne Freund": {`Hochzeit Anna & Tom
1. BP + Toms Brüder mit Partnerinnen (Jan + Ida, Kai + Ute)
2. dieselben ohne Partnerinnen
3. BP + Cousine Mia mit Freund Leo
4. wie 3 ohne Freund`, []string{"Anna, Ida, Jan, Kai, Tom, Ute", "Anna, Jan, Kai, Tom", "Anna, Leo, Mia, Tom", "Anna, Mia, Tom"}},
	"子女": {`爷爷八十大寿合影名单
11:30开拍，12:00入席
1. 爷爷（穆德厚）和三个子女：大伯穆怀林、爸爸穆怀松、小姑穆怀玉
2. 大伯和大伯母刘萍`, []string{"大伯穆怀林, 小姑穆怀玉, 穆德厚, 穆怀松", "大伯母刘萍, 大伯穆怀林"}},
}

func TestAbroad(t *testing.T) {
	for name, c := range abroad {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}
