package web

import (
	"bytes"
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	utf16 "golang.org/x/text/encoding/unicode"

	"kinorder.example/server/internal/intake"
)

// textOf turns an uploaded file into a list that can be shown and mended, with a notice when it is not
// shown as it was. Its errors say why the file was
// not taken: those of intake.ReadFile, and what is wrong with a workbook that cannot be read at all.
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
		if len(got.Lines) == 0 && len(got.Problems) > 0 { // not a row of it could be read
			return "", "", errors.New(lower(strings.TrimSuffix(got.Problems[0].Text, ".")))
		}
		return string(intake.WriteYAML(got.Event, got.Problems)), "The spreadsheet is shown as an event file, with what was unclear in it as comments.", nil
	case utf8.Valid(file):
		return string(bytes.TrimPrefix(file, []byte("\uFEFF"))), "", nil
	case bytes.HasPrefix(file, []byte("\xff\xfe")), bytes.HasPrefix(file, []byte("\xfe\xff")):
		decoded, err := utf16.UTF16(utf16.LittleEndian, utf16.UseBOM).NewDecoder().Bytes(file)
		return string(decoded), "", err
	}
	decoded, err := charmap.Windows1252.NewDecoder().Bytes(file)
	return string(decoded), "The file is not UTF-8 and was read as Windows-1252: look at letters with accents.", err
}

// lower starts a sentence that stands behind a colon.
func lower(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[size:]
}
