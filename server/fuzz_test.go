package server

import (
	"context"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// Whatever is sent as JSON, as a query and as a path is answered or refused, and is never a fault of the server.
func FuzzJSONOverHTTP(f *testing.F) {
	r := start(f, Config{}, func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
		return event.CallSheet{Totals: event.Totals{Groupings: 1}}, nil
	})
	address := pages(f, r)
	defer r.stop(f)
	f.Add("events:plan", "budget=2s", `{"people":[{"id":"a","name":"A"},{"id":"b","name":"B"}],"groupings":[{"id":"g","members":["a","b"]}]}`)
	f.Add("events:check", "", `{"title":"\ud800","blocks":[{"opens":1e400}]}`)
	f.Add("events:plan", "budget=2&emphasis=LAPWING&available=&&=%zz", `{"people":[{},null,[]]}`)
	f.Add("events:import", "format=IMPORT_FORMAT_LIST&columns[a]=b", `{"content":"QW5u","format":4}`)
	f.Add("events/party/runs/1:marks", "page_token=====", strings.Repeat("[", 200))
	f.Fuzz(func(t *testing.T, path, query, body string) {
		q, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+"/v1/"+path+"?"+query, strings.NewReader(body))
		if err != nil {
			return
		}
		q.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(q)
		if err != nil {
			return // no path that can be sent
		}
		defer answer.Body.Close()
		said, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.NotEqual(t, http.StatusInternalServerError, answer.StatusCode, string(said))
	})
}
