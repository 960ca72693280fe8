//go:build unix

package server

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"slices"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// twenty is an event of 20 photographs: families of four, each by itself, and with those before them.
func twenty() *kinorderv1.Event {
	e := &kinorderv1.Event{People: []*kinorderv1.Person{{Id: "host", Name: "Host"}}}
	var before []string
	for f := range 10 {
		var family []string
		for p := range 4 {
			id := fmt.Sprintf("p%d-%d", f, p)
			e.People = append(e.People, &kinorderv1.Person{Id: id, Name: fmt.Sprintf("Person %d of %d", p, f)})
			family = append(family, id)
		}
		both := slices.Concat(before, family)
		e.Groupings = append(e.Groupings, &kinorderv1.Grouping{Id: fmt.Sprint("f", f), Members: family}, &kinorderv1.Grouping{Id: fmt.Sprint("g", f), Members: append(both, "host")})
		before = family
	}
	return e
}

// listening starts a server with both of its addresses.
func listening(b *testing.B, c Config) (calls, page string) {
	b.Helper()
	s, err := New(c)
	require.NoError(b, err)
	served := make(chan error, 2)
	open := func(serve func(net.Listener) error) string {
		lis, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(b, err)
		go func() { served <- serve(lis) }()
		return lis.Addr().String()
	}
	calls, page = open(s.Serve), open(s.ServePages)
	b.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		_ = s.Close(ctx)
		<-served
		<-served
	})
	return calls, page
}

// spent is how long cores have worked for this process. On a machine that has other things to do it tells more than seconds.
func spent() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u) // which cannot fail for the process itself
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// Plans of 20 photographs a second, by as many callers as there are places for, in each protocol.
func BenchmarkPlansOfTwenty(b *testing.B) {
	calls, page := listening(b, Config{})
	asJSON, err := protojson.Marshal(twenty())
	require.NoError(b, err)
	asProto, err := proto.Marshal(&kinorderv1.PlanRequest{Event: twenty()})
	require.NoError(b, err)
	conn, err := client.Dial(calls)
	require.NoError(b, err)
	defer conn.Close()
	post := func(path, kind string, body []byte) error {
		answer, err := http.Post("http://"+page+path, kind, bytes.NewReader(body))
		if err != nil {
			return err
		}
		defer answer.Body.Close()
		if content, err := io.ReadAll(answer.Body); err != nil || answer.StatusCode != http.StatusOK {
			return fmt.Errorf("%d %s %w", answer.StatusCode, content, err)
		}
		return nil
	}
	for _, by := range []struct {
		name string
		plan func() error
	}{
		{"gRPC", func() error {
			_, err := conn.Plan(b.Context(), twenty(), client.PlanOptions{})
			return err
		}},
		{"JSON", func() error { return post("/v1/events:plan", "application/json", asJSON) }},
		{"Connect", func() error { return post("/kinorder.v1.Planner/Plan", "application/proto", asProto) }},
		{"gRPC-Web", func() error {
			return post("/kinorder.v1.Planner/Plan", "application/grpc-web+proto", enveloped(asProto))
		}},
	} {
		b.Run(by.name, func(b *testing.B) {
			b.SetParallelism(2)
			before := spent()
			b.RunParallel(func(p *testing.PB) {
				for p.Next() {
					if err := by.plan(); err != nil {
						b.Error(err)
					}
				}
			})
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "plans/s")
			b.ReportMetric(float64((spent()-before).Microseconds())/float64(b.N)/1000, "cpu-ms/plan") // of callers too
		})
	}
}

// From a mark to the plan that heeds it while callers have the server plan as much as it takes.
func BenchmarkReplanWhilePlansSaturate(b *testing.B) {
	calls, _ := listening(b, Config{Data: b.TempDir(), StudioKey: studioKey})
	conn, err := client.Dial(calls)
	require.NoError(b, err)
	defer conn.Close()
	ctx, studio := b.Context(), conn.WithSecret(studioKey)
	kept, err := studio.CreateEvent(ctx, "twenty", twenty())
	require.NoError(b, err)
	sheet, err := studio.CreateSheet(ctx, kept.GetName(), client.PlanOptions{})
	require.NoError(b, err)
	r, err := studio.CreateRun(ctx, kept.GetName(), sheet.GetName())
	require.NoError(b, err)
	covered := make(chan int64, 1000)
	go func() {
		for u, err := range studio.WatchRun(ctx, r.GetName(), 0) {
			if err != nil {
				return
			}
			if u.GetOutlook() != nil {
				covered <- u.GetCoveredSequence()
			}
		}
	}()
	<-covered
	loading, stop := context.WithCancel(ctx)
	var load sync.WaitGroup
	for range 2 * runtime.GOMAXPROCS(0) {
		load.Go(func() {
			for loading.Err() == nil {
				_, _ = conn.Plan(loading, twenty(), client.PlanOptions{})
			}
		})
	}
	var took []time.Duration
	for i := 0; b.Loop(); i++ {
		began := time.Now()
		sequence, err := studio.AddMarks(ctx, r.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: &kinorderv1.GroupingMark{Grouping: fmt.Sprint("f", i%10)}}})
		require.NoError(b, err)
		for <-covered < sequence {
		}
		took = append(took, time.Since(began))
	}
	stop()
	load.Wait()
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Milliseconds()), "p50-ms")
	b.ReportMetric(float64(took[len(took)*99/100].Milliseconds()), "p99-ms")
}
