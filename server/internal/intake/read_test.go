package intake

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"kinorder.example/server/internal/event"
)

var update = flag.Bool("update", false, "rewrite the golden listings")

const demos = "../../../testdata"

// listing writes problems one a line as a planner would see them.
func listing(problems []Problem) string {
	var b strings.Builder
	for _, p := range problems {
		severity := [...]string{"info", "warning", "error"}[p.Severity]
		fmt.Fprintf(&b, "%d:%d %s %s [%s] %s\n", p.Line, p.Column, severity, p.Code, p.Field, p.Text())
	}
	return b.String()
}

func TestReadDemoEvents(t *testing.T) {
	for name, want := range map[string][3]int{ // people, photographs, photographs of one for each
		"harbour-wedding.yaml": {40, 26, 6},
		"valley-wedding.yaml":  {110, 45, 8},
		"lists/A4.event.yaml":  {20, 18, 0},
	} {
		t.Run(name, func(t *testing.T) {
			content, err := os.ReadFile(filepath.Join(demos, name))
			require.NoError(t, err)
			e, problems, err := Read(content, Auto)
			require.NoError(t, err)
			assert.Empty(t, listing(slices.DeleteFunc(problems, func(p Problem) bool { return p.Severity == event.Info })))
			taken, emptied := event.Expand(e)
			assert.Empty(t, emptied)
			portraits := 0
			for _, p := range taken {
				if p.Portrait {
					portraits++
				}
			}
			assert.Equal(t, want, [3]int{len(e.People), len(taken), portraits})

			// The same event as JSON reads the same.
			var tree map[string]any
			require.NoError(t, yaml.Load(content, &tree))
			if date, ok := tree["date"]; ok {
				tree["date"] = fmt.Sprint(date)[:10]
			}
			asJSON, err := json.Marshal(tree)
			require.NoError(t, err)
			again, problems, err := Read(asJSON, Auto)
			require.NoError(t, err)
			assert.Empty(t, listing(slices.DeleteFunc(problems, func(p Problem) bool { return p.Severity == event.Info })))
			assert.Equal(t, e, again)
		})
	}
}

// TestListings reads every file of testdata and compares the problems with the listing beside it.
func TestListings(t *testing.T) {
	files, err := filepath.Glob("testdata/*.*")
	require.NoError(t, err)
	read := 0
	for _, name := range files {
		if strings.HasSuffix(name, ".golden") {
			continue
		}
		read++
		t.Run(filepath.Base(name), func(t *testing.T) {
			content, err := os.ReadFile(name)
			require.NoError(t, err)
			_, problems, err := Read(content, tree(content))
			require.NoError(t, err)
			translated(t, problems)
			got := listing(problems)
			if *update {
				require.NoError(t, os.WriteFile(name+".golden", []byte(got), 0o644))
			}
			want, err := os.ReadFile(name + ".golden")
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
			assert.NotContains(t, got, "LAPWING", "a private note was repeated")
		})
	}
	require.Greater(t, read, 8)
}

// fullEvent has something in every field of the contract, though it makes no sense as a day.
func fullEvent(t *testing.T) event.Event {
	e := event.Event{
		Title: "Zoë & Bo", Date: "2026-06-20", TimeZone: "Europe/Lisbon", Emphasis: event.EarlyRelease, Confidence: 90, Fit: event.Safe, Latitude: ptr(38.7), Longitude: ptr(-9.5),
		Sides: []event.Side{{ID: "a", Label: "Zoë's side"}},
		People: []event.Person{{
			ID: "bo", Name: "Bo", SayAs: "boh", Relation: "uncle", Side: "a", AgeBand: event.Elder, HeightCM: 170,
			Needs: []event.Need{event.StepFree, event.Seat}, PresentFrom: "15:30", PresentUntil: "17:00", Absent: true,
			ReleaseWeight: ptr(0), PrivateNote: " two\nlines ", Presence: []event.Span{{From: "15:30", Until: "16:00"}}, Interpreter: "bo", Nicknames: []string{"Bobo"},
		}},
		Circles: []event.Circle{{ID: "c", Title: "C", Members: []string{"bo"}, Leader: "bo"}},
		Groupings: []event.Grouping{{
			ID: "007", Title: "G", Members: []string{"c"}, Without: []string{"bo"}, EachOf: "c", Priority: event.Nice,
			Blocks: []string{"k"}, After: []string{"x"}, Pin: event.PinLast, Minutes: ptr(2.5), Frames: 7, PrivateNote: "n",
			NotBefore: "15:40", NotAfter: "16:40", Confirms: []string{"r1"}, Worth: ptr(2.5), Guests: 80,
		}},
		Blocks: []event.Block{{ID: "k", Title: "K", Place: "Quay", Opens: "15:30", Closes: "17:00", Closing: event.FirmClosing, Overrun: ptr(0), Photographer: "V", Capacity: 60, StepFree: true, Light: event.DimLight,
			Latitude: ptr(-0.5), Longitude: ptr(20.25), Facing: "225", Indoors: true, StandBackCM: 900,
			Space: event.Space{WidthCM: 600, DepthCM: 250, Ground: true, Kneeling: true, Chairs: 8, Steps: 2, StepCM: 17, CameraHeightCM: 170, CameraDistanceCM: 700}}},
		Rules:  []event.Rule{{Apart: &event.Apart{People: []string{"bo", "c"}, Scope: event.InBlock, Until: "16:00"}, PrivateNote: "r", ID: "r1", Turns: &event.Turns{People: []string{"bo", "c"}}, Seniority: &event.Seniority{People: []string{"c", "bo"}}}},
		Honour: []string{"bo"}, Order: []event.HandPlace{{Grouping: "007", Block: "k", Locked: true}}, LeftOut: []string{"007"},
		Walks: []event.Walk{{From: "Quay", To: "Hall", Minutes: 4}},
		Pace: event.Pace{
			SettleSeconds: ptr(1), PerStepInSeconds: ptr(2), PerStepOutSeconds: ptr(3), FreshSeconds: ptr(4),
			Arrange: []event.ArrangePoint{{Newcomers: 1, Seconds: 5}}, PerFrameSeconds: ptr(6), ElderSeconds: ptr(7), ChildSeconds: ptr(8),
			InfantSeconds: ptr(9), WheelchairSeconds: ptr(10), OpeningSeconds: ptr(11), FetchSeconds: ptr(12), Calling: event.CallerCalls, Frames: []event.FramesPoint{{People: 1, Frames: 3}}, FramesConfidence: ptr(90),
			SlotSpreadPercent: ptr(22), DaySpreadPercent: ptr(8),
		},
		Weights: event.Weights{Step: ptr(1), ReleaseAdult: ptr(2), ReleaseChild: ptr(3), ReleaseInfant: ptr(4), ReleaseElder: ptr(5), ReleaseNeed: ptr(6), Idle: ptr(7)},
		Kit: event.Kit{SensorWidthMM: 36, SensorHeightMM: 24, GroupAperture: 5.6, Lenses: []event.Lens{
			{Title: "Zoom", FocalMM: 24, FocalToMM: 70, Widest: 3.5, WidestLong: 5.6, ClosestCM: 40},
		}},
	}
	requireFilled(t, reflect.ValueOf(e), "event")
	return e
}

func TestReadsEveryFieldAndSpelling(t *testing.T) {
	want := fullEvent(t)
	written, _, err := Read(WriteYAML(want, nil), YAML)
	require.NoError(t, err)
	assert.Equal(t, want, written, "as WriteYAML writes it:\n%s", WriteYAML(want, nil))
	for name, content := range map[string]string{
		"camel case and short values": `
title: "  Zoe` + "\u0308" + ` & Bo "
date: 2026-06-20
timeZone: Europe/Lisbon
emphasis: early-release
confidence: 90
fit: safe
latitude: 38.7
longitude: -9.5
sides: [{id: a, label: Zoe` + "\u0308" + `'s side}]
people:
  - {id: bo, name: Bo, sayAs: boh, relation: uncle, side: a, ageBand: Elder, heightCm: 170, needs: [step free, SEAT],
     presentFrom: 15:30, presentUntil: 17:00, absent: yes, releaseWeight: 0, privateNote: " two\nlines ",
     presence: [{from: 15:30, until: 16:00}], interpreter: bo, nicknames: [Bobo]}
circles: [{id: c, title: C, members: [bo], leader: bo}]
groupings: [{id: 007, title: G, members: [c], without: [bo], eachOf: c, priority: nice, blocks: [k], after: [x], pin: last, minutes: 2.5, frames: 7, privateNote: n,
  notBefore: 15:40, notAfter: 16:40, confirms: [r1], worth: 2.5, guests: 80}]
honour: [bo]
order: [{grouping: 007, block: k, locked: true}]
leftOut: [007]
walks: [{from: Quay, to: Hall, minutes: 4}]
blocks: [{id: k, title: K, place: Quay, opens: 15:30, closes: 17:00, closing: firm, overrunMinutes: 0, photographer: V, capacity: 60, stepFree: true, light: dim,
  latitude: -0.5, longitude: 20.25, facing: 225, indoors: yes, standBackCm: 900,
  space: {widthCm: 600, depthCm: 250, ground: true, kneeling: true, chairs: 8, steps: 2, stepCm: 17, cameraHeightCm: 170, cameraDistanceCm: 700}}]
rules: [{apart: {people: [bo, c], scope: block, until: 16:00}, privateNote: r, id: r1, turns: {people: [bo, c]}, seniority: {people: [c, bo]}}]
pace: {settleSeconds: 1, perStepInSeconds: 2, perStepOutSeconds: 3, freshSeconds: 4, arrange: [{newcomers: 1, seconds: 5}], perFrameSeconds: 6,
  elderSeconds: 7, childSeconds: 8, infantSeconds: 9, wheelchairSeconds: 10, openingSeconds: 11, fetchSeconds: 12, calling: caller, frames: [{people: 1, frames: 3}], framesConfidence: 90, slotSpreadPercent: 22, daySpreadPercent: 8}
kit: {sensorWidthMm: 36, sensorHeightMm: 24, groupAperture: 5.6,
  lenses: [{title: Zoom, focalMm: 24, focalToMm: 70, widest: 3.5, widestLong: 5.6, closestCm: 40}]}
weights: {step: 1, releaseAdult: 2, releaseChild: 3, releaseInfant: 4, releaseElder: 5, releaseNeed: 6, idle: 7}
`,
		"underscores, full values, numbers as texts": `{
	"title": "Zoë & Bo", "date": "2026-06-20", "time_zone": "Europe/Lisbon", "emphasis": "EMPHASIS_EARLY_RELEASE", "confidence": "90", "fit": "FIT_SAFE", "latitude": "38.7", "longitude": -9.5,
	"sides": [{"id": "a", "label": "Zoë's side"}],
	"people": [{"id": "bo", "name": "Bo", "say_as": "boh", "relation": "uncle", "side": "a", "age_band": "AGE_BAND_ELDER", "height_cm": "170",
		"needs": ["NEED_STEP_FREE", 1], "present_from": "15:30", "present_until": "17:00", "absent": true, "release_weight": 0e0, "private_note": " two\nlines ",
		"presence": [{"from": "15:30", "until": "16:00"}], "interpreter": "bo", "nicknames": ["Bobo"]}],
	"walks": [{"from": "Quay", "to": "Hall", "minutes": 4}],
	"circles": [{"id": "c", "title": "C", "members": ["bo"], "leader": "bo"}],
	"groupings": [{"id": "007", "title": "G", "members": ["c"], "without": ["bo"], "each_of": "c", "priority": "PRIORITY_NICE", "blocks": ["k"],
		"after": ["x"], "pin": 2, "minutes": "2.5", "frames": 7.0, "private_note": "n", "not_before": "15:40", "not_after": "16:40", "confirms": ["r1"], "worth": "2.5", "guests": 80}],
	"honour": ["bo"], "order": [{"grouping": "007", "block": "k", "locked": true}], "left_out": ["007"],
	"blocks": [{"id": "k", "title": "K", "place": "Quay", "opens": "15:30", "closes": "17:00", "closing": "CLOSING_FIRM", "overrun_minutes": 0, "photographer": "V", "capacity": 6e1, "step_free": true, "light": "LIGHT_DIM",
		"latitude": -0.5, "longitude": 20.25, "facing": 225, "indoors": true, "stand_back_cm": 900,
		"space": {"width_cm": 600, "depth_cm": "250", "ground": true, "kneeling": true, "chairs": 8, "steps": 2, "step_cm": 17, "camera_height_cm": 170, "camera_distance_cm": 700}}],
	"rules": [{"apart": {"people": ["bo", "c"], "scope": "APART_SCOPE_BLOCK", "until": "16:00"}, "private_note": "r", "id": "r1", "turns": {"people": ["bo", "c"]}, "seniority": {"people": ["c", "bo"]}}],
	"pace": {"settle_seconds": 1, "per_step_in_seconds": 2, "per_step_out_seconds": 3, "fresh_seconds": 4, "arrange": [{"newcomers": 1, "seconds": 5}],
		"per_frame_seconds": 6, "elder_seconds": 7, "child_seconds": 8, "infant_seconds": 9, "wheelchair_seconds": 10, "opening_seconds": 11, "fetch_seconds": 12, "calling": "CALLING_CALLER", "frames": [{"people": 1, "frames": 3}], "frames_confidence": 90, "slot_spread_percent": 22, "day_spread_percent": 8},
	"kit": {"sensor_width_mm": 36, "sensor_height_mm": "24", "group_aperture": 5.6, "lenses": [{"title": "Zoom", "focal_mm": 24, "focal_to_mm": 70, "widest": 3.5, "widest_long": 5.6, "closest_cm": 40}]},
	"weights": {"step": 1, "release_adult": 2, "release_child": 3, "release_infant": 4, "release_elder": 5, "release_need": 6, "idle": 7}
}`,
	} {
		t.Run(name, func(t *testing.T) {
			e, problems, err := Read([]byte(content), tree([]byte(content)))
			require.NoError(t, err)
			for _, p := range problems {
				assert.Contains(t, []string{event.CodeUnknownID, event.CodeCircleEmptied, event.CodeEmptyGrouping, event.CodeLeaderAbsent,
					event.CodeBadRule, event.CodeNoEffect}, p.Code, "%+v", p)
			}
			assert.Equal(t, want, e)
		})
	}
	readsBack(t, want)
}

func ptr[T any](v T) *T { return &v }

// requireFilled holds that the event of a test leaves no field out.
func requireFilled(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	require.False(t, v.IsZero(), path)
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			requireFilled(t, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice:
		requireFilled(t, v.Index(0), path)
	case reflect.Pointer:
		if v.Elem().Kind() == reflect.Struct {
			requireFilled(t, v.Elem(), path)
		}
	}
}

// TestFieldsAreThoseOfTheAPI compares the fields that are read with those of the API's contract.
func TestFieldsAreThoseOfTheAPI(t *testing.T) {
	contract, err := os.ReadFile("../../../proto/kinorder/v1/event.proto")
	require.NoError(t, err)
	at := map[string]string{ // an unknown field of each message
		"Event": `{"?": 0}`, "Side": `{"sides":[{"?": 0}]}`, "Person": `{"people":[{"?": 0}]}`, "Circle": `{"circles":[{"?": 0}]}`,
		"Grouping": `{"groupings":[{"?": 0}]}`, "Block": `{"blocks":[{"?": 0}]}`, "Rule": `{"rules":[{"?": 0}]}`,
		"Apart": `{"rules":[{"apart":{"?": 0}}]}`, "Turns": `{"rules":[{"turns":{"?": 0}}]}`, "Seniority": `{"rules":[{"seniority":{"?": 0}}]}`,
		"Presence": `{"people":[{"presence":[{"?": 0}]}]}`, "HandPlace": `{"order":[{"?": 0}]}`, "Walk": `{"walks":[{"?": 0}]}`, "StandingSpace": `{"blocks":[{"space":{"?": 0}}]}`, "Pace": `{"pace":{"?": 0}}`, "Weights": `{"weights":{"?": 0}}`,
		"ArrangePoint": `{"pace":{"arrange":[{"?": 0}]}}`, "FramesPoint": `{"pace":{"frames":[{"?": 0}]}}`,
		"Kit": `{"kit":{"?": 0}}`, "Lens": `{"kit":{"lenses":[{"?": 0}]}}`,
	}
	comments := regexp.MustCompile(`(?m)//.*$`).ReplaceAllString(string(contract), "")
	messages := regexp.MustCompile(`(?ms)^message (\w+) \{(.*?)^\}`).FindAllStringSubmatch(comments, -1)
	require.Len(t, messages, len(at))
	for _, m := range messages {
		var want []string
		for _, f := range regexp.MustCompile(`(\w+) = \d+;`).FindAllStringSubmatch(m[2], -1) {
			parts := strings.Split(f[1], "_")
			for i := range parts[1:] {
				parts[i+1] = strings.ToUpper(parts[i+1][:1]) + parts[i+1][1:]
			}
			want = append(want, strings.Join(parts, ""))
		}
		require.Contains(t, at, m[1])
		_, problems, err := Read([]byte(at[m[1]]), JSON)
		require.NoError(t, err)
		var got []string
		for _, p := range problems {
			if p.Code == CodeUnknownField {
				_, names, _ := strings.Cut(strings.TrimSuffix(p.Text(), "."), "There are: ")
				got = strings.Split(names, ", ")
			}
		}
		assert.ElementsMatch(t, want, got, m[1])
	}
	enums := regexp.MustCompile(`(?ms)^enum (\w+) \{(.*?)^\}`).FindAllStringSubmatch(comments, -1)
	tables := map[string][]string{}
	for t, e := range enumerations {
		for _, n := range e.names {
			tables[t.Name()] = append(tables[t.Name()], e.prefix+strings.ToUpper(n))
		}
	}
	require.Len(t, enums, len(tables))
	for _, m := range enums {
		var want []string
		for i, v := range regexp.MustCompile(`(\w+) = (\d+);`).FindAllStringSubmatch(m[2], -1) {
			require.Equal(t, fmt.Sprint(i), v[2])
			want = append(want, v[1])
		}
		assert.Equal(t, want, tables[m[1]], m[1])
	}
}
