package event

import (
	"strings"

	"kinorder.example/server/internal/wording"
)

// InvalidError says that an event cannot be planned as it is. Test for it with errors.As.
type InvalidError struct {
	// Faults holds at least one advice of severity Error.
	Faults []Advice
}

// Error names places and codes only: its text can reach a log, the texts of the faults cannot.
func (e *InvalidError) Error() string {
	parts := make([]string, 0, len(e.Faults))
	for _, f := range e.Faults {
		parts = append(parts, f.Field+": "+f.Code)
	}
	return "invalid event: " + strings.Join(parts, "; ")
}

// InfeasibleError says that no plan keeps all wishes. Test for it with errors.As.
type InfeasibleError struct {
	// Message says in plain words which wishes clash.
	Message wording.Message
	// Subjects are the ids of the groupings, blocks and people that clash.
	Subjects []string
}

// Infeasible makes an InfeasibleError.
func Infeasible(subjects []string, m wording.Message) *InfeasibleError {
	return &InfeasibleError{Message: m, Subjects: subjects}
}

// Error names ids only.
func (e *InfeasibleError) Error() string {
	return "no plan keeps all wishes: " + strings.Join(e.Subjects, ", ")
}

// Faults returns the advice of severity Error.
func Faults(advice []Advice) []Advice {
	var faults []Advice
	for _, a := range advice {
		if a.Severity == Error {
			faults = append(faults, a)
		}
	}
	return faults
}
