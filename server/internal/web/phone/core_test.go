package phone

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/andybalholm/brotli"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	tools "kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/phone/wire"
)

// theCore is the core as .ci/core makes it of this tree, built once.
var theCore = sync.OnceValues(func() ([]file, error) {
	folder, err := os.MkdirTemp("", "kinorder-core")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	build := exec.Command(filepath.Join("..", "..", "..", "..", ".ci", "core"), folder, "4")
	if out, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, out)
	}
	return allFiles(os.DirFS(folder)), nil
})

// withCore has the page of a test hand out the core, or none.
func withCore(t *testing.T, there bool) {
	t.Helper()
	tools.Chromium(t)
	tools.Program(t, "bash")
	was := files
	t.Cleanup(func() { files = was })
	files = allFiles(os.DirFS(t.TempDir()))
	if there {
		var err error
		files, err = theCore()
		require.NoError(t, err)
	}
}

// watch gives the test what the page knows, as "day".
func (b phoneTab) watch() {
	b.Helper()
	b.js(`import("/day/state.js").then(({ app }) => { globalThis.day = app; return ""; })`)
}

// missing says that somebody cannot be found.
func (b phoneTab) missing(who string) {
	b.Helper()
	b.tab("people")
	b.press("[data-key=person-" + who + "]")
	b.pressText("Cannot be found")
	b.tab("now")
}

// A photographer's phone without signal plans as the server would: whoever is missing is called for nothing, the order is still
// there when the page is loaded again, and the server says the same when it is back.
func TestBrowserPlansWithoutSignal(t *testing.T) {
	withCore(t, true)
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.watch()
	b.until("day.core === 'ready'")
	assert.Equal(t, "true", b.js(`caches.match("/day/core.wasm").then((r) => Boolean(r))`))
	u := s.planned(-1)
	in := map[string]int{} // in how many photographs somebody is
	for _, o := range u.Plan.Owed {
		for _, p := range o.Needed {
			in[p]++
		}
	}
	who := slices.MinFunc(slices.Sorted(maps.Keys(in)), func(a, b string) int { return in[a] - in[b] })
	s.cut()
	b.see("#contact")
	b.missing(who)
	for range 2 {
		b.press("#taken")
		time.Sleep(900 * time.Millisecond) // thumbs bounce
	}
	heeds := fmt.Sprintf(`day.view.own?.of.length === 3 && day.view.own.plan.blocks.every((b) => b.entries.every((e) => ![...e.in, ...e.stay].includes(%q)))`, who)
	require.NoError(t, b.comesTrue(heeds, 2*time.Second))
	b.shows("#contact", "Planned on this phone")
	b.shoot("planned-here")
	planned := b.js("day.view.own.plan.blocks[0].entries.map((e) => e.id).join()")
	title := b.text("#title")

	kept := `new Promise((r) => { const q = indexedDB.open("kinorder-day"); q.onsuccess = () => {
		const a = q.result.transaction(["views"]).objectStore("views").get(day.link); a.onsuccess = () => r(a.result.own?.of.length);
	}; })`
	require.Eventually(t, func() bool { return b.js(kept) == "3" }, 10*time.Second, 50*time.Millisecond)
	b.do(chromedp.Reload())
	b.see("#taken")
	b.watch()
	assert.Equal(t, planned, b.js("day.view.own.plan.blocks[0].entries.map((e) => e.id).join()"))
	assert.Equal(t, title, b.text("#title"))
	b.until("day.core === 'ready'")
	b.press("#taken")
	b.until("day.view.own.of.length === 4")
	title = b.text("#title")

	s.serve()
	b.until("document.querySelector('#unsent').hidden && !document.querySelector('#contact').checkVisibility()")
	u = s.planned(3)
	b.until("day.view.covers >= day.view.lastMark && day.view.marks.length === 4")
	assert.Equal(t, title, s.title(u, order(u)[0]), "what is next does not change under the thumb")
	b.shows("#title", title)
	assert.Empty(t, b.complaints.all())
}

// A phone on which the core does not run, and one that is given none, keep the order that they have and say so.
func TestBrowserWithoutCore(t *testing.T) {
	for name, there := range map[string]bool{"broken": true, "none": false} {
		t.Run(name, func(t *testing.T) {
			withCore(t, there)
			s := newStage(t, quay(t, time.Now()))
			s.serve()
			b := device(t).first(`globalThis.WebAssembly = { instantiate() { throw new Error("too old"); } };
				globalThis.Worker = class extends EventTarget { constructor() { super(); setTimeout(() => this.onerror(new Event("error", { cancelable: true }))); } terminate() {} };`)
			b.visit(s, store.Lead)
			b.see("#taken")
			b.watch()
			b.until("day.core === 'none'")
			u := s.planned(-1)
			s.cut()
			b.see("#contact")
			b.press("#taken")
			b.shows("#contact", "The order stays as it was")
			b.shows("#title", s.title(u, order(u)[1]))
			s.serve()
			b.until("document.querySelector('#unsent').hidden")
			assert.Empty(t, b.complaints.all())
		})
	}
}

// Whoever calls names or watches is given nothing to plan by, and no core.
func TestCoreIsForPhotographers(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	_, opened := s.opened(store.Lead)
	for _, role := range []store.Role{store.Owner, store.Reader} {
		cookie, _ := s.opened(role)
		w := s.post(asked{path: s.at("core", role, opened), cookie: cookie, body: "{}"})
		assert.Contains(t, w.Body.String(), `"forbidden"`)
		assert.NotContains(t, w.Body.String(), lapwing)
	}
	cookie, lead := s.opened(store.Lead)
	w := s.post(asked{path: s.at("core", store.Lead, lead), cookie: cookie, body: "{}"})
	var core wire.Core
	require.NoError(t, core.Know(w.Body.Bytes()))
	answer, err := core.Plan([]byte(fmt.Sprintf(`{"now": %d, "plan": null, "marks": [{"id": "a", "kind": "absent", "person": "omar", "at": 5}]}`, time.Now().UnixMilli())))
	require.NoError(t, err)
	assert.NotContains(t, string(answer), `"stay":["omar"`)
	assert.Contains(t, string(answer), "waitsForPeople")
	_, err = core.Plan([]byte(`{"marks": [{"kind": "eaten"}]}`))
	assert.Error(t, err)
}

// The core in a browser comes to what the same program comes to here.
func TestBrowserCorePlansAsGo(t *testing.T) {
	withCore(t, true)
	opens := time.Now().Add(-time.Hour).Truncate(time.Minute)
	s := newStage(t, quay(t, opens))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	b.js(`new Promise((ready) => {
		globalThis.planner = new Worker("/day/planner.js");
		globalThis.ask = (question) => new Promise((r) => { planner.onmessage = (e) => r(e.data); planner.postMessage(question); });
		planner.onmessage = () => ready("");
	})`)
	plans, took := 0, time.Duration(0)
	for seed := range uint64(3) {
		d := freesOf(t, seed, castle(t, opens))
		about, err := json.Marshal(run.Occasion{Event: d.event, Sheet: d.begun.Sheet})
		require.NoError(t, err)
		var here wire.Core
		require.NoError(t, here.Know(about))
		b.js(fmt.Sprintf("ask({ know: %s }).then(() => '')", quoted(about)))
		for n := 0; n <= len(d.marks); n += 6 {
			a := wire.Asked{Now: event.Millis(d.now), Plan: wire.PlanOf(*d.plan), Work: 1}
			for _, m := range d.marks[:n] {
				a.Marks = append(a.Marks, wire.MarkOf(m))
			}
			question, err := json.Marshal(a)
			require.NoError(t, err)
			want, err := here.Plan(question)
			require.NoError(t, err)
			began := time.Now()
			got := b.js(fmt.Sprintf("ask({ plan: %s }).then((a) => a.answer || a.failed)", quoted(question)))
			took += time.Since(began)
			require.JSONEq(t, string(want), got, "day %d, %d marks", seed, n)
			plans++
		}
	}
	t.Logf("%d plans, %d ms each", plans, took.Milliseconds()/int64(plans))
	assert.Greater(t, plans, 10)
}

func quoted(text []byte) string {
	out, _ := json.Marshal(string(text)) // a string can always be written
	return string(out)
}

// What is loaded before the page can be used is small; the core comes as it is kept, as small as a browser unpacks it, and to those
// who take nothing packed too.
func TestFilesArePacked(t *testing.T) {
	folder := t.TempDir()
	content := strings.Repeat("core", 1000)
	var packed bytes.Buffer
	out := brotli.NewWriter(&packed)
	_, err := out.Write([]byte(content))
	require.NoError(t, errors.Join(err, out.Close()))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "core.wasm.br"), packed.Bytes(), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "wasm_exec.js"), []byte("//"), 0o600))
	was := files
	defer func() { files = was }()
	files = allFiles(os.DirFS(folder))
	s := newStage(t, quayOf)
	first := 0
	for _, f := range files {
		for accepts, coding := range map[string]string{
			"gzip, deflate, br": "br", "br;q=1, gzip; q=0.5": "br", "br;q=0, gzip": "gzip", "gzip, deflate": "gzip", "gzip;q=0": "", "identity": "", "": "",
		} {
			w := s.get(Prefix+f.name, "Accept-Encoding", accepts)
			if f.name != "core.wasm" && coding == "br" {
				coding = "gzip"
			}
			assert.Equal(t, coding, w.Header().Get("Content-Encoding"), "%s: %s", f.name, accepts)
			switch {
			case f.name != "core.wasm":
			case coding == "br":
				assert.Equal(t, packed.Bytes(), w.Body.Bytes())
			case coding == "gzip":
				unpacked, err := gzip.NewReader(w.Body)
				require.NoError(t, err)
				got, err := io.ReadAll(unpacked)
				require.NoError(t, err)
				assert.Equal(t, content, string(got))
			case coding == "":
				assert.Equal(t, content, w.Body.String())
			}
			if accepts == "gzip, deflate" && !slices.Contains(coreFiles, f.name) {
				first += w.Body.Len()
			}
		}
	}
	assert.Positive(t, first)
	assert.LessOrEqual(t, first, 160_000)
	t.Logf("%d bytes before the page can be used", first)
}
