package run_test

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
)

// storyLength is how many plans a phone without signal makes by itself before it hears of the server again.
const storyLength = 5

// What a server finds in the 60 ms that it has, and the core in the wire.Budget that it has in a browser, where all takes about
// four times as long: in steps, so that a busy machine comes to the same.
var (
	onServer = planning.Options{Work: 256}
	onPhone  = planning.Options{Work: 64}
)

// alone is a phone without signal beside the server, and what became of its plans.
type alone struct {
	t       *testing.T
	server  *run.Plan
	own     *run.Plan
	seed    uint64
	made    int
	stories int
	steps   int // that people step in more often than by the server's plan
	late    []string
	traded  int // must-haves that are late instead of others that are by the server's plan
	hidden  []string
}

// planned has the phone plan by itself what the server has planned, from what it had when the story began.
func (a *alone) planned(p run.Planned) {
	before := a.server
	a.server = &p.Plan
	if a.made == 0 {
		a.own = before
	}
	own, err := p.About.Heed(p.Made, p.Fresh, a.own, p.Now, func(e event.Event, today planning.Today) (run.Plan, error) {
		today.Alone = true
		return planning.Replan(a.t.Context(), e, today, onPhone)
	})
	require.NoError(a.t, err)
	a.own = &own
	if a.made++; a.made == storyLength {
		a.made = 0
		a.stories++
		a.compare(p, own)
	}
}

func (a *alone) compare(p run.Planned, own run.Plan) {
	theirs, mine := entriesOf(p.Plan), entriesOf(own)
	state := run.Fold(slices.Concat(p.Made, p.Fresh))
	late := map[bool]int{}
	for _, g := range slices.Concat(p.About.Event.Groupings, state.Added) {
		here, planned := mine[g.ID]
		there, known := theirs[g.ID]
		if known && !planned {
			a.hidden = append(a.hidden, fmt.Sprintf("seed %d: %s", a.seed, g.ID))
		}
		if g.Priority == event.Must && known && planned && (here.over > 0) != (there.over > 0) {
			late[here.over > 0]++
		}
		a.steps += here.steps - there.steps
	}
	if more := late[true] - late[false]; more > 0 {
		a.late = append(a.late, fmt.Sprintf("seed %d: %d more", a.seed, more))
	}
	a.traded += min(late[true], late[false])
}

// timed is how many step into a photograph, and how far its end is past the closing of its block.
type timed struct {
	steps int
	over  time.Duration
}

func entriesOf(p run.Plan) map[string]timed {
	out := map[string]timed{}
	for _, b := range p.Sheet.Blocks {
		closes := time.Time{}
		for _, f := range p.Forecasts {
			if f.Block == b.Block {
				closes = f.Closes
			}
		}
		for _, e := range b.Entries {
			x := timed{steps: len(e.StepIn)}
			if !closes.IsZero() {
				x.over = b.Start.Add(e.Offset + e.Length).Sub(closes)
			}
			out[e.Grouping] = x
		}
	}
	return out
}

// A phone without signal does by its own plans what the server would have had it do: no more must-haves come after the closing than
// by the server's plan, nothing is left out that the server plans, and nobody is called more often. KINORDER_STORIES
// plays so many.
func TestPhonesWithoutSignalDoAsWell(t *testing.T) {
	most := 0.1
	many, err := strconv.Atoi(os.Getenv("KINORDER_STORIES"))
	if err != nil {
		needs.Time(t)
		many, most = 15, 0.2 // one story more or less says little
	}
	a := alone{t: t}
	for seed := uint64(0); a.stories < many; seed++ {
		a.seed, a.server, a.own, a.made = seed, nil, nil, 0
		run.Played(t, seed, onServer, a.planned)
	}
	extra := float64(a.steps) / float64(a.stories)
	t.Logf("%d stories: %d musts late, %d late instead of others, %d hidden, %.2f step-ins more", a.stories, len(a.late), a.traded, len(a.hidden), extra)
	assert.Empty(t, a.late)
	assert.Empty(t, a.hidden)
	assert.LessOrEqual(t, extra, most)
}
