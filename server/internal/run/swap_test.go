package run_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
	"kinorder.example/server/internal/wording"
)

// What a changed list takes away is said before it is used and afterwards, must-haves first, with what was marked; photographs
// keep the numbers of the paper; and the old list comes back with all that was marked.
func TestAChangedListSaysWhatItChanges(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	first := watch(t, d, ref, 0, planned)
	paper := first[len(first)-1].Plan.Numbers
	assert.Len(t, paper, 3)
	none, err := d.Numbers(t.Context(), ref, list())
	require.NoError(t, err)
	assert.Empty(t, none, "before anything is marked a new list begins a run of its own")
	_, err = d.Mark(t.Context(), ref, "first", time.Time{}, []run.Mark{
		{ID: storetest.NewID(), Kind: run.Taken, At: began, Grouping: "all"},
		{ID: storetest.NewID(), Kind: run.Without, At: began, Grouping: "ab", People: []string{"bo"}},
	})
	require.NoError(t, err)
	before := watch(t, d, ref, first[len(first)-1].Sequence, planned)
	next := before[len(before)-1].Plan
	assert.Equal(t, paper, next.Numbers)

	e := list()
	e.People = e.People[:2]
	e.Groupings = []event.Grouping{
		{ID: "new", Title: "Brand new", Members: []string{"ann"}}, {ID: "all", Title: "Everybody", Members: []string{"ann", "bo"}},
	}
	want := []string{
		"Not in the list any more: “Ann & Bo”, “Cy”.", "What was marked about these goes too: “Ann & Bo”.", "No longer in “Ann, Bo & Cy”: Cy.",
		"New in the list: “Brand new”.", "“Ann, Bo & Cy” is now called “Everybody”.",
	}
	texts := func(said []wording.Message) (out []string) {
		for _, m := range said {
			out = append(out, m.String())
		}
		return out
	}
	said, err := d.Swap(t.Context(), ref, e)
	require.NoError(t, err)
	assert.Equal(t, want, texts(said))

	printed, err := d.Numbers(t.Context(), ref, e)
	require.NoError(t, err)
	anew := beginAnew(t, s, ref, e, func(*event.CallSheet) {})
	require.NoError(t, d.Carry(t.Context(), ref, anew, run.Ref{}))
	all := func(u run.Update) bool { return u.Plan != nil && u.Covers > 0 && u.Covers == u.LastMark }
	after := watch(t, d, anew, 0, all)
	plan := after[len(after)-1].Plan
	require.NotNil(t, plan.Swapped)
	assert.Equal(t, want, texts(plan.Swapped.Said))
	assert.Equal(t, ref.Run, plan.Swapped.Run)
	assert.Equal(t, paper["all"], plan.Numbers["all"])
	assert.Equal(t, 4, plan.Numbers["new"])
	assert.Equal(t, plan.Numbers, printed, "on paper of the new list too")

	now, err := s.Run(t.Context(), ref)
	require.NoError(t, err)
	back, err := s.CreateRun(t.Context(), store.Request{}, ref.Event, now.Sheet)
	require.NoError(t, err)
	require.NoError(t, d.Carry(t.Context(), anew, back.Ref, ref))
	u := watch(t, d, back.Ref, 0, all)
	last := u[len(u)-1]
	assert.Equal(t, []string{"bo"}, last.State.Groupings["ab"].Without)
	assert.Equal(t, run.Done, last.State.Groupings["all"].Status)
	for id, n := range paper {
		assert.Equal(t, n, last.Plan.Numbers[id], id)
	}
}

// A must-have that a changed list only wishes for is said with what is lost, and the other way round.
func TestAChangedListSaysWhatMustNotBeAnyMore(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	e := list()
	e.Groupings[1].Priority = event.Must
	said, err := d.Swap(t.Context(), ref, e)
	require.NoError(t, err)
	assert.Equal(t, []wording.Message{wording.Say("plan.changedListNeed", wording.Comma(wording.Curly("Ann & Bo")))}, said)
	anew := beginAnew(t, s, ref, e, func(*event.CallSheet) {})
	said, err = d.Swap(t.Context(), anew, list())
	require.NoError(t, err)
	assert.Equal(t, []wording.Message{wording.Say("plan.changedListWish", wording.Comma(wording.Curly("Ann & Bo")))}, said)
}
