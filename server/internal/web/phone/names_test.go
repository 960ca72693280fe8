package phone

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// covered lists the names to call that something else lies over, when somebody has scrolled to them.
const covered = `[...document.querySelectorAll(".group.in .name")].filter((e) => {
	e.scrollIntoView({ block: "center", behavior: "instant" });
	const r = e.getBoundingClientRect();
	return !e.contains(document.elementFromPoint(r.x + Math.min(20, r.width / 2), r.top + r.height / 2));
}).map((e) => e.textContent).join(", ")`

// Nothing lies over a name of the photo that is taken now, at any size, after a press that changed the order and without
// signal; of 16 names most are seen without a finger, and whom to have ready comes behind them.
func TestBrowserNamesAreNeverCovered(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-50*time.Minute)))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	lead.press("#late")
	lead.press("#alllater")
	lead.shows("#main .changed", "more time")
	lead.shows("#title", "Both families")
	reader.visit(s, store.Reader)
	reader.press("[data-key=block-yard]")
	reader.shows("#title", "Both families")
	check := func(b phoneTab, what string, least map[int64]int) {
		t.Helper()
		for _, screen := range [][2]int64{{390, 664}, {390, 844}, {320, 568}} {
			b.do(emulation.SetDeviceMetricsOverride(screen[0], screen[1], 1, true))
			b.until("document.querySelectorAll('.group.in .name').length >= 14")
			where := fmt.Sprintf("%s at %dx%d", what, screen[0], screen[1])
			assert.Empty(t, b.js(covered), where)
			b.js(`import("/day/views.js").then((v) => v.toTop())`)
			assert.GreaterOrEqual(t, b.inSight(), least[screen[1]], where)
			assert.Equal(t, "true", b.js(`String(document.querySelector(".after").getBoundingClientRect().top
				>= Math.max(...[...document.querySelectorAll(".group.in .name")].map((e) => e.getBoundingClientRect().bottom)))`), where)
			b.shoot("names-" + where)
		}
	}
	check(lead, "lead", map[int64]int{664: 14, 844: 16, 568: 6})
	check(reader, "reader", map[int64]int{664: 8, 844: 13, 568: 5})
	for _, b := range []phoneTab{lead, reader} {
		b.until("navigator.serviceWorker.controller !== null")
		b.signal(false)
		b.do(chromedp.Reload())
		b.see("#contact")
	}
	lead.press("#start")
	lead.see("#unsent [data-unsent]")
	check(lead, "lead without signal", map[int64]int{664: 10, 844: 14, 568: 4})
	check(reader, "reader without signal", map[int64]int{664: 5, 844: 11, 568: 2})
	assert.Empty(t, lead.complaints.all())
}

// Who has to be called stands in large letters, each on a line; the couple, who stand there anyway, small and last.
func TestBrowserCallerReadsNames(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-time.Minute)))
	s.serve()
	s.opened(store.Lead)
	reader := device(t)
	reader.visit(s, store.Reader)
	reader.press("[data-key=block-yard]")
	reader.shows("#title", "Both families")
	assert.Equal(t, "true", reader.js(`String(document.querySelector(".call .about").textContent.includes("Isla Kerr"))`))
	assert.Equal(t, "14", reader.js("String(document.querySelectorAll('.call .name').length)"))
	tops := reader.js(`String(new Set([...document.querySelectorAll(".call .name")].map((e) => Math.round(e.getBoundingClientRect().top))).size)`)
	assert.Equal(t, "14", tops, "a line each")
	assert.Equal(t, "true", reader.js(`String([...document.querySelectorAll(".call .name")].every((e) =>
		parseFloat(getComputedStyle(e).fontSize) > parseFloat(getComputedStyle(document.querySelector(".call .about")).fontSize)))`))

	s.told(store.Lead, run.Mark{Kind: run.Joined, Person: "effie", Name: "Effie Kerr", Groupings: []string{"both"}})
	reader.until(`document.querySelector(".call li")?.textContent.replace(/[\u2066-\u2069]/g, "").startsWith("Effie Kerr new")`)

	// What the link promises can be done: who is missing is said by one press where the names are.
	reader.press("#missing")
	reader.press("dialog input[value=rory]")
	reader.press("#wait")
	u := s.planned(1)
	assert.Equal(t, []any{run.Absent, "rory"}, []any{u.Marks[1].Kind, u.Marks[1].Person})
	assert.Len(t, u.Marks, 2)
	reader.tab("people")
	reader.press("[data-key=person-rory]")
	reader.pressText("Is here now")
	s.planned(2)
	assert.Empty(t, reader.complaints.all())
}

// Who is missing is said by name on all phones, whatever else there is to say, and the line of what was pressed names them.
func TestBrowserMissingByName(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(20*time.Minute)))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	reader.visit(s, store.Reader)
	reader.press("[data-key=block-yard]")
	for _, b := range []phoneTab{lead, reader} {
		b.shows("#main", "Wait until")
	}
	lead.press("#missing")
	lead.press("dialog input[value=rory]")
	lead.press("dialog input[value=thatha]")
	lead.press("#wait")
	u := s.planned(1)
	s.told(store.Lead, run.Mark{Kind: run.Gone, Person: "ailsa"}) // a question beside it
	lead.see("#ask")
	for _, b := range []phoneTab{lead, reader} {
		b.until(`["Rory Kerr", "Venkat Raman"].every((n) => document.querySelector("#lacking")?.textContent.includes(n))`)
		assert.Equal(t, "true", b.js(`String(!document.querySelector(".folded #lacking"))`))
	}
	lead.press("#undo") // of Ailsa, who has left
	s.planned(len(u.Marks) + 1)
	lead.shows(".last", "Rory Kerr, Venkat Raman")

	// In the middle of a photo its own line says who is missing, not that the photo was put back.
	lead.press("#undo")
	u = s.planned(len(u.Marks) + 3)
	lead.press("#start")
	u = s.planned(len(u.Marks))
	lead.press("#missing")
	lead.press("dialog input[value=rory]")
	lead.see("#twice")
	lead.press("#wait")
	s.planned(len(u.Marks) + 1)
	lead.shows(".last", "Missing: Rory Kerr")
	assert.Empty(t, lead.complaints.all())
	assert.Empty(t, reader.complaints.all())
}

// A photo whose people stand ready is taken now without who is missing, and once more with them.
func TestBrowserTakenTwice(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-time.Minute)))
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	lead.press("#start")
	u := s.planned(0)
	title := lead.text("#title")
	lead.press("#missing")
	lead.press("dialog input[value=rory]")
	lead.press("#twice")
	u = s.planned(len(u.Marks) + 2)
	assert.Equal(t, []run.Kind{run.Absent, run.Without, run.Added}, []run.Kind{u.Marks[1].Kind, u.Marks[2].Kind, u.Marks[3].Kind})
	assert.Contains(t, u.Marks[3].Grouped.Members, "rory")
	lead.shows("#title", title)
	lead.shows(".where", "In progress")
	lead.tab("list")
	lead.shows("#main", title+", again")
	assert.Empty(t, lead.complaints.all())
}

// A time slot ends at another time by one entry, and what is said of it is which end was moved.
func TestBrowserSlotEndsAt(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-time.Minute)))
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	lead.tab("overview")
	lead.press("[data-key=block-yard]")
	lead.do(emulation.SetDeviceMetricsOverride(320, 568, 1, true))
	assert.Equal(t, "true", lead.js(`(() => {
		const e = document.querySelector("#endslot"), r = e.getBoundingClientRect();
		return String(e.contains(document.elementFromPoint(r.x + r.width / 2, r.top + r.height / 2)));
	})()`), "its last button is in sight on the smallest phone")
	lead.do(emulation.SetDeviceMetricsOverride(390, 844, 1, true))
	ends := time.Now().Add(30 * time.Minute).UTC()
	lead.js(fmt.Sprintf("document.querySelector('#ends').value = %q", lead.js(fmt.Sprintf(`import("/day/words.js").then(({ minuteOfDay }) => {
		const at = minuteOfDay(%d), two = (n) => String(n).padStart(2, "0");
		return two(Math.floor(at / 60)) + ":" + two(at %% 60);
	})`, ends.UnixMilli()))))
	lead.press("#setends")
	u := s.planned(0)
	assert.WithinDuration(t, ends, u.Marks[0].Closes, time.Minute)
	lead.tab("now")
	lead.shows(".last", "ends at")
	assert.NotContains(t, lead.text(".last"), "begins")
	assert.Empty(t, lead.complaints.all())
}

// A caller who opens the link on a new phone stands where the first photographer is, whatever a second one does just now, and
// counts the photos of that place; what was gone past without signal is not counted again when the mark has come.
func TestBrowserCallerStandsWithTheFirst(t *testing.T) {
	e := castle(t, time.Now().Add(-time.Minute))
	s := newStage(t, e)
	s.serve()
	s.opened(store.Lead)
	s.told(store.Lead, run.Mark{Kind: run.Started, Grouping: "t-boyd", Block: "terrace"})
	reader := device(t)
	reader.visit(s, store.Reader)
	reader.until(`import("/day/state.js").then(({ app }) => app.block === "yard")`)
	yard := 0
	for _, p := range photographs(e) {
		if len(p.Blocks) == 1 && p.Blocks[0] == "yard" {
			yard++
		}
	}
	reader.shows(".where", fmt.Sprintf("1 of %d", yard))
	first := s.current().Plan.Sheet.Blocks[0].Entries[0].Grouping
	reader.js(fmt.Sprintf(`import("/day/state.js").then(({ stepOn, paint }) => { stepOn(%q); paint(); })`, first))
	reader.shows(".where", fmt.Sprintf("2 of %d", yard))
	s.told(store.Lead, run.Mark{Kind: run.Taken, Grouping: first, Block: "yard"})
	reader.shows(".where", fmt.Sprintf("2 of %d", yard))
	assert.Empty(t, reader.complaints.all())
}
