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
	if err := strictly(b, &v); err != nil {
		return err
	}
	if v.Text != "" {
		a.Message = wording.Said(v.Text)
	}
	return nil
}

// UnmarshalJSON reads what was left out also as it was stored before 2026-11-27, with its reason in English.
func (l *LeftOut) UnmarshalJSON(b []byte) error {
	type plain LeftOut
	v := struct {
		*plain
		Reason string
	}{plain: (*plain)(l)}
	if err := strictly(b, &v); err != nil {
		return err
	}
	if v.Reason != "" {
		l.Why = wording.Said(v.Reason)
	}
	return nil
}

func strictly(b []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	return d.Decode(v)
}
