package event

import (
	"bytes"
	"encoding/json"

	"kinorder.example/server/internal/wording"
)

// UnmarshalJSON reads advice also as it was stored before 2026-11-27, with its text in English beside it.
func (a *Advice) UnmarshalJSON(b []byte) error {
	type plain Advice
	v := struct {
		*plain
		Text string
	}{plain: (*plain)(a)}
	return strictly(b, &v, &v.Text, &a.Message)
}

// UnmarshalJSON reads what was left out also as it was stored before 2026-11-27, with its reason in English.
func (l *LeftOut) UnmarshalJSON(b []byte) error {
	type plain LeftOut
	v := struct {
		*plain
		Reason string
	}{plain: (*plain)(l)}
	return strictly(b, &v, &v.Reason, &l.Why)
}

// strictly reads v, and turns an English text in it into a message.
func strictly(b []byte, v any, english *string, message *wording.Message) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if *english != "" {
		*message = wording.Said(*english)
	}
	return nil
}
