package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/types/known/timestamppb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// livedWedding is the demo as a server would export it after a day on which everything took half as long
// again as usual, and a lunch lay between two photographs.
func livedWedding(t *testing.T, seconds int) string {
	t.Helper()
	content, err := os.ReadFile(wedding)
	require.NoError(t, err)
	p := Program{}
	defer func() { require.NoError(t, p.Close()) }()
	conn, err := p.embed()
	require.NoError(t, err)
	e, _, err := conn.Import(t.Context(), content, 0)
	require.NoError(t, err)
	sheet, err := conn.Plan(t.Context(), e, client.PlanOptions{Budget: 200 * time.Millisecond})
	require.NoError(t, err)
	all := &kinorderv1.ExportEventResponse{
		Versions: []*kinorderv1.StoredEvent{{Name: "events/harbour", Version: 3, Event: e}},
		Runs:     []*kinorderv1.Run{{Name: "events/harbour/runs/one", EventVersion: 3}},
	}
	marks := []*kinorderv1.Mark{{Id: client.NewID(), HappenTime: timestamppb.Now(), Kind: &kinorderv1.Mark_Note{Note: note}}}
	for _, b := range sheet.GetBlocks() {
		at := b.GetStartTime().AsTime()
		mark := func(m *kinorderv1.Mark) {
			m.Id, m.HappenTime = client.NewID(), timestamppb.New(at)
			marks = append(marks, m)
		}
		for k, entry := range b.GetEntries() {
			which := &kinorderv1.GroupingMark{Grouping: entry.GetGrouping(), Block: b.GetBlock()}
			if k == 0 {
				mark(&kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: which}})
			}
			at = at.Add(time.Duration(entry.GetSlotSeconds()*3/2+int32(seconds*(k%3-1))) * time.Second)
			if k == 5 {
				at = at.Add(50 * time.Minute)
			}
			mark(&kinorderv1.Mark{Kind: &kinorderv1.Mark_Taken{Taken: which}})
		}
	}
	all.Marks = []*kinorderv1.RunMarks{{Run: "events/harbour/runs/one", Marks: marks}}
	return file(t, "export-"+strconv.Itoa(seconds)+".json", protojson.MarshalOptions{Multiline: true}.Format(all))
}

func TestMeasureAndPlanByIt(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds: left out with -short")
	}
	one, two := livedWedding(t, 4), livedWedding(t, 9)
	out := filepath.Join(t.TempDir(), "pace.yaml")
	got := run(t, &Program{}, "measure", one, two, "-o", out)
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Regexp(t, `Fitted to 4\d photographs of 2 events`, got.stdout)
	assert.Contains(t, got.stdout, "set aside, as after a break")
	assert.Contains(t, got.stdout, "On events that it had not seen, a photograph was off by")
	assert.Regexp(t, `between photos +\d\d\.\d ± \d\.\d s, usually 24\.0`, got.stdout)
	written, err := os.ReadFile(out)
	require.NoError(t, err)
	for _, secret := range []string{"Amara", "amara", note, "harbour"} {
		assert.NotContains(t, string(written), secret, "a pace file holds no names")
	}

	minutes := func(args ...string) int {
		t.Helper()
		got := run(t, &Program{}, append([]string{"plan", wedding, "--budget", "200ms"}, args...)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		m := regexp.MustCompile(`15:30 to \d\d:\d\d, (\d+) min`).FindStringSubmatch(got.stdout)
		require.NotNil(t, m, got.stdout)
		n, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		return n
	}
	usual, measured := minutes(), minutes("--pace", out)
	assert.Greater(t, float64(measured), 1.3*float64(usual))
	assert.Less(t, float64(measured), 1.7*float64(usual))

	// On the standard output, so that it can be piped.
	got = run(t, &Program{}, "measure", one, two)
	assert.True(t, strings.HasPrefix(got.stdout, "# The pace of a studio"), got.stdout)
	assert.Contains(t, got.stderr, "Fitted to")
}

func TestMeasureUsage(t *testing.T) {
	empty := file(t, "empty.json", `{"versions": [{"event": {"title": "X"}}]}`)
	few := file(t, "few.json", `{"versions": [{"event": {"people": [{"id": "a", "name": "A"}], "groupings": [{"id": "g", "members": ["a"]}]}}],
		"marks": [{"run": "r", "marks": [{"id": "1", "happenTime": "2026-06-20T12:00:00Z", "started": {"grouping": "g"}}, {"id": "2", "happenTime": "2026-06-20T12:01:00Z", "taken": {"grouping": "g"}}]}]}`)
	bad := file(t, "bad.yaml", "pace: {settleSeconds: 99999}\n")
	for args, says := range map[string]string{
		"measure":                                "name files that kinorder events export wrote",
		"measure /no/such.json":                  "no such file",
		"measure " + wedding:                     ":1:1: cannot be read here: use a JSON file that kinorder events export wrote",
		"measure " + file(t, "x.json", "{}"):     "has no event in it",
		"measure " + empty:                       "there is no run in what was read",
		"measure " + few:                         "Too little to fit to: the time of 0 photographs is known, and 20 are needed. The usual pace stays.",
		"plan " + wedding + " --pace " + bad:     "bad.yaml:1:23: error: pace.settleSeconds is 99999: it must be from 0 to 3600.",
		"plan " + wedding + " --pace /no/such":   "no such file",
		"plan " + wedding + " --pace " + wedding: "There is no field \"title\" here",
	} {
		got := run(t, &Program{}, strings.Fields(args)...)
		assert.NotEqual(t, exitDone, got.code, args)
		assert.Contains(t, got.stderr, says, args)
		assert.NotContains(t, got.stderr, note, args)
	}
}

func FuzzParseExport(f *testing.F) {
	f.Add([]byte(`{"versions": [{"version": "1", "event": {"title": "X"}}], "runs": [{"name": "r", "eventVersion": "1"}], "marks": [{"run": "r", "marks": [{"id": "1", "note": "n"}]}]}`))
	f.Add([]byte(`{"versions": [null], "marks": [{"marks": [{}]}]}`))
	f.Fuzz(func(t *testing.T, content []byte) {
		e, err := parseExport(content)
		if err != nil {
			assert.True(t, strings.HasPrefix(err.Error(), ":"), err)
			return
		}
		for _, r := range runsOf(e) {
			require.NotNil(t, r.GetEvent())
			require.NotEmpty(t, r.GetMarks())
		}
	})
}

// The runs that a server keeps are read from there.
func TestMeasureAtAServer(t *testing.T) {
	folder := t.TempDir()
	server := serveProcess(t, "--listen", "127.0.0.1:0", "--data", folder)
	defer server.kill(t)
	studio := filepath.Join(folder, "studio.key")
	with := func(args ...string) []string {
		return append(args, "--server", server.address, "--secret-file", studio)
	}
	got := run(t, &Program{}, with("push", wedding, "--event", "harbour", "--budget", "100ms")...)
	require.Equal(t, exitDone, got.code, got.stderr)
	for _, word := range []string{"start", "taken"} {
		got = run(t, &Program{}, with("mark", "harbour", word, "a-att")...)
		require.Equal(t, exitDone, got.code, got.stderr)
	}
	for _, args := range [][]string{{"measure"}, {"measure", "harbour"}} {
		got = run(t, &Program{}, with(args...)...)
		assert.Equal(t, exitInvalid, got.code)
		assert.Contains(t, got.stderr, "Too little to fit to: the time of 0 photographs is known", "it took no time at all")
	}
	got = run(t, &Program{}, with("measure", "nothing")...)
	assert.Equal(t, exitFailed, got.code)
}
