// Package upload makes text of the files that browsers send.
package upload

import (
	"bytes"
	"context"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	utf16 "golang.org/x/text/encoding/unicode"

	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/wording"
)

// Text turns an uploaded file into a list that can be shown and mended, with a notice when it is not
// shown as it was, or not taken at all. The error is that of a file that is too large.
func Text(ctx context.Context, file []byte, room intake.Room) (text string, notice wording.Message, taken bool, err error) {
	if len(file) > intake.MaxContent {
		return "", wording.Message{}, false, intake.ErrTooLarge
	}
	switch {
	case bytes.HasPrefix(file, []byte("PK\x03\x04")): // a spreadsheet has no lines to mend
		got, err := intake.ReadFile(ctx, file, intake.Options{Room: room, Today: time.Now().UTC()})
		if err != nil {
			return "", wording.Message{}, false, err
		}
		if len(got.Lines) == 0 && len(got.Problems) > 0 { // not a row of it could be read
			return "", wording.Say("page.fileWasNotTaken", got.Problems[0].Message), false, nil
		}
		return string(intake.WriteYAML(got.Event, got.Problems)), wording.Say("page.spreadsheetIsShownAsAnEvent"), true, nil
	case utf8.Valid(file):
		return string(bytes.TrimPrefix(file, []byte("\uFEFF"))), wording.Message{}, true, nil
	case bytes.HasPrefix(file, []byte("\xff\xfe")), bytes.HasPrefix(file, []byte("\xfe\xff")):
		decoded, err := utf16.UTF16(utf16.LittleEndian, utf16.UseBOM).NewDecoder().Bytes(file)
		return string(decoded), wording.Message{}, true, err
	}
	decoded, err := charmap.Windows1252.NewDecoder().Bytes(file)
	return string(decoded), wording.Say("page.fileIsNotUtf8And"), true, err
}
