package prose

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
)

// told are lines as people write them below a list or into one of its photographs, and what they tell: a need, a time, who stays
// away, who is kept apart. A line with a number takes the place of the photograph of that number.
var told = map[string]string{
	"2. Nell & Otto + Pia and Karl - Karl has a bad back":        "Karl seat",
	"2. Nell & Otto + Pia and Karl. Otto will bring Ida a chair": "",
	// times
	"Ida is going home at 4 o'clock":                               "Ida until 16:00",
	"Ida's got to be off by 4":                                     "Ida until 16:00",
	"1. Couple + Ida - she's off at 6, do early":                   "Ida until 18:00",
	"1. Couple with Ida (shes got to be off by 4)":                 "Ida until 16:00",
	"Karl is only popping in between 12.30 and 1":                  "Karl from 12:30, Karl until 13:00",
	"Karl will come late, after 3pm":                               "Karl from 15:00",
	"Ida and Karl are leaving by 1.30pm for another do":            "Ida until 13:30, Karl until 13:30",
	"Pia has to be gone by half 3":                                 "Pia until 15:30",
	"3. Couple + Pia, no later than 3:45":                          "Pia until 15:45",
	"3. Couple with Pia (8 months, don't plan past 5:45)":          "Pia infant, Pia until 17:45",
	"de|Ida wird um 16:00 Uhr abgeholt":                            "Ida until 16:00",
	"de|Karl kommt erst um 15 Uhr!":                                "Karl from 15:00",
	"es|A las 14:00 vienen a recoger a Ida":                        "Ida until 14:00",
	"fr|Ida : on vient la chercher à 17h":                          "Ida until 17:00",
	"pt|A Ida vai embora às 18h30":                                 "Ida until 18:30",
	"ar|Ida لازم تمشي الساعة ٤":                                    "Ida until 16:00",
	"zh|Ida下午5点前要走":                                                "Ida until 17:00",
	"1. Nell & Otto + Pia (Nell's daughter, 18 months, naps at 3)": "Pia infant, Pia until 15:00",
	"Ida has to be at work at 1 so do her early":                   "Ida until 13:00",
	"Ida needs to catch the 5.10 train":                            "Ida until 17:10",
	"We lose Ida at 4:30, shift work":                              "Ida until 16:30",
	"1. Couple + Ida (must be back at the home for 6)":             "Ida until 18:00",
	"1. Couple + Ida. They leave at 4.":                            "Ida until 16:00",
	"de|Ida hat um 18 Uhr Dienst":                                  "Ida until 18:00",
	"fr|Ida doit prendre son train à 18h":                          "Ida until 18:00",
	"es|1. Novios + Ida (se tiene que ir sobre las 6)":             "Ida until 18:00",
	"pt|Ida tem que pegar o ônibus às 18h30":                       "Ida until 18:30",
	"ar|Ida عندها طيارة الساعة ٦":                                  "Ida until 18:00",
	"zh|Ida要赶15:20的高铁":                                             "Ida until 15:20",
	// needs
	"1. Couple + Ida - she'll only manage standing for a minute":        "Ida seat",
	"Ida is good on her feet but not for long":                          "Ida seat",
	"2. Couple with Karl and Ida (both over 80, two chairs)":            "Ida seat, Karl seat",
	"2. Couple with Karl & Ida (87 & 85 – chairs for both)":             "Ida seat, Karl seat",
	"1. Couple + Ida (85, she will remain seated on the sofa)":          "Ida seat",
	"1. Couple + Ida. Knee trouble so she will sit":                     "Ida seat",
	"1. Couple with Karl and Ida. She'll only manage standing a minute": "Ida seat",
	"2. Couple with Karl, Pia, gran Ida, 88, wheelchair":                "Ida wheelchair",
	"2. Couple with Pia, Karl & Ida - both in wheelchairs":              "Ida wheelchair, Karl wheelchair",
	"Pia, Karl, Ida are in wheelchairs":                                 "Ida wheelchair, Karl wheelchair, Pia wheelchair",
	"Ida only speaks Spanish, Emil will translate":                      "Ida interpreter",
	"1. Couple + Ida (Vietnamese only)":                                 "Ida interpreter",
	"1. Couple with Karl, Pia and Ida who will be in her wheelchair":    "Ida wheelchair",
	"1. Couple with Karl and Ida who both need a seat":                  "Ida seat, Karl seat",
	"Ida can't do steps": "Ida step-free",
	"de|1. Brautpaar + Ida und Karl (beide über 85, bitte auf der Bank)": "Ida seat, Karl seat",
	"fr|Ida tient debout mais pas longtemps":                             "Ida seat",
	"es|Ida no aguanta mucho parada":                                     "Ida seat",
	"pt|Ida não aguenta muito tempo em pé":                               "Ida seat",
	"zh|Ida年纪大了要坐":                                                       "Ida seat",
	// who stays away
	"Karl is stuck in New Zealand and can't come": "Karl absent",
	"de|Karl hat leider abgesagt":                 "Karl absent",
	// kept apart
	"Don't seat or stand Ida by Karl.":                                                "Ida and Karl apart",
	"Ida and Karl not in the same pic":                                                "Ida and Karl in no photo",
	"Ida + Karl in separate photos please!!":                                          "Ida and Karl in no photo",
	"Ida + Karl in seperate photos please!!":                                          "Ida and Karl in no photo",
	"Please never Ida in a photo w/ Karl":                                             "Ida and Karl in no photo",
	"1. Couple + Ida and Karl (divorced, ok in same shot but not next to each other)": "Ida and Karl apart",
	"NO Ida/Karl": "Ida and Karl apart",
	"Ida and Karl: not a word since the communion":                      "Ida and Karl apart",
	"es|Ida y Karl están peleados, no los pongas juntos":                "Ida and Karl apart",
	"fr|Merci de ne pas mettre Ida et Karl côte à côte":                 "Ida and Karl apart",
	"fr|Ida et Karl ne doivent pas être côte à côte":                    "Ida and Karl apart",
	"de|Ida und Karl bitte auf keinen Fall zusammen auf ein Bild":       "Ida and Karl in no photo",
	"de|Ida bitte nie zusammen mit Karl aufs Bild":                      "Ida and Karl in no photo",
	"pt|Não colocar Ida junto com o Karl":                               "Ida and Karl apart",
	"zh|Ida和Karl不说话，请别让他们站一起":                                           "Ida and Karl apart",
	"Ida should not be in the same picture as Karl":                     "Ida and Karl in no photo",
	"1. Couple + Ida (Ida and Karl must not be in one photo)":           "Ida and Karl in no photo",
	"1. Couple + Ida - please don't put Ida and Karl in the same photo": "Ida and Karl in no photo",
	"pt|1. Noivos com Ida (Ida e Karl não podem sair na mesma foto!)":   "Ida and Karl in no photo",
	"zh|Ida和Karl最近闹矛盾，别让他们站在一起":                                         "Ida and Karl apart",
	"1. Couple + Ida (not with Karl)":                                   "Ida and Karl apart",
}

var titles = map[string]string{"de": "Hochzeit Nell & Otto, Gruppenfotos", "fr": "Mariage de Nell & Otto, photos de groupe", "es": "Boda de Nell & Otto, fotos de grupo", "pt": "Casamento de Nell & Otto, fotografias de grupo", "ar": "صور زفاف Nell & Otto مع العائلة", "zh": "婚礼 Nell & Otto 合影"}

func TestTold(t *testing.T) {
	for line, want := range told {
		title, line := "Wedding of Nell & Otto", line
		if lang, rest, ok := strings.Cut(line, "|"); ok {
			title, line = titles[lang], rest
		}
		list := []string{title + ", 2027-06-12", "1. Nell & Otto + Ida", "2. Nell & Otto + Karl", "3. Nell & Otto + Pia", "4. Nell & Otto + Emil", "", line}
		if n := strings.IndexByte(" 123", line[0]); n > 0 {
			list[n], list[6] = line, ""
		}
		got := Read(effort.New(t.Context(), 50_000_000), strings.Join(list, "\n"), event.Event{}, time.Time{})
		var is []string
		names := make(map[string]string)
		for _, p := range got.Event.People {
			names[p.ID] = p.Name
			for _, n := range p.Needs {
				is = append(is, p.Name+" "+map[event.Need]string{event.Seat: "seat", event.StepFree: "step-free", event.Wheelchair: "wheelchair", event.Interpreter: "interpreter"}[n])
			}
			for what, at := range map[string]string{"from": p.PresentFrom, "until": p.PresentUntil} {
				if at != "" {
					is = append(is, p.Name+" "+what+" "+at)
				}
			}
			if p.AgeBand == event.Infant {
				is = append(is, p.Name+" infant")
			}
			if p.Absent {
				is = append(is, p.Name+" absent")
			}
		}
		for _, r := range got.Event.Rules {
			two := []string{names[r.Apart.People[0]], names[r.Apart.People[1]]}
			slices.Sort(two)
			how := map[event.ApartScope]string{event.Neighbours: "apart", event.Frame: "in no photo"}[r.Apart.Scope]
			is = append(is, fmt.Sprintf("%s and %s %s", two[0], two[1], how))
		}
		slices.Sort(is)
		assert.Equal(t, want, strings.Join(is, ", "), line)
	}
}

// Below photographs without marks or numbers too, who is kept apart is in none.
func TestKeptApartIsNoPhotograph(t *testing.T) {
	for line, scope := range map[string]event.ApartScope{
		"Rosa and Karim must not be in the same photo":           event.Frame,
		"Rosa and Karim can't be in one picture together":        event.Frame,
		"Rosa and Karim should never be photographed together":   event.Frame,
		"Rosa doesn't want to be photographed with Karim":        event.Frame,
		"NOT in the same shot: Rosa, Karim":                      event.Frame,
		"- Rosa & Karim NOT in same photo please":                event.Frame,
		"Rosa and Karim do not want to stand next to each other": event.Neighbours,
		"Nicht auf ein Bild: Rosa und Karim":                     event.Frame,
		"Rosa y Karim no pueden salir en la misma foto":          event.Frame,
		"Rosa et Karim pas sur la même photo":                    event.Frame,
		"Rosa e Karim não podem ficar na mesma foto":             event.Frame,
		"Rosa和Karim不要同框":                                         event.Frame,
	} {
		list := "Wedding of Mara and Ilyas\n\nCouple with Rosa\nCouple with Karim\nCouple with Vera and Tom\n" + line + "\n"
		got := Read(effort.New(t.Context(), 50_000_000), list, event.Event{}, time.Time{})
		assert.Len(t, got.Event.Groupings, 3, line)
		if assert.Len(t, got.Event.Rules, 1, line) {
			assert.Equal(t, scope, got.Event.Rules[0].Apart.Scope, line)
		}
	}
}

// Everybody is everybody: who is to be in no photo together is in that one, and not side by side.
func TestKeptApartStandsInEverybody(t *testing.T) {
	list := "Wedding of Mara and Ilyas\n\nEverybody\nCouple with Rosa\nCouple with Karim\nRosa and Karim don't get on\nRosa and Karim must not be in the same photo\n"
	got := Read(effort.New(t.Context(), 50_000_000), list, event.Event{}, time.Time{})
	rules := got.Event.Rules
	if assert.Len(t, rules, 2) {
		assert.Equal(t, event.Frame, rules[0].Apart.Scope)
		assert.Equal(t, event.Neighbours, rules[1].Apart.Scope)
		assert.Equal(t, []string{rules[0].ID}, got.Event.Groupings[0].Confirms)
	}
	for _, p := range got.Problems {
		assert.NotEqual(t, event.Error, p.Severity, p.Message.String())
	}
}

// A couple in the brackets of a greeting, which sends a table, is the couple.
func TestCoupleInTheGreeting(t *testing.T) {
	list := "Bonjour Édith, je vous colle notre tableau (Maëlys & Corentin, samedi 22 août) :\n\n- M+C, Sylvie\n- M+C, Chantal\n"
	var names []string
	for _, p := range Read(effort.New(t.Context(), 50_000_000), list, event.Event{}, time.Time{}).Event.People {
		names = append(names, p.Name)
	}
	slices.Sort(names)
	assert.Equal(t, []string{"Chantal", "Corentin", "Maëlys", "Sylvie"}, names)
}

// Whoever is wanted first or last is so in all photos of theirs but that of everybody, and what cannot be done is said.
func TestTurnsSaid(t *testing.T) {
	for said, want := range map[string]string{
		"Nana Joan gets cold so please do hers first. Ed is late.": "first", "Nana Joan first please.": "first", "Please take the photos with Nana Joan last": "last",
		"Oma Joan bitte zuerst fotografieren": "", "Nana Joan is Nell's first cousin's mum": "", "Nana Joan lost her husband last year": "",
	} {
		_, res := photographsOf(t, "Nell & Otto", "", "1. Everyone", "2. Couple with Ida", "3. Couple with Nana Joan", "4. Ida and Nana Joan", "", said)
		for k, g := range res.Event.Groupings {
			pin := map[event.Pin]string{event.PinFirst: "first", event.PinLast: "last"}[g.Pin]
			assert.Equal(t, k > 1 && want != "", pin == want && pin != "", "%s: photo %d is %q", said, k+1, pin)
		}
	}
	_, res := photographsOf(t, "Nell & Otto", "", "1. Everyone", "2. Couple with Ida", "", "Ida and Otto's uncle Bert first please")
	assert.NotEmpty(t, res.Problems)
}

// When whoever takes the photos is there is when they are taken, with an hour before another as well.
func TestHoursOfThePhotographer(t *testing.T) {
	for said, want := range map[string]string{
		"We've got you from 3 till 3.30.": "15:00-15:30", "Group photos 3 to 3.30pm": "15:00-15:30", "Group photos 11 to 12.15": "11:00-12:15", "Gruppenfotos 3 bis 16 Uhr": "15:00-16:00",
	} {
		_, res := photographsOf(t, "Nell & Otto, 12 June 2027", "", said, "", "1. Couple with Ida", "2. Couple with Karl")
		if assert.Len(t, res.Event.Blocks, 1, said) {
			assert.Equal(t, want, res.Event.Blocks[0].Opens+"-"+res.Event.Blocks[0].Closes, said)
		}
	}
}

// A word for how somebody is, before their name, is part of it.
func TestBigPhil(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "1. Otto's uni lot (Dan, Raj, Big Phil)", "2. Nell with Little Ida")
	assert.Equal(t, []string{"Big Phil, Dan, Raj", "Little Ida, Nell"}, got)
}

// What those named are, "sisters only", is no further people.
func TestOnlyWhatTheyAre(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "1. Nell & Megan, sisters only", "2. Otto, Ed and Max - brothers only", "3. Couple with Nell's sister Megan")
	assert.Equal(t, []string{"Megan, Nell", "Ed, Max, Otto", "Megan, Nell, Otto"}, got)
	assert.Empty(t, res.Problems)
}

// Words for some of those who are named count nobody in a photo of everybody.
func TestEverybodyCountsNobodyTwice(t *testing.T) {
	_, res := photographsOf(t, "Nell & Otto", "", "1. Everyone (about 20)", "2. Nell with the girls", "3. Otto with the lads", "4. Couple with Megan's family", "5. Megan and Ed", "6. Couple with the choir")
	k := slices.IndexFunc(res.Event.Circles, func(c event.Circle) bool { return c.ID == "everybody" })
	assert.Equal(t, []string{"nell", "otto", "megan", "ed", "choir"}, res.Event.Circles[k].Members)
}
