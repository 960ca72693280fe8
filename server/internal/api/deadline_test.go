package api

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/gate"
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
