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
	Texts     map[string]PhoneText `json:"texts"`
}

// PhoneText is one text with its forms for numbers, by the names of Unicode CLDR. Arguments are %[1]s and so
// on; the first is the number that chooses the form.
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

// PhoneTexts returns the words of the page of the day by language, as BCP 47 tags.
func PhoneTexts() map[string]PhoneWords {
	out := map[string]PhoneWords{}
	for _, e := range editions {
		c := e.get()
		t := PhoneWords{Name: c.name, Direction: c.Direction(), Digits: string(c.digits), Decimal: c.decimal, Plurals: c.plurals.String(), Texts: map[string]PhoneText{}}
		for name, k := range sharedTexts {
			t.Texts[name] = textOf(c.texts[k])
		}
		for k, m := range c.texts {
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
