package server

import (
	"bufio"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// forReaders are the fields that may come to a reader. Any other that does fails the test; see the lists of
// package access for what each is about.
var forReaders = map[protoreflect.Name]string{
	"StoredEvent": "name etag create_time update_time version display_name event",
	"Event":       "title date time_zone sides people circles groupings blocks",
	"Side":        "id label",
	"Person":      "id name say_as side needs absent",
	"Circle":      "id title members leader",
	"Grouping":    "id title members without each_of blocks frames priority", // of one added on the day, always the usual
	"Block":       "id title place opens closes",
	"StoredSheet": "name event_version create_time sheet",
	"CallSheet":   "blocks left_out people totals",
	"SheetBlock":  "block start_time finish_time step_ins entries minutes length_seconds safe_finish_time safe_length_seconds",
	"SheetEntry": "grouping title start_time minutes step_in step_out stay released standby frames offset_seconds slot_seconds " +
		"wait_seconds safe_start_time safe_offset_seconds",
	"LeftOut":      "grouping priority",
	"PersonTimes":  "person call_time release_time times_in idle_minutes idle_seconds groupings",
	"Totals":       "groupings step_ins minutes length_seconds",
	"Run":          "name sheet event_version create_time sequence",
	"Mark":         "id happen_time receive_time device_time started taken put_back skipped absent arrived gone late added without undone block leaving",
	"GroupingMark": "grouping block",
	"LateMark":     "person until_time",
	"BlockMark":    "block open_time close_time closed",
	"OrderChange":  "text wording",
	"Wording":      "key arguments",

	"WordingArgument": "titled wording list number",
	"WordingList":     "join items",
	"WithoutMark":     "grouping people",
	"RunChange":       "groupings people added removed undoable blocks",
	"GroupingState":   "grouping state block start_time finish_time without",
	"PersonState":     "person state since_time until_time",
	"Outlook":         "make_time sheet next owed forecasts changes",
	"Owed":            "grouping title priority planned needed missing offer_without later",
	"Forecast":        "block close_time finish_time safe_finish_time over drop pace timed",
}

// checkForReader looks at every field that an answer sets, at any depth.
func checkForReader(t *testing.T, m protoreflect.Message) {
	m.Range(func(f protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		d := m.Descriptor()
		if d.ParentFile().Package() != "kinorder.v1" || strings.HasPrefix(string(d.Name()), "List") || d.Name() == "RunUpdate" {
			// Lists and updates hold what is looked at below.
		} else if !strings.Contains(" "+forReaders[d.Name()]+" ", " "+string(f.Name())+" ") {
			assert.Fail(t, "not for readers", "%s.%s = %v", d.Name(), f.Name(), v)
		}
		switch {
		case f.Message() == nil || f.IsMap():
		case f.IsList():
			for i := range v.List().Len() {
				checkForReader(t, v.List().Get(i).Message())
			}
		default:
			checkForReader(t, v.Message())
		}
		return true
	})
}

// secrets are in what a reader must not learn; the people and photographs have plain names.
var secrets = []string{marker, "LAPWING"}

// secretive is an event with all that is private filled in.
func secretive() *kinorderv1.Event {
	weight := int32(971)
	e := party()
	e.Date, e.TimeZone = time.Now().UTC().Format(time.DateOnly), "UTC"
	e.Sides = []*kinorderv1.Side{{Id: "a", Label: "Ann's side"}}
	e.Circles = []*kinorderv1.Circle{{Id: "three", Title: "Three", Members: []string{"ann", "bo", "cy"}, Leader: "cy"}}
	e.Kit = &kinorderv1.Kit{SensorWidthMm: 36, SensorHeightMm: 24, Lenses: []*kinorderv1.Lens{{Title: marker, FocalMm: 24, FocalToMm: 70, Widest: 2.8}}}
	e.Blocks = []*kinorderv1.Block{{Id: "garden", Title: "Garden", Place: "Lawn", Photographer: marker, Opens: "23:00", StandBackCm: 900, StepFree: true}}
	e.Weights = &kinorderv1.Weights{Step: &weight}
	for i, p := range e.People {
		p.Nicknames, p.Relation, p.PrivateNote, p.HeightCm = []string{marker + string(rune('a'+i))}, marker, marker, int32(171+i)
	}
	e.People[1].Needs = append(e.People[1].Needs, kinorderv1.Need_NEED_INTERPRETER)
	e.People[1].Interpreter = "cy"
	e.People[0].PresentUntil = "23:50"
	return e
}

// What a reader gets by every call and every page holds nothing that is private, and no error and no log of
// anybody does.
func TestReadersSeeNoMore(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	ctx := t.Context()
	studio := r.client.WithSecret(studioKey)
	e, err := studio.CreateEvent(ctx, "party", secretive())
	require.NoError(t, err)
	sheet, err := studio.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	require.NotNil(t, sheet.GetSheet().GetBlocks()[0].GetEntries()[0].GetLens(), "there is something to hide")
	begun, err := studio.CreateRun(ctx, e.GetName(), sheet.GetName())
	require.NoError(t, err)
	_, err = studio.AddMarks(ctx, begun.GetName(),
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: marker}},
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Added{Added: &kinorderv1.Grouping{Id: "x", Members: []string{"cy"}, PrivateNote: marker}}},
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Absent{Absent: "bo"}})
	require.NoError(t, err)
	link, err := studio.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_READER, "Aunt", time.Time{})
	require.NoError(t, err)
	reader := r.client.WithSecret(link.GetSecret())

	var all strings.Builder
	look := func(m proto.Message, err error) {
		t.Helper()
		require.NoError(t, err)
		checkForReader(t, m.ProtoReflect())
		all.WriteString(protojson.Format(m))
	}
	event, err := reader.Event(ctx, e.GetName())
	look(event, err)
	event, err = reader.EventAt(ctx, e.GetName(), 1)
	look(event, err)
	kept, err := reader.Sheet(ctx, sheet.GetName())
	look(kept, err)
	one, err := reader.Run(ctx, begun.GetName())
	look(one, err)
	for listed, err := range reader.Events(ctx) {
		look(listed, err)
	}
	mine := shown{r.conn, link.GetSecret()}
	sheets, err := kinorderv1.NewSheetsClient(mine).ListSheets(ctx, &kinorderv1.ListSheetsRequest{Parent: e.GetName()})
	look(sheets, err)
	runs, err := kinorderv1.NewRunsClient(mine).ListRuns(ctx, &kinorderv1.ListRunsRequest{Parent: e.GetName()})
	look(runs, err)
	all.WriteString(everySheet(t, r.client, event.GetEvent(), kept.GetSheet()))
	all.WriteString(forTheReader(t, r.client, secretive(), sheet.GetSheet()))
	for u, err := range reader.WatchRun(ctx, begun.GetName(), 0) {
		look(u, err)
		if len(u.GetOutlook().GetOwed()) == 4 {
			break
		}
	}
	all.WriteString(dayPages(t, r, link, begun))
	for _, secret := range secrets {
		assert.NotContains(t, all.String(), secret)
	}
	for _, word := range []string{"ELDER", "STEP_FREE", "INTERPRETER", "stepFree", "interpreter", `"near":[`, "\"near\": [\n", "relation"} {
		assert.NotContains(t, all.String(), word)
	}
	assert.Contains(t, all.String(), "NEED_SEAT")
	refusedToReaders(t, r, link.GetSecret(), seenByReaders)
	family, err := studio.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_FAMILY, "Gran", time.Time{})
	require.NoError(t, err)
	refusedToReaders(t, r, family.GetSecret(), "")
	refusals(t, r, begun, link.GetSecret())
	for _, secret := range append(secrets, "party") { // ids too are made of names
		assert.NotContains(t, r.log.String(), secret)
	}
}

// seenByReaders are the calls whose answers TestReadersSeeNoMore looks at. All others refuse a reader.
const seenByReaders = " GetEvent ListEvents GetSheet ListSheets GetRun ListRuns WatchRun "

func refusedToReaders(t *testing.T, r *running, secret, seen string) {
	const e = "events/party"
	named := map[string]proto.Message{
		"CreateEvent": &kinorderv1.CreateEventRequest{}, "UpdateEvent": &kinorderv1.UpdateEventRequest{StoredEvent: &kinorderv1.StoredEvent{Name: e}},
		"DeleteEvent": &kinorderv1.DeleteEventRequest{Name: e}, "ExportEvent": &kinorderv1.ExportEventRequest{Name: e},
		"CreateLink": &kinorderv1.CreateLinkRequest{Parent: e}, "ListLinks": &kinorderv1.ListLinksRequest{Parent: e}, "RevokeLink": &kinorderv1.RevokeLinkRequest{Name: e + "/links/x"},
		"CreateSheet": &kinorderv1.CreateSheetRequest{Parent: e}, "DeleteSheet": &kinorderv1.DeleteSheetRequest{Name: e + "/sheets/x"},
		"CreateRun": &kinorderv1.CreateRunRequest{Parent: e}, "DeleteRun": &kinorderv1.DeleteRunRequest{Name: e + "/runs/x"},
		"GetEvent": &kinorderv1.GetEventRequest{Name: e}, "GetSheet": &kinorderv1.GetSheetRequest{Name: e + "/sheets/x"}, "ListSheets": &kinorderv1.ListSheetsRequest{Parent: e},
		"GetRun": &kinorderv1.GetRunRequest{Name: e + "/runs/x"}, "ListRuns": &kinorderv1.ListRunsRequest{Parent: e}, "WatchRun": &kinorderv1.WatchRunRequest{Name: e + "/runs/x"},
		"CreateWebhook": &kinorderv1.CreateWebhookRequest{}, "ListWebhooks": &kinorderv1.ListWebhooksRequest{}, "DeleteWebhook": &kinorderv1.DeleteWebhookRequest{Name: "webhooks/x"},
		"ListEvents": &kinorderv1.ListEventsRequest{}, "AddMarks": &kinorderv1.AddMarksRequest{Name: e + "/runs/x"},
	}
	for _, call := range calls() {
		if name := string(call.Name()); call.Parent().Name() != "Planner" && !strings.Contains(seen, " "+name+" ") {
			require.Contains(t, named, name)
			assert.Equal(t, codes.PermissionDenied, grpcCode(send(t, r.conn, call, secret, named[name])), name)
		}
	}
}

// everySheet draws all that can be drawn of an event and a sheet.
func everySheet(t *testing.T, c *client.Client, e *kinorderv1.Event, s *kinorderv1.CallSheet) string {
	var all strings.Builder
	drawn := 0
	for kind := range kinorderv1.RenderKind_name {
		for form := range kinorderv1.RenderFormat_name {
			drawing, err := c.Render(t.Context(), e, s, client.RenderOptions{Kind: kinorderv1.RenderKind(kind), Format: kinorderv1.RenderFormat(form)})
			if err == nil {
				all.Write(drawing.GetContent())
				drawn++
			}
		}
	}
	require.Greater(t, drawn, 15)
	return all.String()
}

// forTheReader is the sheet that a planner draws for whoever calls, with all that the event says.
func forTheReader(t *testing.T, c *client.Client, e *kinorderv1.Event, s *kinorderv1.CallSheet) string {
	s = proto.CloneOf(s)
	s.Advice = append(s.Advice, &kinorderv1.Advice{Code: "X", Severity: kinorderv1.Severity_SEVERITY_INFO, Text: marker})
	s.GetBlocks()[0].GetEntries()[0].Near = []string{"cy"}
	drawing, err := c.Render(t.Context(), e, s, client.RenderOptions{Kind: kinorderv1.RenderKind_RENDER_KIND_READER})
	require.NoError(t, err)
	assert.NotContains(t, string(drawing.GetContent()), "Near")
	return string(drawing.GetContent())
}

// dayPages is what the page of the day tells a reader: when it opens, and by its stream.
func dayPages(t *testing.T, r *running, link *kinorderv1.Link, begun *kinorderv1.Run) string {
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	go func() { _ = r.server.ServePages(lis) }() // it ends with the server
	ask := func(method, path, body string) io.ReadCloser {
		req, err := http.NewRequestWithContext(t.Context(), method, "http://"+lis.Addr().String()+path, strings.NewReader(body))
		require.NoError(t, err)
		req.Header.Set("Authorization", "Bearer "+link.GetSecret())
		req.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(req)
		require.NoError(t, err)
		require.Equal(t, http.StatusOK, answer.StatusCode, path)
		return answer.Body
	}
	opened := ask(http.MethodPost, "/day/open", "{}")
	defer opened.Close()
	whole, err := io.ReadAll(opened)
	require.NoError(t, err)
	run := begun.GetName()[strings.LastIndex(begun.GetName(), "/")+1:]
	live := ask(http.MethodGet, "/day/live?after=0&language=en&run="+run, "")
	defer live.Close()
	lines := bufio.NewReader(live)
	var told strings.Builder
	for !strings.Contains(told.String(), `"plan":{`) {
		line, err := lines.ReadString('\n')
		require.NoError(t, err)
		told.WriteString(line)
	}
	return string(whole) + told.String()
}

// refusals calls with every kind of secret what is refused, and looks at what the errors say.
func refusals(t *testing.T, r *running, begun *kinorderv1.Run, readerSecret string) {
	studio := r.client.WithSecret(studioKey)
	holders := map[string]*client.Client{"nobody": r.client, "reader": r.client.WithSecret(readerSecret), "studio": studio}
	for name, role := range map[string]kinorderv1.Role{"lead": kinorderv1.Role_ROLE_LEAD, "owner": kinorderv1.Role_ROLE_OWNER} {
		link, err := studio.CreateLink(t.Context(), "events/party", role, "", time.Time{})
		require.NoError(t, err)
		holders[name] = r.client.WithSecret(link.GetSecret())
	}
	faulty := secretive()
	faulty.Groupings[0].Members = append(faulty.Groupings[0].Members[:3], "nobody")
	faulty.People[0].PresentUntil = "late"
	for name, c := range holders {
		_, replaced := c.ReplaceEvent(t.Context(), "events/party", "", faulty)
		_, created := c.CreateEvent(t.Context(), "party", faulty)
		_, marked := c.AddMarks(t.Context(), begun.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Added{Added: &kinorderv1.Grouping{Id: "y", Members: []string{"nobody"}, PrivateNote: marker}}})
		_, missing := c.Sheet(t.Context(), "events/party/sheets/none")
		_, planned := c.Plan(t.Context(), faulty, client.PlanOptions{})
		for _, err := range []error{replaced, created, marked, missing, planned} {
			require.Error(t, err, name)
			for _, secret := range secrets {
				assert.NotContains(t, refusal(t, err).GRPCStatus().String(), secret, name)
			}
		}
	}
}
