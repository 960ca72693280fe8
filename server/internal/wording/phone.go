//go:build !js

package wording

import (
	"strings"

	"golang.org/x/text/feature/plural"
)

// PhoneWords are the words that the page of the day uses, in one language, to be handed to its script. They
// come from the catalogue of the sheets, so that page and paper call things by the same names.
type PhoneWords struct {
	// Name is what the language calls itself.
	Name      string               `json:"name"`
	Direction string               `json:"direction"` // ltr or rtl
	Digits    string               `json:"digits,omitempty"`
	Decimal   string               `json:"decimal"`
	Plurals   string               `json:"plurals"` // the BCP 47 tag of the plural rules
	Quotes    string               `json:"quotes,omitempty"`
	Texts     map[string]PhoneText `json:"texts"`
	// Messages are what plans of the day say, by key.
	Messages map[Key]PhoneText `json:"messages"`
}

// PhoneText is one text with its forms for numbers, by the names of Unicode CLDR. Arguments of Texts are %[1]s and so
// on; the first is the number that chooses the form. Those of Messages are as Render has them.
type PhoneText struct {
	Other string            `json:"other"`
	Forms map[string]string `json:"forms,omitempty"`
}

// sharedTexts are texts of sheets that the page uses under a name.
var sharedTexts = map[string]Key{
	"walkIn": "sheet.walkIn", "walkOut": "sheet.walkOut", "stay": "sheet.stay", "ready": "sheet.ready", "free": "sheet.release", "near": "sheet.near",
	"nobodyNew": "sheet.nobodyNew", "say": "sheet.say", "seat": "sheet.seat", "wheelchair": "sheet.wheelchair", "stepFree": "sheet.stepFree",
	"interpreter": "sheet.interpreter", "minutes": "sheet.minutes", "half": "sheet.halfMinute", "frames": "sheet.frames", "people": "sheet.people",
	"comma": "sheet.listSeparator", "facts": "sheet.factSeparator", "colon": "sheet.colon", "taken": "sheet.taken", "must": "sheet.must", "notComing": "page.notComing", "safety": "sheet.safety",
}

// planMessages are what plans of the day say, besides the changes of an order.
var planMessages = []Key{
	"plan.blocksThatItMayBeTaken", "plan.firmClosingIsOver", "plan.hasAndHolds", "plan.itsPeopleAreNotThereWhile", "plan.itsTimeIsOver", "plan.leftOutByHand",
	"plan.noBlockMayTakeIt", "plan.noBlockThatIsLeftMay", "plan.nobodyItIsTakenForIs", "plan.otherWishesLeaveNoPlaceFor", "plan.waitsForPeopleWhoAreNot", "plan.theBlock2",
	"sheet.and", "sheet.fewerPeople", "sheet.listSeparator", "sheet.more", "sheet.or", "sheet.personCount", "sheet.semicolon", "sheet.sentences", "sheet.wholeMinutes",
}

// PhoneTexts returns the words of the page of the day by language, as BCP 47 tags.
func PhoneTexts() map[string]PhoneWords {
	out := map[string]PhoneWords{}
	for _, e := range editions {
		c := e.get()
		t := PhoneWords{Name: c.name, Direction: c.Direction(), Digits: string(c.digits), Decimal: c.decimal, Plurals: c.plurals.String(), Quotes: c.quotes, Texts: map[string]PhoneText{}, Messages: map[Key]PhoneText{}}
		for name, k := range sharedTexts {
			t.Texts[name] = textOf(c.texts[k])
		}
		for _, k := range planMessages {
			t.Messages[k] = textOf(c.texts[k])
		}
		for k, m := range c.texts {
			if strings.HasPrefix(string(k), "plan.changed") {
				t.Messages[k] = textOf(m)
			}
			if name, ok := strings.CutPrefix(string(k), "phone."); ok {
				t.Texts[name] = textOf(m)
			}
		}
		out[c.tag.String()] = t
	}
	return out
}

func textOf(m message) PhoneText {
	t := PhoneText{Other: m.other}
	for name, form := range forms {
		if s, ok := m.forms[form]; ok && form != plural.Other {
			if t.Forms == nil {
				t.Forms = map[string]string{}
			}
			t.Forms[name] = s
		}
	}
	return t
}
