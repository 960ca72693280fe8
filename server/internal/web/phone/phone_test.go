package phone

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
	"kinorder.example/server/internal/web/phone/wire"
)

// asked is a request with what a browser sends along.
type asked struct {
	path, body string
	secret     string // as the fragment gave it
	cookie     *http.Cookie
	header     map[string]string
}

func (s *stage) post(a asked) *httptest.ResponseRecorder {
	s.Helper()
	r := httptest.NewRequest(http.MethodPost, Prefix+a.path, strings.NewReader(a.body))
	r.Header.Set("Content-Type", "application/json")
	if a.secret != "" {
		r.Header.Set("Authorization", "Bearer "+a.secret)
	}
	if a.cookie != nil {
		r.AddCookie(a.cookie)
	}
	for k, v := range a.header {
		r.Header.Set(k, v)
	}
	w := httptest.NewRecorder()
	s.page.Handler().ServeHTTP(w, r)
	return w
}

// opened lets a browser in with a link and returns its cookie and what it was told.
func (s *stage) opened(role store.Role) (*http.Cookie, whole) {
	s.Helper()
	w := s.post(asked{path: "open", body: "{}", secret: s.secrets[role]})
	require.Equal(s, http.StatusOK, w.Code, w.Body.String())
	cookies := w.Result().Cookies()
	require.Len(s, cookies, 1)
	var out whole
	require.NoError(s, json.Unmarshal(w.Body.Bytes(), &out))
	return cookies[0], out
}

func codeOf(t *testing.T, w *httptest.ResponseRecorder) string {
	t.Helper()
	var out refusal
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &out), w.Body.String())
	return out.Code
}

// markBody is what a phone sends for marks of now.
func markBody(marks ...wire.Mark) string {
	now := time.Now()
	for i := range marks {
		if marks[i].ID == "" {
			marks[i].ID = storetest.NewID()
		}
		if marks[i].At == 0 {
			marks[i].At = now.UnixMilli() + int64(i)
		}
	}
	out, err := json.Marshal(markList{Device: now.UnixMilli(), Marks: marks})
	if err != nil {
		panic(err)
	}
	return string(out)
}

func (s *stage) at(path string, role store.Role, w whole) string {
	return path + "?link=" + s.links[role] + "&run=" + w.Run
}

func TestOpen(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	cookie, lead := s.opened(store.Lead)
	assert.Equal(t, "kinorder-"+s.links[store.Lead], cookie.Name)
	assert.True(t, cookie.HttpOnly)
	assert.Equal(t, http.SameSiteStrictMode, cookie.SameSite)
	assert.Equal(t, Prefix, cookie.Path)
	assert.False(t, cookie.Secure, "the tests' address is not")
	assert.NotEmpty(t, lead.Run, "a lead begins the run")
	assert.Len(t, lead.Photographs, 18)

	_, again := s.opened(store.Lead)
	assert.Equal(t, lead.Run, again.Run)
	w := s.post(asked{path: "open?link=" + s.links[store.Lead], body: "{}", cookie: cookie})
	assert.Equal(t, http.StatusOK, w.Code, "the cookie is enough")
	w = s.post(asked{path: "open?link=" + s.links[store.Owner], body: "{}", cookie: cookie})
	assert.Equal(t, "secret", codeOf(t, w), "but not for another link")
	w = s.post(asked{path: "open", body: "{}", secret: s.secrets[store.Lead], header: map[string]string{"Origin": "https://evil.example"}})
	assert.Equal(t, "cross", codeOf(t, w))
	w = s.post(asked{path: "open", body: "{}", secret: s.secrets[store.Lead], header: map[string]string{"Origin": "https://example.com", "Sec-Fetch-Site": "same-origin"}})
	assert.True(t, w.Result().Cookies()[0].Secure, "behind a proxy that encrypts")
	w = s.post(asked{path: "leave?link=" + s.links[store.Lead], body: "{}", cookie: cookie})
	assert.Negative(t, w.Result().Cookies()[0].MaxAge)
	assert.NotContains(t, s.log.String(), s.secrets[store.Lead])
}

// Until a lead has begun, a reader waits.
func TestReaderBeforeTheBeginning(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	_, reader := s.opened(store.Reader)
	assert.Empty(t, reader.Run)
	assert.Empty(t, reader.People)
}

// A list that was changed before anybody ticked takes the place of the old one by itself; afterwards the
// lead is asked.
func TestNewerList(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	cookie, first := s.opened(store.Lead)
	change := func(version int64) {
		e := s.event
		e.Title = fmt.Sprintf("Version %d", version+1)
		kept, err := s.store.ReplaceEvent(t.Context(), "harbour", version, e)
		require.NoError(t, err)
		sheet, err := s.store.Occasion(t.Context(), run.Ref{Event: "harbour", Run: first.Run})
		require.NoError(t, err)
		_, err = s.store.CreateSheet(t.Context(), store.Request{}, "harbour", kept.Version, sheet.Sheet)
		require.NoError(t, err)
	}
	change(1)
	_, second := s.opened(store.Lead)
	assert.NotEqual(t, first.Run, second.Run)
	assert.Equal(t, "Version 2", second.Title)
	w := s.post(asked{path: s.at("marks", store.Lead, second), cookie: cookie, body: markBody(wire.Mark{Kind: "absent", Person: "omar"})})
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	change(2)
	_, third := s.opened(store.Lead)
	assert.Equal(t, second.Run, third.Run)
	assert.True(t, third.Newer)
	_, reader := s.opened(store.Reader)
	assert.False(t, reader.Newer)
	for range 2 {
		w = s.post(asked{path: "begin?link=" + s.links[store.Lead], cookie: cookie, body: `{"request": "pressed-twice"}`})
		require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	}
	_, fourth := s.opened(store.Lead)
	assert.NotEqual(t, second.Run, fourth.Run)
	assert.Equal(t, "Version 3", fourth.Title)
	list, _, err := s.store.Runs(t.Context(), "harbour", store.Page{Size: 10})
	require.NoError(t, err)
	assert.Len(t, list, 3)
}

func TestMarks(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	cookie, lead := s.opened(store.Lead)
	readerCookie, _ := s.opened(store.Reader)
	to := s.at("marks", store.Lead, lead)
	body := markBody(wire.Mark{Kind: "taken", Grouping: "everybody"}, wire.Mark{Kind: "note", Note: lapwing})
	for range 2 {
		w := s.post(asked{path: to, cookie: cookie, body: body})
		require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	}
	assert.Len(t, s.current().Marks, 2, "sent twice, kept once")
	assert.Equal(t, s.links[store.Lead], s.current().Marks[0].By)

	w := s.post(asked{path: to, cookie: cookie, body: markBody(wire.Mark{Kind: "taken", Grouping: "a-all"}, wire.Mark{Kind: "absent", Person: "nobody"})})
	require.Equal(t, http.StatusUnprocessableEntity, w.Code)
	var out refusal
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &out))
	require.Len(t, out.Faults, 1)
	assert.Equal(t, fault{Mark: 1, Field: "absent", Code: "UNKNOWN_ID"}, out.Faults[0])

	// Whoever fetches people says who is here and who leaves, and nothing else.
	for kind, code := range map[string]int{"arrived": http.StatusOK, "leaving": http.StatusOK, "absent": http.StatusOK, "gone": http.StatusForbidden} {
		w = s.post(asked{path: s.at("marks", store.Reader, lead), cookie: readerCookie, body: markBody(wire.Mark{Kind: kind, Person: "rosa", Until: time.Now().Add(time.Minute).UnixMilli()})})
		assert.Equal(t, code, w.Code, "%s %s", kind, w.Body.String())
	}
	before := len(s.current().Marks)
	for name, c := range map[string]struct {
		asked
		code string
	}{
		"reader":           {asked{path: s.at("marks", store.Reader, lead), cookie: readerCookie, body: body}, "forbidden"},
		"no secret":        {asked{path: to, body: body}, "secret"},
		"another site":     {asked{path: to, cookie: cookie, body: body, header: map[string]string{"Sec-Fetch-Site": "cross-site"}}, "cross"},
		"another origin":   {asked{path: to, cookie: cookie, body: body, header: map[string]string{"Origin": "http://evil.example"}}, "cross"},
		"a form":           {asked{path: to, cookie: cookie, body: body, header: map[string]string{"Content-Type": "text/plain"}}, "form"},
		"no JSON":          {asked{path: to, cookie: cookie, body: "{"}, "form"},
		"two in one":       {asked{path: to, cookie: cookie, body: body + "{}"}, "form"},
		"unknown field":    {asked{path: to, cookie: cookie, body: `{"marks": [], "colour": 1}`}, "form"},
		"empty":            {asked{path: to, cookie: cookie, body: "{}"}, "invalid"},
		"unknown kind":     {asked{path: to, cookie: cookie, body: markBody(wire.Mark{Kind: "eaten"})}, "invalid"},
		"too many":         {asked{path: to, cookie: cookie, body: markBody(make([]wire.Mark, run.MaxAtOnce+1)...)}, "invalid"},
		"too large":        {asked{path: to, cookie: cookie, body: markBody(wire.Mark{Kind: "note", Note: strings.Repeat("x", maxBody)})}, "large"},
		"too much":         {asked{path: to, cookie: cookie, body: `{"marks": [` + strings.Repeat("{},", 100_000) + `{}]}`}, "large"},
		"no such run":      {asked{path: "marks?link=" + s.links[store.Lead] + "&run=none", cookie: cookie, body: body}, "gone"},
		"the studio's key": {asked{path: to, secret: studioKey, body: body}, "studio"},
	} {
		t.Run(name, func(t *testing.T) {
			w := s.post(c.asked)
			assert.GreaterOrEqual(t, w.Code, 400)
			assert.Equal(t, c.code, codeOf(t, w))
		})
	}
	assert.Len(t, s.current().Marks, before)
	for _, no := range []string{lapwing, "Amara", s.secrets[store.Lead], "harbour"} {
		assert.NotContains(t, s.log.String(), no)
	}
	_, err := s.store.RevokeLink(t.Context(), "harbour", s.links[store.Lead])
	require.NoError(t, err)
	w = s.post(asked{path: to, cookie: cookie, body: body})
	assert.Equal(t, "secret", codeOf(t, w))
}

// streamed reads a stream until enough says so, and returns all of it.
func (s *stage) streamed(path string, cookie *http.Cookie, enough func(name, data string) bool) string {
	s.Helper()
	if s.http == nil {
		s.serve()
	}
	ctx, cancel := context.WithTimeout(s.Context(), time.Minute)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+s.address+Prefix+path, nil)
	require.NoError(s, err)
	r.AddCookie(cookie)
	resp, err := http.DefaultClient.Do(r)
	require.NoError(s, err)
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		body, err := io.ReadAll(resp.Body)
		require.NoError(s, err)
		return string(body)
	}
	assert.Equal(s, "text/event-stream", resp.Header.Get("Content-Type"))
	var all strings.Builder
	name := ""
	lines := bufio.NewScanner(resp.Body)
	lines.Buffer(nil, 10<<20)
	for lines.Scan() {
		all.WriteString(lines.Text() + "\n")
		if n, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
			name = n
		}
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok && enough != nil && enough(name, data) {
			return all.String()
		}
	}
	require.NoError(s, lines.Err())
	return all.String()
}

// A reader is told whom to call, and no note, no rule, no reason, no relation and no need beyond a seat
// and a wheelchair.
func TestReaderIsToldNothingPrivate(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	leadCookie, lead := s.opened(store.Lead)
	w := s.post(asked{path: s.at("marks", store.Lead, lead), cookie: leadCookie, body: markBody(
		wire.Mark{Kind: "note", Note: lapwing}, wire.Mark{Kind: "absent", Person: "omar"},
		wire.Mark{Kind: "added", Grouped: &wire.Added{ID: "friends", Title: "Old friends", Members: []string{"maren", "ola"}, Must: true}})})
	require.Equal(t, http.StatusOK, w.Code, w.Body.String())
	cookie, _ := s.opened(store.Reader)
	opened := s.post(asked{path: "open?link=" + s.links[store.Reader], body: "{}", cookie: cookie}).Body.String()
	planned := func(name, data string) bool {
		var u updateView
		require.NoError(t, json.Unmarshal([]byte(data), &u))
		return name == "update" && u.Plan != nil && u.Covers >= u.LastMark
	}
	told := opened + s.streamed(s.at("live", store.Reader, lead)+"&after=0", cookie, planned)
	for _, no := range []string{lapwing, "stepFree", "interpreter", "relation", "half-brother", "apart", `"why"`, `"past"`, "must", `"note"`, "waitsForPeople"} {
		assert.False(t, strings.Contains(told, no), no)
	}
	for _, yes := range []string{"أمينة بن علي", "ah\u2011MEE\u2011nah", "wheelchair", "Old friends"} {
		assert.True(t, strings.Contains(told, yes), yes)
	}
	forLead := s.post(asked{path: "open?link=" + s.links[store.Lead], body: "{}", cookie: leadCookie}).Body.String() +
		s.streamed(s.at("live", store.Lead, lead)+"&after=0", leadCookie, planned)
	for _, yes := range []string{lapwing, "stepFree", "half-brother", `"kind":"note"`, "waitsForPeople"} {
		assert.True(t, strings.Contains(forLead, yes), yes)
	}
}

func TestStreamEnds(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	cookie, lead := s.opened(store.Lead)
	to := s.at("live", store.Lead, lead)
	assert.Contains(t, s.streamed(to+"&after=-1", cookie, nil), "form")
	assert.Contains(t, s.streamed(to+"&after=999", cookie, nil), `"ahead"`)
	assert.Contains(t, s.streamed("live?link="+s.links[store.Lead]+"&run=none&after=0", cookie, nil), `"gone"`)
	assert.Contains(t, s.streamed(to+"&after=0", &http.Cookie{Name: cookie.Name, Value: "wrong"}, nil), `"secret"`)
	after := func(change func()) string {
		once := false
		return s.streamed(to+"&after=0", cookie, func(name, _ string) bool {
			if !once {
				once = true
				change()
			}
			return name == "over"
		})
	}
	assert.Contains(t, after(func() {
		w := s.post(asked{path: "begin?link=" + s.links[store.Lead], cookie: cookie, body: `{"request": "once-more"}`})
		require.Equal(t, http.StatusOK, w.Code)
	}), `"moved"`)
	_, now := s.opened(store.Lead)
	to = s.at("live", store.Lead, now)
	assert.Contains(t, after(func() {
		_, err := s.store.RevokeLink(t.Context(), "harbour", s.links[store.Lead])
		require.NoError(t, err)
	}), `"secret"`)
}

// get asks for a file, with a header.
func (s *stage) get(path, header, value string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Header.Set(header, value)
	w := httptest.NewRecorder()
	s.page.Handler().ServeHTTP(w, r)
	return w
}

func TestFiles(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	get := func(path, tag string) *httptest.ResponseRecorder { return s.get(path, "If-None-Match", tag) }
	for _, f := range files {
		w := get(Prefix+f.name, "")
		assert.Equal(t, http.StatusOK, w.Code, f.name)
		assert.NotEmpty(t, w.Header().Get("Content-Type"), f.name)
		policy := w.Header().Get("Content-Security-Policy")
		assert.Equal(t, f.name == planner, strings.Contains(policy, "unsafe"), "%s: only the worker that plans runs what was compiled elsewhere", f.name)
		assert.NotContains(t, strings.Replace(policy, "'wasm-unsafe-eval'", "", 1), "unsafe")
		assert.NotContains(t, policy, "http")
		assert.Equal(t, "no-referrer", w.Header().Get("Referrer-Policy"))
		assert.Equal(t, http.StatusNotModified, get(Prefix+f.name, f.tag).Code)
	}
	page := get(Prefix, "").Body.String()
	for _, no := range []string{"http://", "https://", "style=", "<style", "onclick", "<script>"} {
		assert.NotContains(t, page, no)
	}
	assert.NotContains(t, get(Prefix+"sw.js", "").Body.String(), "@")
	assert.Equal(t, http.StatusMovedPermanently, get("/day", "").Code)
	assert.Equal(t, http.StatusNotFound, get(Prefix+"passwd", "").Code)
}

func FuzzReadMarks(f *testing.F) {
	f.Add(markBody(wire.Mark{Kind: "taken", Grouping: "everybody"}))
	f.Add(`{"device": 1, "marks": [{"id": "x", "kind": "added", "at": -1, "grouped": {"id": "", "members": null}}]}`)
	f.Add(`{"marks": [{"kind": "late", "until": 9223372036854775807}]}`)
	f.Fuzz(func(t *testing.T, body string) {
		_, marks, err := readMarks(strings.NewReader(body))
		if err != nil {
			status, _ := refusalOf(err)
			assert.Less(t, status, 500, "%v", err)
			return
		}
		for _, m := range marks {
			back, err := wire.MarkOf(m).Mark()
			require.NoError(t, err)
			assert.Equal(t, m, back, "there and back")
		}
		assert.NotPanics(t, func() { run.CheckMarks(quayOf, run.State{}, time.Unix(0, 0), marks) })
	})
}
