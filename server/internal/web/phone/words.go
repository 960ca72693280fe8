package phone

import (
	"encoding/json"

	"kinorder.example/server/internal/wording"
)

// words are those of the page in every language: a phone may be asked to speak another one without
// signal.
func words() []byte {
	out, err := json.Marshal(wording.PhoneTexts())
	if err != nil {
		panic(err) // texts that are part of the program
	}
	return out
}
