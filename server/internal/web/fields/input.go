package fields

import "strings"

// Input is one field of a page.
type Input struct {
	ID, Label, Value, Kind, Hint string
	Faults                       []string
	Focus                        bool
	List                         string
}

// KindFor keeps a value that its kind of field could not show: a time with a date stays text.
func KindFor(kind, value string) string {
	plain := strings.Count(value, ":") == 1 && len(value) == len("15:04")
	if kind == "time" && value != "" && !plain {
		return "text"
	}
	if kind == "date" && value != "" && (len(value) != len("2006-01-02") || strings.Count(value, "-") != 2) {
		return "text"
	}
	return kind
}
