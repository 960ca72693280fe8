package main

import (
	"context"
	"fmt"
	"net"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// balanced starts haproxy in front of servers, as server/README.md shows it, and returns its address.
func balanced(t *testing.T, servers ...*process) string {
	t.Helper()
	program, err := exec.LookPath("haproxy")
	if err != nil {
		missing(t, "haproxy, which stands in front of the servers, is not installed")
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	address := lis.Addr().String()
	require.NoError(t, lis.Close())
	config := block(t, documents(t)["server/README.md"], "haproxy divides calls", "")
	config = strings.ReplaceAll(config, "bind :7465", "bind "+address)
	for i, s := range servers {
		config = strings.ReplaceAll(config, fmt.Sprintf("192.168.1.%d:7465", 11+i), s.address)
	}
	out := &strings.Builder{}
	c := exec.Command(program, "-db", "-f", file(t, "haproxy.cfg", config))
	c.Stdout, c.Stderr = out, out
	require.NoError(t, c.Start())
	t.Cleanup(func() { _ = c.Process.Kill(); _ = c.Wait() })
	require.Eventually(t, func() bool {
		conn, err := net.Dial("tcp", address)
		if err == nil {
			_ = conn.Close()
		}
		return err == nil
	}, 20*time.Second, 20*time.Millisecond, "haproxy does not listen: %s", out)
	return address
}

// Two servers on one database stand behind a balancer, and one of them is killed while phones mark and watch: every viewer
// sees every mark that was taken in, once and in their order.
func TestAServerIsKilledBehindABalancer(t *testing.T) {
	flags := []string{"--listen", "127.0.0.1:0", "--postgres", database(t), "--key-file", file(t, "studio.key", key+"\n")}
	one, other := serveProcess(t, flags...), serveProcess(t, flags...)
	defer other.kill(t)
	address := balanced(t, one, other)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	conn := dial(t, address)
	e, sheet := party(t, conn)
	r, err := conn.CreateRun(ctx, e.GetName(), sheet.GetName())
	require.NoError(t, err)

	const viewers, marks = 8, 60
	seen := make([][]string, viewers)
	done := make(chan struct{}, viewers)
	for i := range viewers {
		viewer := dial(t, address)
		go func() {
			defer func() { done <- struct{}{} }()
			for u, err := range viewer.WatchRun(ctx, r.GetName(), 0) {
				if !assert.NoError(t, err) {
					return
				}
				for _, m := range u.GetMarks() {
					seen[i] = append(seen[i], m.GetId())
				}
				if len(seen[i]) >= marks {
					return
				}
			}
		}()
	}
	var sent []string
	for i := range marks {
		if i == marks/3 {
			one.kill(t)
		}
		m := &kinorderv1.Mark{Id: client.NewID(), Kind: &kinorderv1.Mark_Note{Note: "note"}}
		require.Eventually(t, func() bool {
			_, err := conn.AddMarks(ctx, r.GetName(), m)
			return err == nil
		}, 20*time.Second, 20*time.Millisecond)
		sent = append(sent, m.GetId())
	}
	for range viewers {
		select {
		case <-done:
		case <-time.After(60 * time.Second):
			cancel()
			require.Fail(t, "a viewer misses marks")
		}
	}
	for i := range viewers {
		assert.True(t, slices.Equal(sent, seen[i]), "viewer %d", i)
	}
}
