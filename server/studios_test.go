package server

import (
	"context"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/store"
)

// tenant is one of the studios of a test, with an event of its own and one whose id the others have too.
type tenant struct {
	name, key  string
	mark       string            // what its events are called, and nobody else's
	names      []string          // of all that it keeps
	links      map[string]string // secrets by role
	cookie     string
	run, event string
}

// host adds a studio and has it keep something.
func host(t *testing.T, r *running, name string, limits store.Limits) *tenant {
	t.Helper()
	c := r.server.config
	key := c.StudioKey
	if name != "" {
		key = added(t, r, name, limits)
	}
	of := &tenant{name: name, key: key, mark: "MARK" + strings.ToUpper(name) + "END", event: "only-" + name, links: map[string]string{}}
	studio := r.client.WithSecret(key)
	for _, id := range []string{"party", of.event} {
		e := party()
		e.Title = of.mark
		made, err := studio.CreateEvent(t.Context(), id, e)
		require.NoError(t, err)
		sheet, err := studio.CreateSheet(t.Context(), made.GetName(), client.PlanOptions{})
		require.NoError(t, err)
		run, err := studio.CreateRun(t.Context(), made.GetName(), sheet.GetName())
		require.NoError(t, err)
		of.run = run.GetName()[strings.LastIndexByte(run.GetName(), '/')+1:]
		of.names = append(of.names, made.GetName(), sheet.GetName(), run.GetName())
		for _, role := range []kinorderv1.Role{kinorderv1.Role_ROLE_OWNER, kinorderv1.Role_ROLE_LEAD, kinorderv1.Role_ROLE_READER} {
			l, err := studio.CreateLink(t.Context(), made.GetName(), role, of.mark, time.Time{})
			require.NoError(t, err)
			of.names = append(of.names, l.GetName())
			of.links[role.String()] = l.GetSecret()
		}
	}
	of.cookie = signIn(t, r, key, "")
	return of
}

func added(t *testing.T, r *running, name string, limits store.Limits) string {
	t.Helper()
	c := r.server.config
	list, err := store.Place{Data: c.Data, Postgres: c.Postgres}.Studios(t.Context(), true)
	require.NoError(t, err)
	defer list.Close()
	key, err := list.Add(t.Context(), name, limits)
	require.NoError(t, err)
	time.Sleep(lookTime) // until it is noticed
	return key
}

// ask sends a request to the pages.
func ask(t *testing.T, r *running, method, path, cookie string, form map[string]string) *http.Response {
	t.Helper()
	var body strings.Builder
	w := multipart.NewWriter(&body)
	for name, value := range form {
		require.NoError(t, w.WriteField(name, value))
	}
	require.NoError(t, w.Close())
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	q := httptest.NewRequestWithContext(ctx, method, path, strings.NewReader(body.String()))
	q.Host = "localhost"
	if method == http.MethodPost {
		q.Header.Set("Content-Type", w.FormDataContentType())
	}
	if cookie != "" {
		q.AddCookie(&http.Cookie{Name: "kinorder-desk", Value: cookie})
	}
	out := httptest.NewRecorder()
	r.server.pages.Handler().ServeHTTP(out, q)
	return out.Result()
}

func text(t *testing.T, answer *http.Response) string {
	t.Helper()
	content, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return string(content)
}

// signIn returns the cookie of a browser that types a secret, after another cookie.
func signIn(t *testing.T, r *running, secret, cookie string) string {
	t.Helper()
	for _, c := range ask(t, r, http.MethodPost, "/enter", cookie, map[string]string{"secret": secret}).Cookies() {
		if c.Name == "kinorder-desk" {
			return c.Value
		}
	}
	return ""
}

// naming fills every field of a request that names something.
func naming(m protoreflect.Message, parent, name string, depth int) {
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		f := fields.Get(i)
		switch {
		case f.IsList() || f.IsMap():
		case f.Kind() == protoreflect.StringKind && f.Name() == "parent":
			m.Set(f, protoreflect.ValueOfString(parent))
		case f.Kind() == protoreflect.StringKind && (f.Name() == "name" || f.Name() == "sheet"):
			m.Set(f, protoreflect.ValueOfString(name))
		case f.Message() != nil && depth > 0 && strings.HasPrefix(string(f.Message().FullName()), "kinorder.v1.") && f.ContainingOneof() == nil:
			naming(m.Mutable(f).Message(), parent, name, depth-1)
		}
	}
}

// dump is all that a studio keeps, as its own key sees it.
func dump(t *testing.T, r *running, of *tenant) string {
	t.Helper()
	var b strings.Builder
	for _, m := range keptCalls() {
		if !strings.HasPrefix(string(m.Name()), "Get") && !strings.HasPrefix(string(m.Name()), "List") {
			continue
		}
		for _, name := range of.names {
			req := made(m.Input())
			naming(req.ProtoReflect(), name, name, 0)
			answer, err := answerOf(t, r.conn, m, of.key, req)
			fmt.Fprintln(&b, m.Name(), name, answer, err == nil)
		}
	}
	return b.String()
}

func keptCalls() []protoreflect.MethodDescriptor {
	var out []protoreflect.MethodDescriptor
	for _, m := range calls() {
		if m.Parent().Name() != "Planner" {
			out = append(out, m)
		}
	}
	return out
}

// answerOf makes any call, and returns its answer as text; of a stream the first message.
func answerOf(t *testing.T, conn grpc.ClientConnInterface, m protoreflect.MethodDescriptor, secret string, req proto.Message) (string, error) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	ctx = metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+secret)
	stream, err := conn.NewStream(ctx, &grpc.StreamDesc{ServerStreams: true}, fmt.Sprintf("/%s/%s", m.Parent().FullName(), m.Name()))
	require.NoError(t, err)
	require.NoError(t, stream.SendMsg(req))
	require.NoError(t, stream.CloseSend())
	answer := made(m.Output())
	err = stream.RecvMsg(answer)
	content, _ := protojson.Marshal(answer)
	return strings.ReplaceAll(string(content), " ", ""), err
}

// No call, page or stream of one studio shows or changes what another keeps, whatever it names.
func TestStudiosAreApart(t *testing.T) {
	stores(t, func(t *testing.T, c Config) {
		c.WebhooksPrivate = true
		r := start(t, c, planning.Plan)
		defer r.stop(t)
		all := []*tenant{host(t, r, "", store.Limits{}), host(t, r, "heron", store.Limits{}), host(t, r, "egret", store.Limits{})}
		before := map[string]string{}
		for _, of := range all {
			// Nothing listens there, and nothing is made any more that it would be told of.
			hook, err := r.client.WithSecret(of.key).CreateWebhook(t.Context(), "http://127.0.0.1:1/"+of.mark)
			require.NoError(t, err)
			of.names = append(of.names, hook.GetName())
			before[of.name] = dump(t, r, of)
			assert.Contains(t, before[of.name], of.mark)
		}
		for _, by := range all {
			for _, of := range all {
				if by != of {
					callsOfOthers(t, r, by, of)
					pagesOfOthers(t, r, by, of)
					phonesOfOthers(t, r, by, of)
					secretsOfOthers(t, r, by, of)
				}
			}
		}
		for _, of := range all {
			assert.Equal(t, before[of.name], dump(t, r, of), "%q is as it was", of.name)
			assert.NotContains(t, r.log.String(), of.mark)
			if of.name != "" {
				assert.NotContains(t, r.log.String(), of.name)
			}
		}
	})
}

// callsOfOthers has every secret of a studio make every call with every name of another.
func callsOfOthers(t *testing.T, r *running, by, of *tenant) {
	secrets := []string{by.key}
	for _, secret := range by.links {
		secrets = append(secrets, secret)
	}
	for _, m := range keptCalls() {
		for _, secret := range secrets {
			for _, name := range of.names {
				if strings.HasPrefix(name, "events/party") && !strings.Contains(name[len("events/party"):], "/") {
					continue // an event of that name is its own
				}
				req := made(m.Input())
				naming(req.ProtoReflect(), name, name, 2)
				if parts := strings.Split(name, "/"); len(parts) > 2 {
					naming(req.ProtoReflect(), "events/"+parts[1], name, 2)
				}
				if strings.HasPrefix(name, "events/party/") && (strings.HasPrefix(string(m.Name()), "List") || m.Name() == "CreateLink" || m.Name() == "CreateSheet") {
					continue // of its own party
				}
				answer, err := answerOf(t, r.conn, m, secret, req)
				assert.NotContains(t, answer, of.mark, "%s of %s", m.Name(), name)
				if err == nil {
					assert.Contains(t, []protoreflect.Name{"ListEvents", "CreateEvent", "ListSheets", "ListRuns", "ListLinks", "ListWebhooks"}, m.Name(), "%s of %s by %q: %s", m.Name(), name, by.name, answer)
				} else {
					assert.NotContains(t, err.Error(), of.mark)
				}
			}
		}
	}
}

func pagesOfOthers(t *testing.T, r *running, by, of *tenant) {
	for _, path := range []string{"", "/plan", "/history", "/delete", "/send", "/messages", "/clash", "/sheet", "/wishes", "/live"} {
		got := ask(t, r, http.MethodGet, "/events/"+of.event+path, by.cookie, nil)
		assert.Equal(t, http.StatusNotFound, got.StatusCode, path)
		assert.NotContains(t, text(t, got), of.mark)
	}
	for _, path := range []string{"/list", "/keep", "/plan", "/undo", "/redo", "/back", "/duplicate", "/send", "/delete", "/clash", "/wishes", "/sheet", "/save"} {
		got := ask(t, r, http.MethodPost, "/events/"+of.event+path, by.cookie, map[string]string{"text": "Ann, Bo", "act": "begin", "version": "1"})
		assert.Equal(t, http.StatusNotFound, got.StatusCode, path)
		assert.NotContains(t, text(t, got), of.mark)
	}
	list := text(t, ask(t, r, http.MethodGet, "/", by.cookie, nil))
	assert.Contains(t, list, by.mark)
	assert.NotContains(t, list, of.mark)
}

func phonesOfOthers(t *testing.T, r *running, by, of *tenant) {
	for _, path := range []string{"open", "marks", "begin", "here", "live"} {
		method := http.MethodPost
		if path == "live" {
			method = http.MethodGet
		}
		q := httptest.NewRequest(method, "/day/"+path+"?after=0&language=en&run="+of.run, strings.NewReader(`{"request":"abcdefgh","marks":[]}`)).WithContext(t.Context())
		q.Host = "localhost"
		q.Header.Set("Content-Type", "application/json")
		q.Header.Set("Authorization", "Bearer "+by.links["ROLE_READER"])
		out := httptest.NewRecorder()
		r.server.pages.Handler().ServeHTTP(out, q)
		assert.NotContains(t, out.Body.String(), of.mark, path)
		if path == "marks" || path == "live" {
			assert.NotEqual(t, http.StatusOK, out.Code, path)
		}
	}
}

// secretsOfOthers are refused with another name in front of them, and without any.
func secretsOfOthers(t *testing.T, r *running, by, of *tenant) {
	bare := func(secret string) string { return strings.TrimPrefix(secret, store.SecretOf(of.name, "")) }
	secrets := []string{of.key}
	for _, s := range of.links {
		secrets = append(secrets, s)
	}
	for _, secret := range secrets {
		var err error
		for _, e := range r.client.WithSecret(store.SecretOf(by.name, bare(secret))).Events(t.Context()) {
			err = e
		}
		code := refusal(t, err).Code
		assert.True(t, code == codes.Unauthenticated || code == codes.ResourceExhausted, "%s", code)
	}
	forged := ask(t, r, http.MethodGet, "/events/party", store.SecretOf(by.name, bare(of.cookie)), nil)
	assert.Equal(t, http.StatusForbidden, forged.StatusCode)
	assert.NotEmpty(t, signIn(t, r, of.key, by.cookie), "a browser may sign in to another")
	answer := httptest.NewRequest(http.MethodGet, "/v1/events/"+of.event, nil)
	answer.Host = "localhost"
	answer.Header.Set("Authorization", "Bearer "+by.key)
	answer.AddCookie(&http.Cookie{Name: "kinorder-desk", Value: of.cookie})
	out := httptest.NewRecorder()
	r.server.pages.Handler().ServeHTTP(out, answer)
	assert.Equal(t, http.StatusNotFound, out.Code, "a cookie gives a call no rights")
}

// Where no studio is hosted, nothing is made for any.
func TestOneStudioAloneStaysAlone(t *testing.T) {
	c := Config{Data: t.TempDir(), StudioKey: studioKey}
	r := start(t, c, planning.Plan)
	defer r.stop(t)
	_, err := r.client.WithSecret("heron.abcdefghijklmnopqrstuv").Event(t.Context(), "events/party")
	assert.Equal(t, client.ReasonSecretWrong, refusal(t, err).Reason)
	assert.NoDirExists(t, c.Data+"/studios")
	of := host(t, r, "", store.Limits{})
	for _, secret := range of.links {
		assert.NotContains(t, secret, ".")
	}
	assert.True(t, strings.HasPrefix(of.cookie, "s."))
}
