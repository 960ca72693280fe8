package phone

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
	"kinorder.example/server/internal/web/phone/wire"
)

// What phones may take, measured by make bench on a machine that does nothing else.
const (
	mostToPlan   = 110 * time.Millisecond  // from a mark to its plan with 30 phones, 95 of 100
	mostToUse    = 500 * time.Millisecond  // from opening the page for the first time to names and the button
	mostToUseOld = 1300 * time.Millisecond // the same on a phone that is four times as slow
)

// figures leaves a test of figures to make bench.
func figures(t *testing.T) {
	t.Helper()
	if os.Getenv("KINORDER_FIGURES") == "" {
		t.Skip("measured by make bench: set KINORDER_FIGURES")
	}
}

// quantile is what so many of 100 are not above.
func quantile(all []time.Duration, percent int) time.Duration {
	slices.Sort(all)
	return all[(len(all)*percent-1)/100].Round(100 * time.Microsecond)
}

// viewers watch a run as phones do, and tell when each has heard of a plan that heeds all marks, and of how many.
func (s *stage) viewers(many int, secret, ref string, heard func(marks int)) {
	s.Helper()
	for range many {
		r, err := http.NewRequestWithContext(s.Context(), http.MethodGet, "http://"+s.address+Prefix+"live?after=0&run="+ref, nil)
		require.NoError(s, err)
		r.Header.Set("Authorization", "Bearer "+secret)
		answer, err := http.DefaultClient.Do(r)
		require.NoError(s, err)
		require.Equal(s, http.StatusOK, answer.StatusCode)
		go func() {
			defer answer.Body.Close()
			marks, lines := 0, bufio.NewScanner(answer.Body)
			lines.Buffer(nil, 1<<22)
			for lines.Scan() {
				data, is := strings.CutPrefix(lines.Text(), "data: ")
				var u struct {
					Marks            []json.RawMessage
					Plan             *wire.Plan
					Covers, LastMark int64
				}
				if is && json.Unmarshal([]byte(data), &u) == nil && (len(u.Marks) > 0 || u.Plan != nil) {
					if marks += len(u.Marks); u.Plan != nil && u.Covers == u.LastMark {
						heard(marks)
					}
				}
			}
		}()
	}
}

// From a mark to its plan on 30 phones, with two photographers and with three: the order is looked for with each of them first.
func TestFiguresOfMarks(t *testing.T) {
	figures(t)
	two := castle(t, time.Now())
	three := two
	third := two.Blocks[0]
	third.ID, third.Title, third.Photographer = "hall", "Hall", "Third"
	three.Blocks, three.Groupings = append(slices.Clone(two.Blocks), third), slices.Clone(two.Groupings)
	for i := range three.Groupings {
		if g := &three.Groupings[i]; i%3 == 0 && slices.Contains(g.Blocks, third.ID) {
			g.Blocks = []string{"hall"}
		}
	}
	for _, e := range []event.Event{two, three} {
		t.Run(fmt.Sprint(len(e.Blocks)), func(t *testing.T) { marksToPlans(t, e) })
	}
}

func marksToPlans(t *testing.T, e event.Event) {
	const phones = 30
	s := newStage(t, e)
	s.serve()
	_, lead := s.opened(store.Lead)
	var mu sync.Mutex
	told, began, waits, all := sync.NewCond(&mu), time.Time{}, []time.Duration(nil), map[int]int{}
	s.viewers(phones, s.secrets[store.Lead], lead.Run, func(marks int) {
		mu.Lock()
		defer mu.Unlock()
		if all[marks]++; marks > 0 {
			waits = append(waits, time.Since(began))
		}
		told.Broadcast()
	})
	wait := func(marks int) {
		mu.Lock()
		defer mu.Unlock()
		for all[marks] < phones {
			told.Wait()
		}
	}
	wait(0)
	for n := range len(s.event.Groupings) - 1 {
		u := s.current()
		b := u.Plan.Sheet.Blocks[slices.IndexFunc(u.Plan.Sheet.Blocks, func(b event.SheetBlock) bool { return len(b.Entries) > 0 })]
		m := run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: s.now(), Grouping: b.Entries[0].Grouping, Block: b.Block}
		body, err := json.Marshal(markList{Device: s.now().UnixMilli(), Marks: []wire.Mark{wire.MarkOf(m)}})
		require.NoError(t, err)
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, "http://"+s.address+Prefix+"marks?link="+s.links[store.Lead]+"&run="+lead.Run, bytes.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Authorization", "Bearer "+s.secrets[store.Lead])
		mu.Lock()
		began = time.Now()
		mu.Unlock()
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		_ = answer.Body.Close()
		require.Equal(t, http.StatusOK, answer.StatusCode)
		wait(n + 1)
	}
	half, most := quantile(waits, 50), quantile(waits, 95)
	t.Logf("from a mark to its plan on %d phones: half in %v, 95 of 100 in %v", phones, half, most)
	assert.LessOrEqual(t, most, mostToPlan)
}

// From opening the page for the first time to names and the button.
func TestFiguresOfThePage(t *testing.T) {
	figures(t)
	s := newStage(t, castle(t, time.Now()))
	s.serve()
	s.opened(store.Lead)
	s.planned(-1)
	for _, c := range []struct {
		slower float64
		most   time.Duration
	}{{1, mostToUse}, {4, mostToUseOld}} {
		var waits []time.Duration
		for range 5 {
			b := device(t).first(`(() => {
				const look = new MutationObserver(() => {
					if (!document.querySelector(".group .name") || !document.querySelector("#taken")) return;
					look.disconnect();
					requestAnimationFrame(() => setTimeout(() => { document.documentElement.dataset.usable = performance.now(); }));
				});
				look.observe(document, { childList: true, subtree: true });
			})()`)
			b.do(emulation.SetCPUThrottlingRate(c.slower))
			b.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + s.secrets[store.Lead]))
			b.until("Boolean(document.documentElement.dataset.usable)")
			ms, err := time.ParseDuration(b.js("document.documentElement.dataset.usable") + "ms")
			require.NoError(t, err)
			waits = append(waits, ms)
			b.end()
		}
		t.Logf("a page that is opened for the first time, on a processor %v times as slow: half in %v", c.slower, quantile(waits, 50))
		assert.LessOrEqual(t, quantile(waits, 50), c.most)
	}
}
