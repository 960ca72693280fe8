package fold

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/wording"
)

// A line of Chinese begins with no stop and ends with no bracket that opens, and no line is too wide for that.
// The rule is that of CLREQ, "Requirements for Chinese Text Layout", section 3.1.3 (W3C), from memory.
func TestLinesBeginWithNoStop(t *testing.T) {
	cat, ok := wording.For("zh")
	require.True(t, ok)
	w := &Writer{Cat: cat}
	const text = "当地规定、场地工作人员和本人（孩子则由照看的人）有最终决定权；涉及高处作业时，请找“有资质”的人。"
	for room := 10; room < 60; room++ {
		lines := w.Fold(Words(text), room)
		assert.Equal(t, text, strings.Join(lines, ""))
		for i, line := range lines {
			assert.LessOrEqual(t, Width(line), room)
			if i > 0 {
				assert.NotContains(t, "、，；。）”", string([]rune(line)[:1]), "%d: %s", room, line)
				before := []rune(lines[i-1])
				assert.NotContains(t, "（“", string(before[len(before)-1:]), "%d: %s", room, lines[i-1])
			}
		}
	}
	for _, line := range w.Fold(Words(strings.Repeat("！", 100)), 20) {
		assert.LessOrEqual(t, Width(line), 20)
	}
}

// A name that is wider than its column takes as many rows as it needs, and the next begins where it ends.
func TestRowsOfNames(t *testing.T) {
	for columns, want := range map[int]int{100: 1, 41: 2, 24: 2, 18: 3, 12: 4} {
		assert.Equal(t, want, RowsOfNames([]string{"Hadi's household（4 人）", "Erik Lindqvist"}, columns), columns)
	}
}
