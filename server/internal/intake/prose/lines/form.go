package lines

import (
	"regexp"
	"strings"
)

// What a line of a form asks for, before the list of photographs that uses the answers.
const (
	AsksCouple = 'c' // "Names of the couple:", "Bride:"
	AsksPeople = 'p' // "Parents of the groom:"
	AsksOther  = 'o' // "Any mobility needs?"
	AsksTitle  = 't' // nothing: it stands above the questions
	AsksBelow  = 'h' // nothing: it stands over some of them, "Grace's side"

	AsksNothing = '-' // that is known: "Colours:"
)

// asking is what a line of a form asks, or whose question it answers.
type asking struct {
	Ask    byte
	Answer int  // of the line with the question, from 1; 0 when it stands on the line itself
	Row    bool // of photographs that the form offers: the answer stands on the line
}

// askForm is what stands before questions and answers: "Q:", "Answer 3:".
var askForm = regexp.MustCompile(`^\s*(?i:(q|question|frage|f|pregunta|pergunta|p|问|س)|(a|answer|antwort|respuesta|resposta|réponse|r|答|ج))\s?\d*\s?[:：.)]\s*`)

// asksAndAnswers reports whether lines are marked as questions and answers in turns, or as questions with what is
// answered below them: "Q1. Your names?".
func asksAndAnswers(raws []string) bool {
	asks, answers, open := 0, 0, 0
	for _, raw := range raws {
		switch m := askForm.FindStringSubmatch(raw); {
		case m == nil:
		case m[1] != "":
			asks++
			if strings.ContainsAny(raw, "?？؟") {
				open++
			}
		case asks > answers:
			answers++
		}
	}
	return asks > 2 && (answers > 2 || open == asks)
}
