package intake

import (
	"bytes"
	"regexp"

	"kinorder.example/server/internal/intake/table"
)

var (
	// yamlList is a line of YAML that only an event has, and yamlField one that makes sure of it: a
	// typed list may have the heading "people:" too.
	yamlList  = regexp.MustCompile(`(?m)^\s*"?(?:people|groupings|circles|sides|blocks|rules|walks|pace|weights)"?\s*:`)
	yamlField = regexp.MustCompile(`(?m)(?:^|[{,\s-])"?(?:id|name|members|label|heightCm|ageBand|opens|settleSeconds)"?\s*:`)
	// chatLine is how messengers write out a chat: "[09:14, 02/06/2026] Ida: ...".
	chatLine = regexp.MustCompile(`^\[\d{1,4}[./:-]\d`)
	yamlOwn  = regexp.MustCompile(`^(?:%YAML|---\s|\{|\[|&\w|!|[\w-]+\s*:\s*[\[{|>&*!"'])`)
)

// IsTyped reports whether what is written is a typed list, and no table or event file.
func IsTyped(text string) bool { return guess([]byte(text)) == List }

// guess tells the format of a file from its content. JSON starts with a bracket, then a quotation mark
// or the other bracket.
func guess(content []byte) Format {
	text := bytes.TrimSpace(bytes.TrimPrefix(content, []byte("\uFEFF")))
	decoded, _ := decode(content)
	if table.BeginsPart(decoded) {
		return CSV
	}
	switch {
	case bytes.HasPrefix(content, []byte("PK\x03\x04")):
		return XLSX
	case len(text) == 0:
		return YAML
	case chatLine.Match(text) && !bytes.HasSuffix(text, []byte("]")):
		return List
	case text[0] == '{' || text[0] == '[':
		next := bytes.TrimSpace(text[1:])
		if len(next) == 0 || bytes.IndexByte([]byte(`"}]{`), next[0]) >= 0 {
			return JSON
		}
	}
	if yamlList.Match(text) && yamlField.Match(text) || yamlOwn.Match(text) {
		return YAML
	}
	if _, aligned := table.Aligned(decoded); aligned || table.LooksLikeCSV(decoded) {
		return CSV
	}
	return List
}
