package run_test

import (
	"encoding/json"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/web/phone/wire"
	"kinorder.example/server/internal/wording"
)

// A phone without signal plans as the server does: it is told what the page is told, goes by its own plans from then on,
// and comes to the same, day by day and mark by mark.
func TestPhonesPlanAsTheServer(t *testing.T) {
	needs.Alone(t)
	wild := uint64(1000)
	plans, own := 0, 0
	words, said := wording.PhoneTexts()["en"].Messages, regexp.MustCompile(`"Key":"(\w+\.\w+)"`)
	for _, seed := range []uint64{3, 7, 48, wild, wild + 2} {
		var core wire.Core
		var inForce *wire.Plan
		run.Played(t, seed, planning.Options{Work: 1}, func(p run.Planned) {
			plans++
			if inForce == nil {
				about, err := json.Marshal(p.About)
				require.NoError(t, err)
				require.NoError(t, core.Know(about))
			}
			asked := wire.Asked{Now: event.Millis(p.Now), Plan: inForce, Work: 1}
			for i, m := range p.Made {
				m.Sequence = int64(i + 1)
				asked.Marks = append(asked.Marks, wire.MarkOf(m))
			}
			for _, m := range p.Fresh { // as the phone has them, which the desk completes
				switch m.Kind {
				case run.Absent:
					m.Until = time.Time{}
				case run.Arrived:
					m.Groupings = nil
				}
				asked.Marks = append(asked.Marks, wire.MarkOf(m))
			}
			own += len(p.Fresh)
			question, err := json.Marshal(asked)
			require.NoError(t, err)
			answer, err := core.Plan(question)
			require.NoError(t, err)
			want, err := json.Marshal(wire.PlanOf(p.Plan))
			require.NoError(t, err)
			require.JSONEq(t, string(want), string(answer), "seed %d, plan %d", seed, plans)
			for _, m := range said.FindAllStringSubmatch(string(answer), -1) {
				assert.Contains(t, words, wording.Key(m[1]), "the page has no words for it")
			}
			inForce = nil
			require.NoError(t, json.Unmarshal(answer, &inForce))
		})
	}
	assert.Greater(t, plans, 100)
	assert.Greater(t, own, 100)
}
