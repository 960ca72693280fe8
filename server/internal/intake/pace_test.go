package intake

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
)

func studio() event.StudioPace {
	return event.StudioPace{
		Pace: event.Pace{
			SettleSeconds: ptr(31), PerStepInSeconds: ptr(0), Arrange: []event.ArrangePoint{{Newcomers: 0, Seconds: 0}, {Newcomers: 2, Seconds: 48}},
			SlotSpreadPercent: ptr(22), DaySpreadPercent: ptr(8),
		},
		Photographs: 143, Events: 6, SetAside: 4, LeastPhotographs: 20, HeldOut: 6, Text: `Fitted: "so" – yes.`,
		Parameters: []event.PaceParameter{{Name: "settle", Value: 31.2, Deviation: 2.1, Usual: 38, Learned: true}, {Name: "slow", Value: 0, Deviation: 0.5, Usual: 1}},
		Before:     &event.PaceError{PhotographSeconds: 34.5, EventSeconds: 410}, After: &event.PaceError{PhotographSeconds: 24, EventSeconds: 126.5},
	}
}

func TestPaceIsReadBackAsItWasWritten(t *testing.T) {
	for name, s := range map[string]event.StudioPace{"full": studio(), "bare": {Pace: event.Pace{FreshSeconds: ptr(12)}}} {
		got, problems, err := ReadPace(WritePace(s))
		require.NoError(t, err)
		assert.Empty(t, problems, "%s:\n%s", name, WritePace(s))
		assert.Equal(t, s, got, "%s:\n%s", name, WritePace(s))
	}
	got, problems, err := ReadPace([]byte(`{"pace": {"settle_seconds": 40}, "events": 2, "heldOut": 0}`))
	require.NoError(t, err)
	assert.Empty(t, problems)
	assert.Equal(t, event.StudioPace{Pace: event.Pace{SettleSeconds: ptr(40)}, Events: 2}, got)
}

func TestFaultsOfAPaceFileHaveTheirPlace(t *testing.T) {
	for content, want := range map[string]string{
		"":                            "1:1 error EMPTY_FILE [] The file is empty: use a file that kinorder measure wrote.",
		"pace:\nevents: 3\n":          "1:1 error MISSING [pace] The file has no pace: use a file that kinorder measure wrote.",
		"photographs: 3\n":            "1:1 error MISSING [pace] The file has no pace: use a file that kinorder measure wrote.",
		"pace: {settleSeconds: -4}\n": "1:23 error OUT_OF_RANGE [pace.settleSeconds] pace.settleSeconds is -4: it must be from 0 to 3600.",
		"pace: {settleSecond: 4}\n":   "1:8 error UNKNOWN_FIELD [pace.settleSecond] There is no field \"settleSecond\" here: did you mean settleSeconds?",
		"pace: {}\nevents: many\n":    "2:9 error WRONG_TYPE [events] events must be a whole number, not \"many\".",
		"pace: {}\nparameters:\n - {value: -1}\n": "3:12 error OUT_OF_RANGE [parameters[0].value] parameters[0].value is -1: it must be from 0 to 100000000.",
		"pace: [\n": "SYNTAX",
		"\xff":      "ENCODING",
	} {
		_, problems, err := ReadPace([]byte(content))
		require.NoError(t, err)
		require.Len(t, problems, 1, content)
		assert.Contains(t, listing(problems), want, content)
	}
	_, _, err := ReadPace(bytes.Repeat([]byte("#"), MaxPace+1))
	assert.ErrorIs(t, err, ErrPaceTooLarge)
}

func FuzzReadPace(f *testing.F) {
	f.Add(WritePace(studio()))
	f.Add([]byte(`{"pace": {"arrange": [{"newcomers": 1}]}, "before": null, "after": {"eventSeconds": 1e400}}`))
	f.Add([]byte("&@"))
	f.Add([]byte("pace:"))
	f.Add([]byte(`{"pace": {}}`))
	f.Add([]byte("pace: &a {settleSeconds: 1}\nparameters: [*a, *a]\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		s, problems, err := ReadPace(content)
		if err != nil {
			return
		}
		for _, p := range problems {
			if p.Text() == "" || p.Code == "" {
				t.Errorf("a problem without words: %+v", p)
			}
			if p.Severity == event.Error {
				return
			}
		}
		if faults := check.Pace(s.Pace); len(event.Faults(faults)) > 0 {
			t.Errorf("a pace that no event may have: %v", faults)
		}
		again, problems, err := ReadPace(WritePace(s))
		if err != nil || len(problems) > 0 && !strings.Contains(s.Text, "\x00") {
			t.Errorf("not read back: %v %v", problems, err)
		}
		assert.Equal(t, s, again)
	})
}
