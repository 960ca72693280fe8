package web

import (
	"bytes"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"kinorder.example/server/internal/intake"
)

// textOf turns an uploaded file into a list that can be shown and mended, with a notice when it is not
// shown as it was. Its errors are those of intake.ReadFile.
func textOf(file []byte) (text, notice string, err error) {
	if len(file) > intake.MaxContent {
		return "", "", intake.ErrTooLarge
	}
	switch {
	case bytes.HasPrefix(file, []byte("PK\x03\x04")): // a spreadsheet has no lines to mend
		got, err := intake.ReadFile(file, intake.Options{})
		if err != nil {
			return "", "", err
		}
		return string(intake.WriteYAML(got.Event, got.Problems)), "The spreadsheet is shown as an event file, with what was unclear in it as comments.", nil
	case utf8.Valid(file):
		return string(bytes.TrimPrefix(file, []byte("\uFEFF"))), "", nil
	case bytes.HasPrefix(file, []byte("\xff\xfe")), bytes.HasPrefix(file, []byte("\xfe\xff")):
		decoded, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(file)
		return string(decoded), "", err
	}
	decoded, err := charmap.Windows1252.NewDecoder().Bytes(file)
	return string(decoded), "The file is not UTF-8 and was read as Windows-1252: look at letters with accents.", err
}
