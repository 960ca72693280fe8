package server

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

func TestArrange(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	plan, err := r.client.Arrange(t.Context(), party(), "all", nil)
	require.NoError(t, err)
	seen := map[string]kinorderv1.Posture{}
	for _, row := range plan.GetRows() {
		for _, place := range row.GetPlaces() {
			seen[place.GetPerson()] = place.GetPosture()
			assert.Equal(t, place.GetPerson() != "bo", place.GetHeightGuessed(), "only Bo has a height")
		}
	}
	assert.Equal(t, map[string]kinorderv1.Posture{
		"ann": kinorderv1.Posture_POSTURE_STANDING, "bo": kinorderv1.Posture_POSTURE_ON_CHAIR, "cy": kinorderv1.Posture_POSTURE_STANDING,
	}, seen, "Bo needs a seat")
	assert.True(t, plan.GetProven(), "small groupings are solved exactly")
	assert.Contains(t, strings.Join(plan.GetWarnings(), "\n"), "chairs")
	assert.True(t, strings.HasPrefix(plan.GetSvg(), "<svg"))
	assert.NotContains(t, plan.GetSvg(), "LAPWING")
}

func TestArrangeRefuses(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	for field, ask := range map[string]func() error{
		"event":    func() error { _, err := r.client.Arrange(t.Context(), nil, "all", nil); return err },
		"grouping": func() error { _, err := r.client.Arrange(t.Context(), party(), "none", nil); return err },
		"space": func() error {
			_, err := r.client.Arrange(t.Context(), party(), "all", &kinorderv1.StandingSpace{Steps: 9})
			return err
		},
	} {
		e := refusal(t, ask())
		assert.Equal(t, codes.InvalidArgument, e.Code, field)
		require.NotEmpty(t, e.Violations, field)
		assert.Equal(t, field, e.Violations[0].Field)
	}
}
