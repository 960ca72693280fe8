package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// mails are letters to a photographer in running text, and the photographs that they want.
var mails = map[string]struct {
	lines string
	want  []string
}{
	"ar1": {`
مرحبا أستاذ سامي، نريد هذه الصور: أولا العروس دانة والعريس يوسف مع أهل دانة، أمها منى وأبوها خالد. ثم العروسان مع أم يوسف هالة وأبوه نبيل. وبعدها دانة مع أخواتها ريم ولمى. وصورة يوسف مع أخيه عمر. جدتي زينب على كرسي متحرك، نريد صورة لها مع العروسين في البداية. وفي النهاية صورة للجميع.`, []string{
		"خالد, دانة, منى, يوسف",
		"دانة, نبيل, هالة, يوسف",
		"دانة, ريم, لمى",
		"عمر, يوسف",
		"جدتي زينب, دانة, يوسف",
		"جدتي زينب, خالد, دانة, ريم, عمر, لمى, منى, نبيل, هالة, يوسف",
	}},
	"de1": {`
Liebe Frau Sommer,

wir hätten gern folgende Bilder: zuerst wir beide mit meinen Eltern Renate und Klaus, dann eins mit Jonas' Eltern Bärbel und Horst. Danach möchte ich ein Foto mit meiner Schwester Lisa und ihrem Freund Tom, und eins von Jonas mit seinem Bruder Felix. Oma Erna sitzt im Rollstuhl, mit ihr bitte auch ein Bild von uns beiden. Bärbel und Renate bitte nicht nebeneinander stellen. Zum Schluss noch eins mit allen Gästen.

Viele Grüße
Anna und Jonas`, []string{
		"Anna, Jonas, Klaus, Renate",
		"Anna, Bärbel, Horst, Jonas",
		"Anna, Jonas, Lisa, Tom",
		"Felix, Jonas",
		"Anna, Jonas, Oma Erna",
		"Anna, Bärbel, Felix, Horst, Jonas, Klaus, Lisa, Oma Erna, Renate, Tom",
	}},
	"en1": {`
Hi Marta,

Thanks for the call! We'd love a photo of the two of us with my parents, Helen and Roy, and then one with Dan's mum Sue and her husband Keith. Could we also have one with my brother Max and his girlfriend Priya? After that, one of me with my bridesmaids (Ella, Rosie and Kim) and one of Dan with his best man Jack.

My grandma Jean uses a wheelchair, so please take her first: one of her with us, and one with just me.

Last one is everybody together on the steps. Please don't put Sue next to Roy!

Best wishes,
Fay & Dan`, []string{
		"Dan, Fay, Helen, Roy",
		"Dan, Fay, Keith, Sue",
		"Dan, Fay, Max, Priya",
		"Ella, Fay, Kim, Rosie",
		"Dan, Jack",
		"Dan, Fay, Jean",
		"Fay, Jean",
		"Dan, Ella, Fay, Helen, Jack, Jean, Keith, Kim, Max, Priya, Rosie, Roy, Sue",
	}},
	"en2": {`
Wedding of Nora and Eli, 5 September 2026

On Nora's side there are her mum Ruth, her dad Paul and her two sisters Gwen and Tilly. We'd like one of all of them with the couple, one with just Ruth and Paul, and one of Nora with her sisters. On Eli's side there's only his father Saul and his aunt Miriam: one with both of them, please. Saul can't stand for long. Then a big group of everyone.`, []string{
		"Eli, Gwen, Nora, Paul, Ruth, Tilly",
		"Eli, Nora, Paul, Ruth",
		"Gwen, Nora, Tilly",
		"Eli, Miriam, Nora, Saul",
		"Eli, Gwen, Miriam, Nora, Paul, Ruth, Saul, Tilly",
	}},
	"es1": {`
Hola Sonia:

Nos gustaría una foto de los dos con mis padres, Amparo y Vicente, otra con los padres de Diego, Luisa y Tomás, y una con los cuatro padres juntos. Después una mía con mis hermanas Eva y Rocío, y otra de Diego con su hermano Marcos. Mi abuela Felisa va en silla de ruedas, queremos una foto con ella al principio. Luisa y Vicente no se hablan, por favor no los pongas juntos. Y por último una con todos.

Un abrazo,
Marina y Diego`, []string{
		"Amparo, Diego, Marina, Vicente",
		"Diego, Luisa, Marina, Tomás",
		"Amparo, Diego, Luisa, Marina, Tomás, Vicente",
		"Eva, Marina, Rocío",
		"Diego, Marcos",
		"Diego, Marina, abuela Felisa",
		"Amparo, Diego, Eva, Luisa, Marcos, Marina, Rocío, Tomás, Vicente, abuela Felisa",
	}},
	"fr1": {`
Bonjour Claire,

Voici nos souhaits : une photo de nous deux avec mes parents, Martine et Gérard, puis une avec les parents de Lucas, Anne et Philippe. Ensuite une photo de moi avec ma sœur Julie et son mari Karim, et une autre de Lucas avec ses deux frères, Simon et Paul. Ma grand-mère Rose ne peut pas rester debout longtemps, on aimerait une photo avec elle au début. Anne et Gérard ne se parlent pas, merci de ne pas les mettre côte à côte. Pour finir, une photo avec tous les invités.

Bien à vous,
Emma et Lucas`, []string{
		"Emma, Gérard, Lucas, Martine",
		"Anne, Emma, Lucas, Philippe",
		"Emma, Julie, Karim",
		"Lucas, Paul, Simon",
		"Emma, Lucas, grand-mère Rose",
		"Anne, Emma, Gérard, Julie, Karim, Lucas, Martine, Paul, Philippe, Simon, grand-mère Rose",
	}},
	"p2-en1": {`
Hello Rosa,

It's so kind of you to plan this with us. My family is small: just my mum Gill, my brother Ed and my gran Peggy. I'd love one with all three of them and Theo, and one of me with Mum alone. Theo's family is bigger. There are his parents, Joan and Bill, his sisters Amy and Kate, and Kate's husband Rob. Could you do one with everybody from his side, then one with just his parents, and then Theo with his two sisters?

Bill has a bad knee so he will need a chair. We also want a picture with our witnesses, Sam and Lena. My dad left when I was small, please don't ask about him.

See you soon,
Megan (and Theo!)`, []string{
		"Ed, Gill, Megan, Peggy, Theo",
		"Gill, Megan",
		"Amy, Bill, Joan, Kate, Megan, Rob, Theo",
		"Bill, Joan, Megan, Theo",
		"Amy, Kate, Theo",
		"Lena, Megan, Sam, Theo",
	}},
}

// Running text is divided where one wish ends and the next begins; what it tells between says who somebody is.
func TestLetters(t *testing.T) {
	for name, c := range mails {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}

// What is told before a wish is what it is of: by a pronoun, by "all of them", or where it names nobody else.
func TestTopic(t *testing.T) {
	told := "My grandma Vera and her sister Ida are both over ninety and they can't stand for long, so please take them first: "
	for wish, want := range map[string][]string{
		"one of both of them with us.": {"Ida, Nell, Otto, Vera"},
		"a photo with them.":           {"Ida, Nell, Otto, Vera"},
		"one with just me, please.":    {"Ida, Nell, Vera"},
		"a picture of the two of us with them, and one of me with Pia afterwards.": {"Ida, Nell, Otto, Vera", "Nell, Pia"},
	} {
		got, _ := photographsOf(t, "Hi Kim,", "", "my list, Otto's mum is not coming and Otto's dad neither.", "", told+wish, "", "Love, Nell")
		assert.Equal(t, want, got, wish)
	}
}

// "Her mum, her dad and her sisters" are all of one.
func TestSeriesOfHers(t *testing.T) {
	got, _ := photographsOf(t, "Wedding of Nell & Otto", "1. Nell with her mum Ida, her dad Karl and her sisters Pia and Lotte", "2. Nell + her sisters", "3. Couple + Pia, her husband Emil and her kids Ben and Mia")
	assert.Equal(t, []string{"Ida, Karl, Lotte, Nell, Pia", "Lotte, Nell, Pia", "Ben, Emil, Mia, Nell, Otto, Pia"}, got)
}
