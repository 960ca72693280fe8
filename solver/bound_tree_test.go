package solver

import (
	"strconv"
	"strings"
	"testing"
)

// gr17 is the lower triangle of gr17 of TSPLIB (Reinelt, ORSA J. Computing 3, 1991).
const gr17 = `0
633 0
257 390 0
91 661 228 0
412 227 169 383 0
150 488 112 120 267 0
80 572 196 77 351 63 0
134 530 154 105 309 34 29 0
259 555 372 175 338 264 232 249 0
505 289 262 476 196 360 444 402 495 0
353 282 110 324 61 208 292 250 352 154 0
324 638 437 240 421 329 297 314 95 578 435 0
70 567 191 27 346 83 47 68 189 439 287 254 0
211 466 74 182 243 105 150 108 326 336 184 391 145 0
268 420 53 239 199 123 207 165 383 240 140 448 202 57 0
246 745 472 237 528 364 332 349 202 685 542 157 289 426 483 0
121 518 142 84 297 35 29 36 236 390 238 301 55 96 153 336 0`

// gr17Tree puts the distances of gr17 into a tree whose ends, the start and the empty frame, are at
// distance 0 from everything: what is left is an open path with free ends.
func gr17Tree(t *testing.T) *tree {
	t.Helper()
	var d [17][17]int64
	for i, line := range strings.Split(gr17, "\n") {
		for j, f := range strings.Fields(line) {
			v, err := strconv.ParseInt(f, 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			d[i][j], d[j][i] = v, v
		}
	}
	w := &tree{n: 17, d: make([]int64, 18*18), pi: make([]int64, 18), size: make([]int64, 18)}
	w.fill(func(i, j int) int64 {
		if i < 0 {
			return 0
		}
		return fine * d[i][j]
	})
	return w
}

// TestTreeOnGr17 checks the spanning tree and its multipliers on published distances. Values
// recomputed by a separate subset dynamic program: spanning tree 1421, shortest open path 1564.
func TestTreeOnGr17(t *testing.T) {
	w := gr17Tree(t)
	nodes := make([]int, 17)
	near, from := make([]int64, 18), make([]int32, 18)
	for u := range nodes {
		nodes[u] = u
	}
	if got := w.span(nodes, near, from, nil); got != fine*1421 {
		t.Errorf("spanning tree %d/%d, want 1421", got, fine)
	}
	w.ascend(400, func() bool { return false })
	nodes = append(nodes[:0], 17)
	for u := range 17 {
		nodes = append(nodes, u)
	}
	got := ceilDiv(w.span(nodes, near, from, nil)+w.enter(-1, nodes), fine)
	if got > 1564 || got < 1421 {
		t.Errorf("bound with multipliers %d, want 1421 to 1564", got)
	}
	w.approach(fine*1564, 200, func() bool { return false })
	better := ceilDiv(w.span(nodes, near, from, nil)+w.enter(-1, nodes), fine)
	if better > 1564 || better < got {
		t.Errorf("bound with multipliers %d after %d, want up to 1564", better, got)
	}
	t.Logf("bound with multipliers %d, then %d, of 1564", got, better)
}
