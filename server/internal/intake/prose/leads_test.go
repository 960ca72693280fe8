package prose

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A line that ends with "with" is the beginning of those below it; "just one of the couple" above bullets is in each of them.
func TestBeginningsOfLines(t *testing.T) {
	got, _ := photographsOf(t, "Hi Pia, photo list", "", "ME AND OTTO WITH", "- my parents (Ida + Karl)", "- Otto's mum Vera", "- Otto's brother Ed", "",
		"JUST ME", "- me + mum", "- bridesmaids: Eve, Uma", "", "JUST OTTO", "- his mum", "", "thanks, Nell x")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, Otto, Vera", "Ed, Nell, Otto", "Ida, Nell", "Eve, Nell, Uma", "Otto, Vera"}, got)

	for _, c := range []struct{ title, both, one string }{
		{"Wedding of Nell & Otto", "Bride and groom with:", "Just Nell"}, {"Hochzeit Nell & Otto", "Brautpaar mit", "Nur die Braut"},
		{"Boda de Nell y Otto", "Los novios con:", "Solo Nell"}, {"Mariage de Nell et Otto", "Les mariés avec", "Juste la mariée"},
	} {
		got, _ = photographsOf(t, c.title, "", c.both, "- Ida", "- Karl", "", c.one, "- Ida", "- Karl")
		assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Nell, Otto", "Ida, Nell", "Karl, Nell"}, got, c.title)
	}

	got, _ = photographsOf(t, "Nell & Otto", "", "- Nell + Ida", "", "Just Nell", "- Otto with Karl", "- Otto with Ed")
	assert.Equal(t, []string{"Ida, Nell", "Nell", "Karl, Otto", "Ed, Otto"}, got, "another one's lines are not below it")
}

// Whom the photographs are for goes before who signs; a letter's opening is no photograph, and who writes may be among the attendants.
func TestWrittenForTwo(t *testing.T) {
	for _, c := range []struct{ hello, say, parents, mother, roles, sign string }{
		{"Hi Pia,", "here are the group photos for Nell and Otto (12.9., ceremony at 2pm, then straight to the garden). We don't mind the order as long as it is quick, there is cake!",
			"Couple with Nell's parents (Ida, Karl)", "Couple with Otto's mum Vera", "Bridesmaids Jule (that's me!) and Eve with the couple", "Love, Jule"},
		{"Liebe Pia,", "hier wie besprochen die Gruppenbilder für Nell und Otto (12.9., Trauung 14 Uhr, danach gleich im Garten). Reihenfolge ist egal, Hauptsache schnell, es gibt Kuchen",
			"Brautpaar mit Nells Eltern (Ida, Karl)", "Brautpaar mit Ottos Mutter Vera", "Trauzeugen Jule (bin ich!) und Eve mit dem Brautpaar", "LG Jule"},
		{"Bonjour Pia,", "voici les photos de groupe pour Nell et Otto (12.9., cérémonie à 14 h, puis au jardin). L'ordre nous est égal, pourvu que ce soit rapide, il y a du gâteau !",
			"Les mariés avec les parents de Nell (Ida et Karl)", "Les mariés avec la mère de Otto, Vera", "Les témoins Jule (c'est moi) et Eve avec les mariés", "Bises, Jule"},
		{"Hola Pia:", "te mando las fotos de grupo de Nell y Otto (12 de septiembre, ceremonia a las 14 h, luego en el jardín). El orden nos da igual, lo importante es que sea rápido.",
			"Los novios con los padres de Nell (Ida y Karl)", "Los novios con la madre de Otto, Vera", "Los testigos Jule (soy yo) y Eve con los novios", "Besos, Jule"},
	} {
		got, _ := photographsOf(t, c.hello, "", c.say, "", "- "+c.parents, "- "+c.mother, "- "+c.roles, "", c.sign)
		assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, Otto, Vera", "Eve, Jule, Nell, Otto"}, got, c.hello)
	}
}

// Somebody whom a list has among the attendants is not of the couple, whoever signs.
func TestAttendantWrites(t *testing.T) {
	got, _ := photographsOf(t, "Hi Pia,", "", "here's the list.", "", "- Bride and groom with Nell's parents Ida and Karl", "- Otto's mum Vera with bride and groom",
		"- Otto's dad Emil with bride and groom", "- Nell and Otto with the bridesmaids Jule (me) and Eve", "- me with Nell", "", "Love, Jule")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Nell, Otto, Vera", "Emil, Nell, Otto", "Eve, Jule, Nell, Otto", "Jule, Nell"}, got)
}

// A parent's letter says whose wedding it is: with the day between, at the end of the clause, with "of" before each name.
func TestWhoMarriesWhom(t *testing.T) {
	for _, c := range []struct{ hello, say, me, one, sign string }{
		{"Dear Pia,", "I am Otto's mother. My son Otto is getting married to Nell on 4 July, and we need a list.", "One of the couple with my husband Karl and me.", "One of the couple with Eve.", "Best wishes, Vera"},
		{"Bonjour Madame,", "Je suis la maman d'Otto, qui se marie le 4 juillet avec Nell.", "Une photo des mariés avec mon mari Karl et moi.", "Une photo des mariés avec Eve.", "Cordialement, Vera"},
		{"Querida Pia:", "Soy la madre de Otto, que se casa el 4 de julio con Nell. Los chicos me han pedido que te escriba.", "Una foto de los novios con mi marido Karl y conmigo.", "Una foto de los novios con Eve.", "Un saludo, Vera"},
		{"Cara Pia,", "O casamento do Otto e da Nell é no dia 4 de julho.", "Uma foto dos noivos com o meu marido Karl e comigo.", "Uma foto dos noivos com a Eve.", "Beijinhos, Vera"},
	} {
		got, _ := photographsOf(t, c.hello, "", c.say, "", c.me, "", c.one, "", c.sign)
		assert.Equal(t, []string{"Karl, Nell, Otto, Vera", "Eve, Nell, Otto"}, got, c.hello)
	}
	got, _ := photographsOf(t, "Liebe Pia,", "", "ich bin die Mutter von Otto, der am 4. Juli Nell heiratet.", "", "Ein Bild vom Brautpaar mit Eve.", "", "Herzliche Grüße, Vera")
	assert.Contains(t, got, "Eve, Nell, Otto")
}

// Who writes stands behind "from", with what they are to the couple.
func TestFromKin(t *testing.T) {
	got, _ := photographsOf(t, "GOLDEN WEDDING - Walter & Joan", "from Cath (daughter in law). Joan hates fuss.", "", "1  Walter & Joan", "2  Walter & Joan with Ed, Uma and me", "3  Ed, me and Uma")
	assert.Equal(t, []string{"Joan, Walter", "Cath, Ed, Joan, Uma, Walter", "Cath, Ed, Uma"}, got)
}

// A dash behind a family names who is in it as a colon does, and nobody else; what families call somebody is no kin without a name.
func TestFamilyBehindMarks(t *testing.T) {
	list := []string{"Nell & Otto", "", "Nell's mum Ida and her husband Karl", "Nell's dad Max and his wife Dawn", "Nell's sister Eve", "Nell's gran Nana Joan", "", "Photos"}
	for _, mark := range []string{" - ", ": ", " – "} {
		got, _ := photographsOf(t, append(slices.Clone(list), "1. Bride's family"+mark+"Ida, Karl, Nana Joan, Eve", "2. Nell's family"+mark+"Ida, Eve", "3. Nell's side"+mark+"mum, Eve")...)
		assert.Equal(t, []string{"Eve, Ida, Karl, Nana Joan", "Eve, Ida", "Eve, Ida, Nell"}, got[:3], mark)
	}
}
