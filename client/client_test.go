package client

import (
	"context"
	"errors"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/types/known/durationpb"
)

func TestParse(t *testing.T) {
	tests := []struct{ address, target, security string }{
		{"localhost:7465", "localhost:7465", "insecure"},
		{"127.0.0.1:1", "127.0.0.1:1", "insecure"},
		{"[::1]:1", "[::1]:1", "insecure"},
		{"studio.example:443", "studio.example:443", "tls"},
		{"192.0.2.7:443", "192.0.2.7:443", "tls"},
		{"http://192.0.2.7:80", "192.0.2.7:80", "insecure"},
		{"https://localhost:443", "localhost:443", "tls"},
		{"a.example:443, https://b.example:443", "a.example:443 b.example:443", "tls"},
		{"localhost:1,http://192.0.2.7:80", "localhost:1 192.0.2.7:80", "insecure"},
	}
	for _, tt := range tests {
		targets, transport, err := parse(tt.address)
		require.NoError(t, err, tt.address)
		assert.Equal(t, tt.target, strings.Join(targets, " "))
		assert.Equal(t, tt.security, transport.Info().SecurityProtocol, tt.address)
	}
	for _, address := range []string{"", "localhost", ":80", "host:", "http://", "http://https://a:1", "a:b:c"} {
		_, err := Dial(address)
		assert.ErrorContains(t, err, "write host and port", address)
	}
	_, err := Dial("localhost:1,a.example:443")
	assert.ErrorContains(t, err, "write https:// or http:// before each")
}

func TestExplain(t *testing.T) {
	st, err := status.New(codes.InvalidArgument, "mend it").WithDetails(
		&errdetails.ErrorInfo{Reason: "INVALID_EVENT", Domain: "kinorder.example"},
		&errdetails.BadRequest{FieldViolations: []*errdetails.BadRequest_FieldViolation{
			{Field: "event.date", Reason: "BAD_DATE", Description: "write year-month-day"},
		}},
		&errdetails.RetryInfo{RetryDelay: durationpb.New(time.Minute)},
	)
	require.NoError(t, err)
	var e *Error
	require.ErrorAs(t, Explain(st.Err()), &e)
	assert.Equal(t, Error{
		Code: codes.InvalidArgument, Reason: "INVALID_EVENT", Message: "mend it", RetryAfter: time.Minute,
		Violations: []Violation{{"event.date", "BAD_DATE", "write year-month-day"}}, status: e.status,
	}, *e)
	assert.Equal(t, "mend it\n  event.date: write year-month-day", e.Error())
	assert.Equal(t, codes.InvalidArgument, status.Code(e))

	assert.NoError(t, Explain(nil))
	other := errors.New("other")
	assert.ErrorIs(t, Explain(other), other)
}

func TestClientThatCannotReachItsServer(t *testing.T) {
	c, err := Dial("127.0.0.1:1") // tcpmux: nobody listens there
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	_, err = c.Check(ctx, nil)
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, codes.Unavailable, e.Code)
	for _, err := range c.PlanStream(ctx, nil, PlanOptions{}) {
		require.ErrorAs(t, err, &e)
		assert.Equal(t, codes.Unavailable, e.Code)
	}
	require.NoError(t, c.Close())
	assert.NoError(t, New(nil).Close(), "a connection of the caller's stays open")
}

func TestNewID(t *testing.T) {
	// The layout of RFC 9562, section 5.7: version 7, variant 10, milliseconds in front.
	before, id, after := time.Now().UnixMilli(), NewID(), time.Now().UnixMilli()
	require.Regexp(t, `^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`, id)
	ms, err := strconv.ParseInt(id[:8]+id[9:13], 16, 64)
	require.NoError(t, err)
	assert.True(t, before <= ms && ms <= after)
	assert.NotEqual(t, id, NewID())
}
