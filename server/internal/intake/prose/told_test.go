package prose

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// Whose kin somebody is, is said without the apostrophe, too.
func TestOwnersWithoutApostrophe(t *testing.T) {
	got, _ := photographsOf(t, "wedding of nell & otto", "", "1. nell and ottos mum (vera)", "2. otto and nells two sisters (ida and pia)", "3. nell, ida and idas little ones (max and mia)", "4. otto with his mum")
	assert.Equal(t, []string{"nell, vera", "ida, otto, pia", "ida, max, mia, nell", "otto, vera"}, got)
}

// Who the couple are is said in sentences, too.
func TestCoupleInSentences(t *testing.T) {
	for _, first := range []string{
		"The bride is Nell and the groom is Otto, the 8th of May.", "Hi! it's me (Nell) and Otto", "Hello, Otto and me (Nell) are getting married",
		"Die Braut ist Nell und der Bräutigam ist Otto.", "La novia es Nell y el novio es Otto.",
	} {
		got, _ := photographsOf(t, first, "", "- Nell and Otto with Ida", "- Nell with Karl", "- Otto with Vera", "- Otto and Karl", "- Ida and Karl with the bride")
		assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Nell", "Otto, Vera", "Karl, Otto", "Ida, Karl, Nell"}, got, first)
	}
}

// A letter by a child for the golden wedding of the parents: who the couple are, who writes, who "us three" are, whose family is whose.
func TestGoldenWedding(t *testing.T) {
	got, _ := photographsOf(t, "Hi Petra,", "", "here is the list for Mum and Dad's golden wedding. They are Hilda and Wilf Marsh.", "",
		"1. Mum and Dad on their own", "2. Mum and Dad with the three of us", "3. Same + husbands and wives", "4. Mum and Dad with all four grandchildren",
		"5. Mum, me, Nell and Ida", "6. My family", "7. Otto's family", "8. Mum with her sister Vera", "",
		"Who's who", "Pia (me) and Jon: Nell (26) and her little girl Ida (5 months), Max (23)", "Otto and Lena: Ruth (17)", "Greta (divorced, on her own): Tim (12)", "",
		"Many thanks,", "Pia Dunne")
	assert.Equal(t, []string{
		"Hilda, Wilf Marsh", "Greta, Hilda, Otto, Pia Dunne, Wilf Marsh", "Greta, Hilda, Jon, Lena, Otto, Pia Dunne, Wilf Marsh", "Hilda, Max, Nell, Ruth, Tim, Wilf Marsh",
		"Hilda, Ida, Nell, Pia Dunne", "Ida, Jon, Max, Nell, Pia Dunne", "Lena, Otto, Ruth", "Hilda, Vera",
	}, got)
}

// A day of one person, by a parent who signs: "us two" are the parents, "the five of us" the family, "my parents" the writer's.
func TestWhoWritesIsAParent(t *testing.T) {
	got, _ := photographsOf(t, "Hola! Te paso la lista para los 15 de Emma.", "", "1) Emma con mamá y papá (Carolina y Otto)", "2) Emma con sus hermanos, Max y Lola", "3) Emma y nosotros dos",
		"4) Emma con los abuelos Ida y Karl, mis papás", "5) Emma con la abuela Vera, la mamá de Otto (silla de ruedas)", "6) Vera con nosotros cinco", "", "Gracias!!", "Caro")
	assert.Equal(t, []string{"Carolina, Emma, Otto", "Emma, Lola, Max", "Carolina, Emma, Otto", "Emma, Ida, Karl", "Emma, abuela Vera", "Carolina, Emma, Lola, Max, Otto, abuela Vera"}, got)
	got, _ = photographsOf(t, "Plan for Mum's 80th", "", "The birthday girl is my mum Vera. There's three of us kids: me (Pia), Otto and Max.", "", "- Mum with us three kids", "- Mum and us three with Ida")
	assert.Equal(t, []string{"Max, Otto, Pia, Vera", "Ida, Max, Otto, Pia, Vera"}, got)
}

// A letter by the mother of one of the couple: "the two of them" are the couple, "our family" and "Mammy" are hers, names behind a
// comma are those of as many as the words say.
func TestLetterOfAMother(t *testing.T) {
	got, res := photographsOf(t, "The bride is Nell and the groom is Otto.", "",
		"- The two of them with myself and Karl (thats Ottos dad)", "- Our whole family: myself, Karl, Otto and Nell, Max and Pia and their two (Tim 9 and Eva 2), and Granny Ida",
		"- Karl with the two brothers, Otto and Max", "- My sister Lotte and her husband Jon with the bride and groom", "- Me and Lotte with Mammy (Ida)",
		"- Granny Ida with the two great grandchildren, Tim and Eva", "- Nells crowd, that's Ruth, Gus and her sister Mia, with the pair of them",
		"- The bridesmaid and best man, Zoe and Max, with the couple, Max has to go at half 4", "", "God bless,", "Vera")
	assert.Equal(t, []string{
		"Karl, Nell, Otto, Vera", "Eva, Granny Ida, Karl, Max, Nell, Otto, Pia, Tim, Vera", "Karl, Max, Otto", "Jon, Lotte, Nell, Otto", "Granny Ida, Lotte, Vera",
		"Eva, Granny Ida, Tim", "Gus, Mia, Nell, Otto, Ruth", "Max, Nell, Otto, Zoe",
	}, got)
	k := slices.IndexFunc(res.Event.People, func(p event.Person) bool { return p.Name == "Max" })
	assert.Contains(t, res.Event.People[k].PrivateNote+res.Event.People[k].PresentUntil, "16:30")
}

// Times of day before numbered photographs are headings, and who is who above them is no form.
func TestHeadingsWithTimes(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "Bride's parents: Ida and Karl", "Groom's mother: Vera", "Groom's brother: Max", "",
		"4:45 PM - Fountain, bride's family", "1. Couple + parents", "2. Nell + Ida", "5:15 PM - Steps", "3. Wedding party: Couple, Max, Pia", "4. Everyone", "",
		"5:30 PM - Guests to drinks with the photographer")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Ida, Nell", "Max, Nell, Otto, Pia", "Ida, Karl, Max, Nell, Otto, Pia, Vera"}, got)
}

// Remarks say how much photographs are wanted that they describe; they ask for none of their own then.
func TestPhotographsThatRemarksDescribe(t *testing.T) {
	got, res := photographsOf(t, "Wedding of Nell & Otto", "", "- the couple with Gran Ida", "- the couple with Gran Ida, Karl and Pia", "- Nell with her godfather Gus", "- the couple with the choir", "- everybody", "",
		"The one with Gran Ida and the bride and groom is the most important, we nearly lost her at Christmas.", "If we run late, the choir and the godfather can be dropped.")
	assert.Len(t, got, 5)
	var is []event.Priority
	for _, g := range res.Event.Groupings {
		is = append(is, g.Priority)
	}
	assert.Equal(t, []event.Priority{event.Must, event.Should, event.Nice, event.Nice, event.Should}, is)
	_, res = photographsOf(t, "Mariage d'Ada et Otto", "", "- les mariés avec Mamie Ida", "- les mariés avec mamie Ida et sa petite sœur Léa", "- tout le monde", "",
		"Les plus importantes pour moi : Mamie Ida seule avec les mariés, et la grande avec tout le monde !")
	is = nil
	for _, g := range res.Event.Groupings {
		is = append(is, g.Priority)
	}
	assert.Equal(t, []event.Priority{event.Must, event.Should, event.Must}, is)
}

// A date at the beginning of a line is no number of a photograph, and a line that says "as agreed" is like no other.
func TestWhatIsNoReference(t *testing.T) {
	_, res := photographsOf(t, "Nell & Otto - photos", "14/3/2027, the barn, ceremony 3pm", "- Nell and Otto with Ida")
	assert.Equal(t, "2027-03-14", res.Event.Date)
	got, _ := photographsOf(t, "Bonjour,", "", "Comme convenu voici la liste pour le mariage de ma fille Ada avec Otto.", "", "- les mariés avec Ida", "- les mêmes + sa petite sœur Léa")
	assert.Equal(t, []string{"Ada, Ida, Otto", "Ada, Ida, Léa, Otto"}, got)
}

// "Father Tom" of whom nobody is the child is the priest; "both the houses" are the families.
func TestFatherTom(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "1) Bride's house: Ida (mother), Karl (father)", "2) Groom's house: Vera (mother), Max (brother)", "3) Both the houses together", "4) Father Tom with the couple", "5) the couple with all parents")
	assert.Equal(t, []string{"Ida, Karl", "Max, Vera", "Ida, Karl, Max, Nell, Otto, Vera", "Father Tom, Nell, Otto", "Ida, Karl, Nell, Otto, Vera"}, got)
}

// Notes from a phone, without capitals, marks and apostrophes: names side by side are as many people, and the parents' names are told
// afterwards.
func TestPhoneNotes(t *testing.T) {
	got, res := photographsOf(t, "ok family pics for sat 19th june", "", "its me (nell) and otto obvs", "", "me otto mum dad", "me otto ottos mum and dad", "me otto all 4 parents  ** must have", "me n dad (he will cry)",
		"me otto and my brother karl + his gf ida", "me and karl on our own", "otto with his sisters pia and ruth", "me otto pia ruth and ruths little ones, max (4) and baby eva (10 wks)",
		"all of my family (mum dad karl ida)", "", "mums vera and dads gus btw, ottos are lotte and hans. hans has to be away by 5 hes on nights", "pls dont put pia next to lotte. long story", "night xx")
	assert.Equal(t, []string{
		"gus, nell, otto, vera", "hans, lotte, nell, otto", "gus, hans, lotte, nell, otto, vera", "gus, nell", "ida, karl, nell, otto", "karl, nell", "otto, pia, ruth", "eva, max, nell, otto, pia, ruth",
		"gus, ida, karl, vera",
	}, got)
	assert.Len(t, res.Event.Rules, 1)
	assert.Equal(t, event.Must, res.Event.Groupings[2].Priority)
}

// Kin words in Polish among English ones, "as above" shortened; a bracket for several tells what all joined before it are.
func TestPolishAmongEnglish(t *testing.T) {
	got, res := photographsOf(t, "Ela & James - zdjecia grupowe / group photos", "", "MOJA RODZINA / my family", "1. Ela + James + mama i tata (Bożena i Andrzej)", "2. jw + brat Kuba i jego żona Magda",
		"3. Ela + James + babcia Halina (86 lat, wózek)", "4. Ela + James + ciocia Renata, wujek Zbyszek, kuzynki Ola i Zosia", "JAMES'S FAMILY", "5. us + Carol and Phil (James's parents)",
		"BOTH", "6. us + all four parents", "7. us + świadkowie Magda i Tom", "8. wszyscy / everyone", "", "wujek Zbyszek nie obok Phil!!")
	assert.Equal(t, []string{
		"Andrzej, Bożena, Ela, James", "Andrzej, Bożena, Ela, James, Kuba, Magda", "Ela, James, babcia Halina", "Ela, James, Ola, Zosia, ciocia Renata, wujek Zbyszek", "Carol, Ela, James, Phil",
		"Andrzej, Bożena, Carol, Ela, James, Phil", "Ela, James, Magda, Tom",
	}, got[:7])
	assert.Len(t, res.Event.Rules, 1)
}

// A day in figures is nobody's age and no number of a photograph.
func TestDayInFigures(t *testing.T) {
	for _, list := range []string{"Hochzeit von Klara und Lukas, 12.06.2027\n\n1. Brautpaar mit Anna", "Klara & Lukas\n12.06.2027\n\n1. Brautpaar mit Anna", "Klara & Lukas 3.7.2027, Garten\n1. Brautpaar mit Anna"} {
		got := Read(nil, list, event.Event{}, time.Time{})
		assert.Contains(t, got.Event.Date, "2027-0", list)
		assert.Len(t, got.Event.People, 3, list)
		for _, p := range got.Event.People {
			assert.Equal(t, event.Adult, p.AgeBand, "%s: %s", list, p.Name)
		}
	}
}

// A letter of a mother who is named beside her husband: the couple are those she tells of, and her kin is the bride's.
func TestMotherWrites(t *testing.T) {
	for _, c := range [][3]string{
		{"Hello sir, pls find the list of group photos for my daughter Ada's wedding on 5th Feb with Otto.", "", "Ida (Ada's mother)"},
		{"Sorry it comes from me and not from Ada, but she is busy. I am her mother! My husband is Karl, her brother is Max.", "With kind regards,", "Ida"},
	} {
		got, _ := photographsOf(t, c[0], "", "1) Ada and Otto with Karl and me", "2) Above + my son Max, his wife Zoe and small boy Leo", "3) The couple with my husband Karl", "4) Couple with my mother Vera. She is 84 and cannot climb the steps, take it below",
			"5) Couple with boy's parents Mr Poole and Mrs Rosa", "6) No. 5 with boy's sister Mia", "7) All the parents with the couple", "8) Ada and her brother, just the two of them",
			"9) All ladies of our family with Ada - myself, my mother, Zoe. Boy not needed", "", c[1], c[2])
		assert.Equal(t, []string{"Ada, Ida, Karl, Otto", "Ada, Ida, Karl, Leo, Max, Otto, Zoe", "Ada, Karl, Otto", "Ada, Otto, Vera", "Ada, Mr Poole, Mrs Rosa, Otto", "Ada, Mia, Mr Poole, Mrs Rosa, Otto",
			"Ada, Ida, Karl, Mr Poole, Mrs Rosa, Otto", "Ada, Max", "Ada, Ida, Vera, Zoe"}, got, c[0])
	}
}

// A time and a place in capitals over lines are a heading, and the lines are not before it; names may mean something else behind kin.
func TestTimesOverLines(t *testing.T) {
	got, e := photographsOf(t, "Nell & Otto", "Saturday 17 July 2027", "", "13:15 - STABLE YARD", "Nell with mum (Patti)", "Otto with his parents Vera and Karl", "",
		"14:45 - WALLED GARDEN (if wet: long room)", "Couple + Patti", "Couple + both sets of parents")
	assert.Equal(t, []string{"Nell, Patti", "Karl, Otto, Vera", "Nell, Otto, Patti", "Karl, Nell, Otto, Patti, Vera"}, got)
	var from []string
	for _, g := range e.Event.Groupings {
		from = append(from, g.NotBefore)
	}
	assert.Equal(t, []string{"13:15", "13:15", "14:45", "14:45"}, from)
}

// Who says what they are to one of the couple is not that one.
func TestIAmOfAnother(t *testing.T) {
	got, _ := photographsOf(t, "Hi, Grace here, I'm Nell's maid of honour. This is her and Otto's list.", "", "- Nell with the bridesmaids: me, Ida and Pia", "- Nell and Otto with Vera and Karl", "- Nell and Otto with Karl", "", "Thanks!", "Grace")
	assert.Equal(t, []string{"Grace, Ida, Nell, Pia", "Karl, Nell, Otto, Vera", "Karl, Nell, Otto"}, got)
}

// What stands before a colon says what somebody is, and words that order a letter are nobody.
func TestGrandmaMamaJoy(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "NELL'S SIDE", "Mum: Vera", "Dad: Karl", "Grandma: Mama Joy, 84", "", "PHOTOS", "1. Nell + her parents", "2. Nell, Vera & Mama Joy", "3. Firstly, Otto and Nell")
	assert.Equal(t, []string{"Karl, Nell, Vera", "Joy, Nell, Vera", "Nell, Otto"}, got)
}
