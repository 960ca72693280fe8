package main

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// Two hundred viewers, each with a connection of its own, of a run with 5,120 notes: the memory of the server at
// its peak, and from a mark to the mark and to the new plan at every viewer.
func BenchmarkManyViewers(b *testing.B) {
	const viewers, notes, marks = 200, 5120, 20
	server := serveProcess(b, "--data", b.TempDir(), "--key-file", file(b, "studio.key", key+"\n"))
	defer server.kill(b)
	dialled := func() *client.Client {
		c, err := client.Dial(server.address)
		require.NoError(b, err)
		b.Cleanup(func() { _ = c.Close() })
		return c.WithSecret(key)
	}
	lead := dialled()
	r, entries := harbour(b, lead)
	for range notes / 512 {
		var list []*kinorderv1.Mark
		for range 512 {
			list = append(list, &kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: strings.Repeat("x", 100)}})
		}
		for chunk := range slices.Chunk(list, 256) {
			_, err := lead.AddMarks(b.Context(), r, chunk...)
			require.NoError(b, err)
		}
	}
	type seen struct {
		sequence, covered int64
		at                time.Time
	}
	all := make([]chan seen, viewers)
	var failed atomic.Int64
	began := time.Now()
	for v := range viewers {
		all[v] = make(chan seen, 1000)
		viewer := dialled()
		go func() {
			for u, err := range viewer.WatchRun(b.Context(), r, 0) {
				if err != nil {
					failed.Add(1)
					return
				}
				all[v] <- seen{u.GetSequence(), u.GetCoveredSequence(), time.Now()}
			}
		}()
	}
	for _, v := range all {
		for s := range v {
			if s.sequence > notes {
				break
			}
		}
	}
	b.ReportMetric(time.Since(began).Seconds(), "s-to-join")
	var told, planned []time.Duration
	for i := range marks {
		mark := &kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: &kinorderv1.GroupingMark{Grouping: entries[i%len(entries)].GetGrouping()}}}
		sent := time.Now()
		sequence, err := lead.AddMarks(b.Context(), r, mark)
		require.NoError(b, err)
		for _, v := range all {
			heard := false
			for s := range v {
				if !heard && s.sequence >= sequence {
					heard = true
					told = append(told, s.at.Sub(sent))
				}
				if s.covered >= sequence {
					planned = append(planned, s.at.Sub(sent))
					break
				}
			}
		}
	}
	require.Zero(b, failed.Load())
	for name, list := range map[string][]time.Duration{"mark": told, "plan": planned} {
		slices.Sort(list)
		b.ReportMetric(list[len(list)/2].Seconds(), "s-to-"+name+"-p50")
		b.ReportMetric(list[len(list)*95/100].Seconds(), "s-to-"+name+"-p95")
	}
	b.ReportMetric(peak(b, server.cmd.Process.Pid), "MiB-peak")
	b.ReportMetric(0, "ns/op")
}

// harbour keeps the harbour wedding and begins a run of it.
func harbour(b *testing.B, c *client.Client) (run string, entries []*kinorderv1.SheetEntry) {
	content, err := os.ReadFile(wedding)
	require.NoError(b, err)
	e, _, err := c.Import(b.Context(), content, kinorderv1.ImportFormat_IMPORT_FORMAT_YAML)
	require.NoError(b, err)
	kept, err := c.CreateEvent(b.Context(), "harbour", e)
	require.NoError(b, err)
	sheet, err := c.CreateSheet(b.Context(), kept.GetName(), client.PlanOptions{})
	require.NoError(b, err)
	r, err := c.CreateRun(b.Context(), kept.GetName(), sheet.GetName())
	require.NoError(b, err)
	return r.GetName(), sheet.GetSheet().GetBlocks()[0].GetEntries()
}

var highWater = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// peak is the most memory that a process has had, in MiB.
func peak(b *testing.B, pid int) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		b.Skip("the system does not say how much memory a process has")
	}
	m := highWater.FindSubmatch(status)
	require.NotNil(b, m)
	kilobytes, err := strconv.Atoi(string(m[1]))
	require.NoError(b, err)
	return float64(kilobytes) / 1024
}
