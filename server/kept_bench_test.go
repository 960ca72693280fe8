package server

import (
	"fmt"
	"net"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// From a mark to the new sheet at three viewers, over TCP on this machine: of 26 groupings one is being
// called and 25 are left.
func BenchmarkMarkToEveryViewer(b *testing.B) {
	s, err := New(Config{Data: b.TempDir(), StudioKey: studioKey})
	require.NoError(b, err)
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	served := make(chan error, 1)
	go func() { served <- s.Serve(lis) }()
	content, err := os.ReadFile("../testdata/harbour-wedding.yaml")
	require.NoError(b, err)
	dialled := func() *client.Client {
		c, err := client.Dial(lis.Addr().String())
		require.NoError(b, err)
		b.Cleanup(func() { _ = c.Close() })
		return c.WithSecret(studioKey)
	}
	ctx := b.Context()
	lead := dialled()
	e, _, err := lead.Import(ctx, content, kinorderv1.ImportFormat_IMPORT_FORMAT_YAML)
	require.NoError(b, err)
	kept, err := lead.CreateEvent(ctx, "harbour", e)
	require.NoError(b, err)
	sheet, err := lead.CreateSheet(ctx, kept.GetName(), client.PlanOptions{})
	require.NoError(b, err)
	r, err := lead.CreateRun(ctx, kept.GetName(), sheet.GetName())
	require.NoError(b, err)
	const viewers = 3
	covered := make([]chan int64, viewers)
	for v := range viewers {
		covered[v] = make(chan int64, 1000)
		viewer := dialled()
		go func() {
			for u, err := range viewer.WatchRun(ctx, r.GetName(), 0) {
				if err != nil {
					return
				}
				if u.GetOutlook() != nil {
					covered[v] <- u.GetCoveredSequence()
				}
			}
		}()
		<-covered[v]
	}
	entries := sheet.GetSheet().GetBlocks()[0].GetEntries()
	for i := 0; b.Loop(); i++ {
		mark := &kinorderv1.GroupingMark{Grouping: entries[i%len(entries)].GetGrouping()}
		sequence, err := lead.AddMarks(ctx, r.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: mark}})
		require.NoError(b, err, fmt.Sprint(i))
		for v := range viewers {
			for <-covered[v] < sequence {
			}
		}
	}
	b.StopTimer()
	require.NoError(b, s.Close(b.Context()))
	require.NoError(b, <-served)
}
