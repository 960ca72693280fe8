package server

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// Whoever a family ticks to go first is sent as a rule of seniority, and goes first.
func TestPlanTakesFirstWhoIsTicked(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	e := party()
	e.Groupings = []*kinorderv1.Grouping{{Id: "ab", Members: []string{"ann", "bo"}}, {Id: "b", Members: []string{"bo"}}, {Id: "c", Members: []string{"cy"}}}
	for _, first := range []string{"ann", "cy"} {
		e.Rules = []*kinorderv1.Rule{{Kind: &kinorderv1.Rule_Seniority{Seniority: &kinorderv1.Seniority{People: []string{first, "bo"}}}}}
		sheet, err := r.client.Plan(t.Context(), e, client.PlanOptions{})
		require.NoError(t, err)
		var order []string
		for _, entry := range sheet.GetBlocks()[0].GetEntries() {
			order = append(order, entry.GetGrouping())
		}
		want := map[string]string{"ann": "ab", "cy": "c"}[first]
		assert.Less(t, slices.Index(order, want), slices.Index(order, "b"), "%v", order)
	}
}
