package main

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// Every word of mark does what it says; a mark can be taken back by its id, or as the last.
func TestMark(t *testing.T) {
	studio := file(t, "studio.key", key+"\n")
	server := serveProcess(t, "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", studio)
	defer server.kill(t)
	kinorder := func(args ...string) outcome {
		return run(t, &Program{}, append(args, "--server", server.address, "--secret-file", studio)...)
	}
	got := kinorder("push", wedding, "--event", "harbour", "--budget", "100ms")
	require.Equal(t, exitDone, got.code, got.stderr)
	mark := func(args ...string) (name string, sequence int64, id string) {
		got := kinorder(append([]string{"mark", "harbour"}, args...)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		line := regexp.MustCompile(`^(events/harbour/runs/\S+)  (\d+)  (\S{36})\n$`).FindStringSubmatch(got.stdout)
		require.NotNil(t, line, got.stdout)
		sequence, err := strconv.ParseInt(line[2], 10, 64)
		require.NoError(t, err)
		return line[1], sequence, line[3]
	}
	first, _, _ := mark("start", "a-att")
	for line := range strings.Lines("taken a-att\nback a-att\nstart t-att\nlater a-all\nabsent karim\nlate ola 2026-06-20T16:40:00+02:00\n" +
		"gone maren\narrived karim\nwithout everybody ola maren\nadd Friends ola maren\nnote early") {
		name, _, _ := mark(strings.Fields(line)...)
		assert.Equal(t, first, name, "one run for all")
	}
	_, _, id := mark("taken", "t-att")
	mark("undo", id)
	mark("taken", "t-folks")
	_, last, _ := mark("undo")

	var now client.RunView
	for u, err := range dial(t, server.address).WatchRun(t.Context(), first, 0) {
		require.NoError(t, err)
		if now.Apply(u); now.Sequence >= last && now.Covered >= last {
			break
		}
	}
	states := map[string]string{}
	for id, g := range now.Groupings {
		states[id] = g.GetState().String()
	}
	assert.Equal(t, map[string]string{
		"a-att": "STATE_OPEN", "t-att": "STATE_CURRENT", "a-all": "STATE_LATER", "everybody": "STATE_OPEN",
	}, states)
	assert.Equal(t, kinorderv1.PersonState_STATE_GONE, now.People["maren"].GetState())
	assert.Equal(t, "2026-06-20T14:40:00Z", now.People["ola"].GetUntilTime().AsTime().Format(time.RFC3339))
	assert.Len(t, now.People, 2, "Karim arrived")
	require.Len(t, now.Added, 1)
	assert.Equal(t, []string{"ola", "maren"}, now.Added[0].GetMembers())
	require.Len(t, now.Notes(), 1)
	assert.Equal(t, "early", now.Notes()[0].GetNote())

	got = kinorder("mark", "harbour", "taken", "nothing")
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "taken.grouping: is not in the event")
	fresh, _, _ := mark("--new", "taken", "a-att")
	assert.NotEqual(t, first, fresh)
	mark("undo")
	assert.Contains(t, kinorder("mark", "harbour", "undo").stderr, "there is nothing to undo")
	again, _, _ := mark("--run", first, "later", "t-att")
	assert.Equal(t, first, again)
}

func TestMarkUsage(t *testing.T) {
	for args, says := range map[string]string{
		"mark x":              "requires at least 2 arg",
		"mark x taken":        "write taken GROUPING; 0 given",
		"mark x undo y z":     "write undo [MARK]; 2 given",
		"mark x without y":    "name the server",
		"mark x add y":        "write add TITLE MEMBER [MEMBER...]; 1 given",
		"mark x late y 16:40": `"16:40" is no such time`,
		"mark x wait":         "the words are start, taken",
	} {
		got := run(t, &Program{}, strings.Fields(args)...)
		assert.Equal(t, exitInvalid, got.code, args)
		assert.Contains(t, got.stderr, says, args)
	}
	assert.Contains(t, run(t, &Program{}, "__complete", "mark", "x", "").stdout, "taken\tit is finished\n")
	assert.NotContains(t, run(t, &Program{}, "__complete", "mark", "x", "taken", "").stdout, "finished")
}
