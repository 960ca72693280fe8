package api

import (
	"context"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/gate"
	"kinorder.example/solver/standing"
)

// A drawing that shows who stands where waits for its place as searches do. While there is time when it comes to it,
// it is whole; when there is none any more, the caller is told so before the deadline.
func TestRenderKeepsItsDeadline(t *testing.T) {
	req := &kinorderv1.RenderRequest{
		Event: &kinorderv1.Event{People: []*kinorderv1.Person{{Id: "ann", Name: "Ann"}}, Groupings: []*kinorderv1.Grouping{{Id: "one", Members: []string{"ann"}}}},
		Sheet: &kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{Entries: []*kinorderv1.SheetEntry{{Grouping: "one", StepIn: []string{"ann"}}}}}},
		Kind:  kinorderv1.RenderKind_RENDER_KIND_STANDING,
	}
	for held, drawn := range map[time.Duration]bool{0: true, 59 * time.Second: true, 2 * time.Minute: false} {
		synctest.Test(t, func(t *testing.T) {
			s := New(Options{Gate: gate.New(1, 1), Workers: 1})
			_, leave, err := s.enter(t.Context())
			require.NoError(t, err)
			go func() {
				time.Sleep(held)
				leave()
			}()
			ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
			defer cancel()
			answer, err := s.Render(ctx, req)
			assert.NoError(t, ctx.Err(), "it answers before the deadline")
			if drawn {
				require.NoError(t, err)
				assert.Contains(t, string(answer.GetContent()), "<svg")
			} else {
				require.Error(t, err)
				assert.Equal(t, codes.DeadlineExceeded, statusOf(err).Code())
			}
			time.Sleep(2 * time.Minute)
		})
	}
}

func TestAnswerMargin(t *testing.T) {
	assert.Equal(t, 10*time.Millisecond, answerMargin(0))
	assert.Equal(t, 200*time.Millisecond, answerMargin(2*time.Second))
	assert.Equal(t, 500*time.Millisecond, answerMargin(time.Hour))
}

// late is a caller whose time ends as the gate lets it in.
type late struct {
	context.Context
	looks int
}

func (l *late) Done() <-chan struct{} {
	over := make(chan struct{})
	close(over)
	return over
}

func (l *late) Err() error {
	if l.looks++; l.looks == 1 {
		return nil
	}
	return context.DeadlineExceeded
}

// Who stands where is found by then or not at all: what there is is given, and it doesn't claim to be the best.
func TestArrangeEndsWithItsCaller(t *testing.T) {
	e, g := &kinorderv1.Event{}, &kinorderv1.Grouping{Id: "all"}
	for i := range standing.ExactPeople {
		id := fmt.Sprint("p", i)
		e.People, g.Members = append(e.People, &kinorderv1.Person{Id: id, Name: id, HeightCm: int32(150 + i*37%45)}), append(g.Members, id)
	}
	e.Groupings = []*kinorderv1.Grouping{g}
	req := &kinorderv1.ArrangeRequest{Event: e, Grouping: "all"}
	s := New(Options{Gate: gate.New(1, 1), Workers: 1})
	whole, err := s.Arrange(t.Context(), req)
	require.NoError(t, err)
	assert.True(t, whole.GetProven())
	answered := 0
	for range 100 { // the gate lets some in and tells the others that they are too late
		answer, err := s.Arrange(&late{Context: t.Context()}, req)
		if err != nil {
			require.ErrorIs(t, err, context.DeadlineExceeded)
			continue
		}
		answered++
		assert.NotEmpty(t, answer.GetRows())
		assert.False(t, answer.GetProven())
	}
	assert.Positive(t, answered)
}
