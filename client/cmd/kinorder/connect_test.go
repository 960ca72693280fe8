package main

import (
	"context"
	"net"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// Every command that calls a server names it, trusts it and shows a secret in the same way.
func TestOneWayToConnect(t *testing.T) {
	certificate, private := selfMade(t)
	secret := file(t, "k", key)
	server := serveProcess(t, "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", secret, "--tls-cert", certificate, "--tls-key", private)
	defer server.kill(t)
	_, port, err := net.SplitHostPort(server.address)
	require.NoError(t, err)
	event := file(t, "event.yaml", written)
	for _, args := range []string{
		"check " + event, "plan " + event, "import " + event, "arrange " + event + " both",
		"push " + event + " --event party", "events", "share party --role lead", "mark party note x",
	} {
		flags := strings.Fields(args + " --server https://127.0.0.1:" + port + " --secret-file " + secret)
		got := run(t, &Program{}, append(flags, "--ca-file", certificate)...)
		assert.Equal(t, exitDone, got.code, "%s: %s", args, got.stderr)
		got = run(t, &Program{}, flags...)
		assert.Equal(t, exitFailed, got.code, args)
		assert.Contains(t, got.stderr, "with --ca-file", args)
	}
}

func TestConnectRefuses(t *testing.T) {
	event := file(t, "event.yaml", written)
	for args, says := range map[string]string{
		"check " + event + " --ca-file x":                                     "name it with --server",
		"plan " + event + " --secret-file x":                                  "name it with --server",
		"check " + event + " --server http://localhost:1 --ca-file x":         "write https:// before localhost:1",
		"check " + event + " --server localhost:1,b.example:2":                "write https:// or http:// before each",
		"check " + event + " --server https://a.example:1 --ca-file " + event: "holds no certificate",
	} {
		got := run(t, &Program{}, strings.Fields(args)...)
		assert.Equal(t, exitInvalid, got.code, args)
		assert.Contains(t, got.stderr, says, args)
	}
}

// Whoever asks in a wrong way is told which.
func TestWrongWaysToConnect(t *testing.T) {
	event := file(t, "event.yaml", written)
	server := serveProcess(t, "--listen", "127.0.0.1:0")
	defer server.kill(t)
	got := run(t, &Program{}, "check", event, "--server", "https://"+server.address)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.stderr, "it does not speak TLS: leave https:// out")
	for message, says := range map[string]string{
		"error reading server preface: read tcp 127.0.0.1:1->127.0.0.1:2: i/o timeout": "may be another program", "error reading server preface: EOF": "write https:// before",
		"connection refused": "run kinorder serve there",
	} {
		assert.Contains(t, unanswered(message), says)
	}
}

// No call of the program waits for ever for a server that says nothing.
func TestCallsHaveADeadline(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		silent := func(ctx context.Context, _ string, _, _ any, _ *grpc.ClientConn, _ ...grpc.CallOption) error {
			<-ctx.Done()
			return status.FromContextError(ctx.Err()).Err()
		}
		own, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		for _, tt := range []struct {
			ctx    context.Context
			method string
			want   time.Duration
		}{
			{own, kinorderv1.Planner_Render_FullMethodName, time.Second},
			{t.Context(), kinorderv1.Runs_AddMarks_FullMethodName, callTime},
			{t.Context(), kinorderv1.Planner_Render_FullMethodName, longTime},
		} {
			began := time.Now()
			err := inTime(tt.ctx, tt.method, nil, nil, nil, silent)
			assert.Equal(t, codes.DeadlineExceeded, status.Code(err))
			assert.Equal(t, tt.want, time.Since(began), tt.method)
		}
	})
	p := &Program{address: "localhost:7465"}
	said := p.refused(client.Explain(status.Error(codes.DeadlineExceeded, "context deadline exceeded")))
	assert.EqualError(t, said, "the kinorder server at localhost:7465 did not answer in time: try again")
}
