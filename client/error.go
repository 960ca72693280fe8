package client

import (
	"fmt"
	"strings"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// Error is what a server refused, or why it could not be reached. Test for it with errors.As.
type Error struct {
	// Code is the gRPC code.
	Code codes.Code
	// Reason is the reason of the server's ErrorInfo. Empty when the answer is not the server's own.
	Reason string
	// Metadata are the values in the ErrorInfo, such as how much is allowed; the contract says at each reason which.
	Metadata map[string]string
	// Message says what to change, in plain words.
	Message string
	// Violations name the faulty fields of the request.
	Violations []Violation
	// RetryAfter is when trying again can help. 0 means that the server does not say.
	RetryAfter time.Duration

	status *status.Status
}

// Violation is one faulty field.
type Violation struct{ Field, Code, Text string }

// Error gives the message and each violation on a line of its own.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Message)
	for _, v := range e.Violations {
		b.WriteString("\n  " + v.Field + ": " + v.Text)
	}
	return b.String()
}

// GRPCStatus lets package status see through the error.
func (e *Error) GRPCStatus() *status.Status { return e.status }

// Explain turns the error of a gRPC call into *Error; nil stays nil. The calls of Client have done so
// already; it is for calls of the generated client.
func Explain(err error) error {
	if err == nil {
		return nil
	}
	st, ok := status.FromError(err)
	if !ok {
		return fmt.Errorf("client: %w", err)
	}
	e := &Error{Code: st.Code(), Message: st.Message(), status: st}
	for _, d := range st.Details() {
		switch d := d.(type) {
		case *errdetails.ErrorInfo:
			e.Reason, e.Metadata = d.GetReason(), d.GetMetadata()
		case *errdetails.RetryInfo:
			e.RetryAfter = d.GetRetryDelay().AsDuration()
		case *errdetails.BadRequest:
			for _, v := range d.GetFieldViolations() {
				e.Violations = append(e.Violations, Violation{Field: v.GetField(), Code: v.GetReason(), Text: v.GetDescription()})
			}
		}
	}
	return e
}
