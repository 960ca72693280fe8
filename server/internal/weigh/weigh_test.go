package weigh

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type leaf struct {
	Text string `json:"called,omitempty"`
	Room [12]int64
}

type tree struct {
	Leaves []leaf
	Held   *leaf
	Named  map[string]leaf
	Below  []tree `json:",omitempty"`
	Names  []string
	leaf
}

func TestJSON(t *testing.T) {
	one := int(reflect.TypeFor[leaf]().Size())
	for content, want := range map[string]int{
		`{"Leaves":[{},null,0,"ab"]}`:      4*one + 2, // what does not fit leaves its place behind
		`{"LEAVES":[{"Called":"abc"}]}`:    one + 3,
		`{"Held":{}}`:                      one,
		`{"Named":{"a":{}}}`:               one + 49,
		`{"called":"abc","Other":[{},{}]}`: 3,
		`{"Names":["a","b"]}`:              2*16 + 2,
		`{"Below":[{"Below":[{}]}]}`:       2 * int(reflect.TypeFor[tree]().Size()),
		`[1,2,3]`:                          0,
	} {
		got, err := JSON([]byte(content), tree{}, math.MaxInt)
		require.NoError(t, err, content)
		assert.Equal(t, want, got, content)
	}
	_, err := JSON([]byte(`{"Leaves":[`+strings.Repeat("0,", 1000)+`0]}`), tree{}, 10_000)
	assert.ErrorIs(t, err, ErrTooMuch)
	_, err = JSON([]byte(strings.Repeat(`{"Below":[`, 1000)), tree{}, math.MaxInt)
	assert.ErrorIs(t, err, ErrTooMuch, "too deep")
	for _, content := range []string{``, `{`, `{"a"`, `[}`, `x`} {
		_, err := JSON([]byte(content), tree{}, math.MaxInt)
		assert.Error(t, err, content)
	}
}

// What decodes is weighed, and never for less than its lists hold.
func FuzzJSON(f *testing.F) {
	f.Add([]byte(`{"Leaves":[{},null],"Below":[{"Names":["a"]}]}`))
	f.Fuzz(func(t *testing.T, content []byte) {
		var got tree
		if json.Unmarshal(content, &got) != nil {
			return
		}
		weight, err := JSON(content, got, math.MaxInt)
		if err != nil {
			assert.ErrorIs(t, err, ErrTooMuch)
			return
		}
		assert.GreaterOrEqual(t, weight, holds(got))
	})
}

func holds(t tree) int {
	n := len(t.Leaves)*int(reflect.TypeFor[leaf]().Size()) + len(t.Below)*int(reflect.TypeFor[tree]().Size()) + len(t.Names)*16
	for _, b := range t.Below {
		n += holds(b)
	}
	return n
}
