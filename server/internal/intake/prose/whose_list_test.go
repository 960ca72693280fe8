package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Whose wedding it is, and whose kin, is said in many ways; a wrong couple makes all photographs wrong.
func TestWhoseListItIs(t *testing.T) {
	for _, c := range []struct {
		want  []string
		lines []string
	}{
		{[]string{"Ida, Karl, Nell, Otto, Vera, Walt", "Nell, Otto, Vera, Walt", "Otto, Vera"}, []string{"Couple: Nell + Otto", "", "- B&G w/ both sets of parents (hers: Ida & Karl / his: Vera & Walt)", "- B&G w/ groom's parents", "- Groom w/ mum"}},
		{[]string{"Bea, Jan, Max, Nell, Otto, Pia", "Bea, Nell, Pia"}, []string{"Nell & Otto", "", "- Nell and Otto with witnesses (Nell: Bea, Pia / Otto: Jan, Max)", "- Nell and her witnesses"}},
		{[]string{"Ida, Karl, Nell", "Otto, Vera, Walt"}, []string{"Hi, Pia here, the bride's sister. Wedding of Nell and Otto", "", "BRIDE", "- Bride + Groom with both mums (Ida is ours, Vera is Otto's)", "- Bride + Groom with both dads (Karl / Walt)", "- Bride with her parents", "- Groom with his parents"}},
		{[]string{"Max, Nell, Otto, Vera"}, []string{"BRIDE - Nell (N), GROOM - Otto (O)", "* N and O sit for all photos", "", "1) Vera and Max", "2) Max and Ida"}},
		{[]string{"Ida, Karl, Nell, Otto"}, []string{"Ida here, Nell's mam, with the list.", "", "- Nell & Otto with myself and Karl", "- Nell & Otto with Vera", "", "Thanks", "Ida x"}},
		{[]string{"Max, Nell, Otto, Pia"}, []string{"Pics for Nell's wedding from her bro Max", "", "Couple on own (Nell, Otto)", "Couple + me, my wife Pia", "Couple + Vera"}},
		{[]string{"Bea, Vera, Walt"}, []string{"Hello! Ma and Pa's golden wedding", "Ma = Vera, Pa = Walt", "Nell x Otto: Mia 8", "", "Ma & Pa with Bea", "Ma & Pa with Nell"}},
		{[]string{"Karl, Nell, Otto, Vera", "Nell, Vera", "Karl, Nell", "Bea, Pia"}, []string{"N=Nell O=Otto MOB=Vera FOB=Karl", "maids: Bea, Pia    lads: Jan, Max", "", "1  N+O MOB FOB", "2  N+MOB, N+FOB", "3  maids only", "3b  maids + N"}},
		{[]string{"Karl, Nell, Otto, Vera", "Max, Nell, Otto"}, []string{"04.05.25, 21:15 - Nell: 1. Otto und ich mit meinen Eltern (Mama Vera und Papa Karl)", "04.05.25, 21:16 - Nell: 2. Otto mit seinem Bruder Jan", "04.05.25, 21:17 - Pia: und wir Trauzeugen?", "04.05.25, 21:18 - Nell: 3. wir + Max", "04.05.25, 21:19 - Nell: 4. Ottos Eltern und ich"}},
		{[]string{"Ida, Nell, Otto"}, []string{"Bonsoir Monsieur,", "", "Comme convenu au téléphone je vous mets ce que nous voudrions pour le mariage de ma fille Nell et de Otto. Pardonnez le désordre, merci de votre patience et à bientôt pour la suite.", "", "D'abord les mariés avec la maman de Otto, Ida. Puis les mariés avec la soeur de Nell, Vera, et puis ils veulent une photo avec tout le monde devant la grange avant de partir.", "", "Merci", "Pia"}},
		{[]string{"Karl, Nell, Otto, Vera"}, []string{"QUI EST QUI", "M = Nell (mariée)", "Mé = Otto (marié)", "PM = parents M : Vera + Karl", "", "□ M + Mé + PM", "□ Mé + Ida"}},
		{[]string{"أبو يزن, أم يزن, رنيم, يزن"}, []string{"العروس: رنيم", "العريس: يزن", "", "١- العروسين مع أهل العريس (أبو يزن وأم يزن)", "٢- العروسين مع سمير"}},
		{[]string{"Ida Brand, Karl, Nell, Otto", "Karl, Nell", "Nell, Otto, Vera, Walt"}, []string{"Liebe Frau Brand,", "", "anbei die Liste. Meine Tochter Nell und ihr Otto kennen sie schon.", "", "- Brautpaar mit den Brauteltern (mein Mann Karl und ich)", "- Nell mit ihrem Papa", "- Brautpaar mit Ottos Eltern, Vera und Walt", "", "Herzliche Grüße", "Ida Brand"}},
		{[]string{"Max, Nell, Otto, Pia", "Karl, Nell, Otto", "Ida, Nell, Otto"}, []string{"Fotos boda Nell y Otto", "", "NUESTRA FAMILIA", "novios con papá (Karl)", "novios con los hermanos: Pia (yo) y Jan", "novios con Max mi marido, y Pia", "", "FAMILIA DE NELL", "novios con su madre Ida"}},
		{[]string{"Ida, Karl, Nell, Otto", "Nell, Otto, Vera, Walt", "Otto, Vera"}, []string{"Nell & Otto wedding", "", "SMITH FAMILY (mine)", "* us with Mum and Dad (Ida and Karl)", "", "JONES FAMILY (Otto's)", "* us with Mum and Dad (Vera and Walt)", "* Otto and his mum", "", "Thanks", "Nell"}},
		{[]string{"Ida, Karl, Nell, Otto", "Nell, Otto, Vera, Walt"}, []string{"Hochzeit Nell & Otto", "", "FAMILIE SCHMIDT (meine)", "Wer ist wer: Mama Ida, Papa Karl", "* wir mit Mama und Papa", "", "FAMILIE ROSSI (Ottos)", "Wer ist wer: Mutter Vera, Vater Walt", "* wir mit Ottos Eltern", "", "Grüße", "Nell"}},
		{[]string{"Bea, Jan, Otto"}, []string{"Photos de groupe, mariage de Nell et Otto", "De 16h45 à 17h30. Je suis le témoin de Otto et c'est moi qui appelle les gens. Jan", "", "1) Mariés + Ida", "2) Otto + ses témoins (Bea et moi)"}},
		{[]string{"國雄, 家偉, 美玲, 詩涵", "家偉, 美玲", "二姑秀蘭, 姑丈, 家偉, 詩涵", "冠廷, 家偉, 詩涵"}, []string{"新郎 家偉／新娘 詩涵", "▍男方", "・新人＋男方爸媽（國雄、美玲）", "・新郎＋媽媽", "・新人＋大伯國棟", "・新人＋二姑秀蘭、姑丈", "▍女方", "・新人＋弟弟冠廷"}},
		{[]string{"دينا, شريف, نوران", "دينا, رشا, شريف, نوران", "سوسن, شريف, مجدي, نوران"}, []string{"العروسة نوران والعريس شريف", "١- العرسان مع دينا", "٢- نفس الصورة ومعانا رشا", "٣- العرسان مع الأربع أهالي: مجدي وسوسن"}},
	} {
		got, _ := photographsOf(t, c.lines...)
		assert.Subset(t, got, c.want, c.lines)
	}
}

// What is struck is not read, and other photographs are meant by signs before them.
func TestSignsInLines(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "1. N+O with Vera, ~~Karl~~, Ida", "2. = 1 + Max", "3. all, from the balcony", "4. Otto's granny Pia, she leaves before dinner")
	assert.Equal(t, []string{"Ida, Nell, Otto, Vera", "Ida, Max, Nell, Otto, Vera"}, got[:2])
	assert.Len(t, got, 4)
}
