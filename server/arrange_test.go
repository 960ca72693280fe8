package server

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"kinorder.example/client"
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

// A sheet is drawn with who stands where in it: every entry has a plan of just its people, in the space of its block.
func TestRenderPlacesPeople(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	e := party()
	e.Blocks = []*kinorderv1.Block{{Id: "b", Space: &kinorderv1.StandingSpace{WidthCm: 400, Chairs: 3}}}
	sheet, err := r.client.Plan(t.Context(), e, client.PlanOptions{})
	require.NoError(t, err)
	for _, b := range sheet.GetBlocks() {
		for _, entry := range b.GetEntries() {
			assert.Nil(t, entry.GetStanding(), "a plan does not pay for it")
		}
	}
	placed := &kinorderv1.CallSheet{}
	json, err := r.client.Render(t.Context(), e, sheet, client.RenderOptions{Format: kinorderv1.RenderFormat_RENDER_FORMAT_JSON})
	require.NoError(t, err)
	require.NoError(t, protojson.Unmarshal(json.GetContent(), placed))
	assert.Contains(t, string(json.GetContent()), `"standing": {`)
	assert.Contains(t, string(json.GetContent()), "POSTURE_ON_CHAIR")
	for i, b := range placed.GetBlocks() {
		for k, entry := range b.GetEntries() {
			require.NotNil(t, entry.GetStanding())
			var people []string
			for _, row := range entry.GetStanding().GetRows() {
				for _, p := range row.GetPlaces() {
					people = append(people, p.GetPerson())
				}
			}
			assert.ElementsMatch(t, append(entry.GetStepIn(), entry.GetStay()...), people)
			entry.Standing = nil
			assert.True(t, proto.Equal(sheet.GetBlocks()[i].GetEntries()[k], entry), "nothing else is changed")
		}
	}
	drawn, err := r.client.Render(t.Context(), e, sheet, client.RenderOptions{Kind: kinorderv1.RenderKind_RENDER_KIND_STANDING})
	require.NoError(t, err)
	assert.Contains(t, string(drawn.GetContent()), "<svg")
}
