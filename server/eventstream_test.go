package server

import (
	"bufio"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	rpcstatus "google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// nextEvent reads an event as the standard says that they are written (WHATWG HTML, section 9.2.6), by its fields.
func nextEvent(t *testing.T, lines *bufio.Scanner) map[string]string {
	t.Helper()
	event := map[string]string{}
	for lines.Scan() && lines.Text() != "" {
		name, value, _ := strings.Cut(lines.Text(), ":")
		event[name] += strings.TrimPrefix(value, " ")
	}
	require.NoError(t, lines.Err())
	return event
}

// A run is watched by server-sent events: whoever comes back with the last id hears what is new and nothing again, and how
// it ended.
func TestWatchByServerSentEvents(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	address := pages(t, r)
	studio := r.client.WithSecret(studioKey)
	begun := begin(t, studio)
	watch := func(last string) (*http.Response, *bufio.Scanner) {
		asked, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address+"/v1/"+begun.GetName()+":watch", http.NoBody)
		require.NoError(t, err)
		h := http.Header{"Accept": {"text/event-stream"}, "Accept-Encoding": {"gzip"}}
		if last != "" {
			h["Last-Event-Id"] = []string{last}
		}
		answer := answered(t, asked, studioKey, h)
		lines := bufio.NewScanner(answer.Body)
		lines.Buffer(nil, 1<<20)
		return answer, lines
	}
	heard := func(lines *bufio.Scanner) (string, []string) {
		for {
			event := nextEvent(t, lines)
			var u kinorderv1.RunUpdate
			require.NoError(t, protojson.Unmarshal([]byte(event["data"]), &u), event)
			if len(u.GetMarks()) > 0 {
				var notes []string
				for _, m := range u.GetMarks() {
					notes = append(notes, m.GetNote())
				}
				return event["id"], notes
			}
		}
	}
	answer, lines := watch("")
	assert.Equal(t, "text/event-stream", answer.Header.Get("Content-Type"))
	assert.Empty(t, answer.Header.Get("Trailer"), "that is for gRPC")
	_, err := studio.AddMarks(t.Context(), begun.GetName(), note("first"))
	require.NoError(t, err)
	id, notes := heard(lines)
	assert.Equal(t, []string{"first"}, notes)
	_, err = studio.AddMarks(t.Context(), begun.GetName(), note("second"))
	require.NoError(t, err)
	_, again := watch(id)
	_, notes = heard(again)
	assert.Equal(t, []string{"second"}, notes)
	refused, _ := watch("yesterday")
	assert.Equal(t, http.StatusBadRequest, refused.StatusCode)
	r.stop(t)
	for event := nextEvent(t, lines); ; event = nextEvent(t, lines) {
		if event["event"] == "status" {
			var st rpcstatus.Status
			require.NoError(t, protojson.Unmarshal([]byte(event["data"]), &st))
			assert.NotEmpty(t, st.GetDetails(), "a reason")
			return
		}
		require.NotEmpty(t, event, "the stream ended without a word")
	}
}
