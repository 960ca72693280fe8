package prose

import (
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

func shortened(list []string, write func(string) wording.Message) []wording.Message {
	var out []wording.Message
	for _, n := range list[:min(place.MostNamed, len(list))] {
		out = append(out, write(n))
	}
	if more := len(list) - place.MostNamed; more > 0 {
		out = append(out, wording.Say(wording.KeyMore, more))
	}
	return out
}

// either writes candidates into a sentence: A, B or C.
func either(candidates []string) wording.Arg {
	return wording.Or(shortened(candidates, func(c string) wording.Message { return wording.Say("%s", place.Quoted(c)) })...)
}
