package solver

// The numbers that steer the search, and nothing else: whatever they are, bounds hold and proofs are proofs. They
// decide how soon a good order is there, and its proof.
//
// Those from firstWidth to layerRungsEach that bear on small lists were halved and doubled, one at a time, and 24 lists of
// 25 groupings solved again: families, and families as package planning weighs them, in all emphases, all proved either
// way. Those behind, of how a climb goes, were not. "Tried" gives what changed by more than a tenth
// of the states or a quarter of the CPU time.
const (
	// Passes: see run.exact.

	firstWidth = 32  // states that a layer keeps in the first pass: it has no ladder yet and only finds better orders. Tried 16: a third more states
	wider      = 128 // how much wider each pass is; one that needs less room costs less anyway, so there is none between. Tried 64: a third more states
	endsWider  = 8   // the first pass from both ends is wider, as its states are small
	large      = 64  // groupings above which proof is not to be hoped for: local search has the time, after a floor
	aloneNodes = 100_000
	mostAlone  = 1 << 12 // lists that are solved for step-ins alone under early release, each with aloneNodes

	// Local search: see run.construct, search and shorten.

	longestMoved      = 3    // groupings that move together. Tried 6: a quarter more time
	reachWork         = 4000 // they move within reachWork divided by the number of groupings, but at least leastReach
	leastReach        = 8
	kicks             = 12 // after a dozen most lists come back to the same order. Tried 24, and 40 before: a third more time
	reinsertions      = 2  // times that groupings are taken out and put back, for each grouping
	mostStretch       = 9  // groupings that are taken out at once: of one stretch, or akin; tables double with each
	mostAkin          = 6
	akinLeast         = 0.3 // the certain part of a kinship; the rest is drawn, or the same few would come every time
	nearNodes         = 10  // neighbours that a move on the ring leads to
	longestKicked     = 30  // nodes of a stretch that a kick moves on the ring
	largeReinsertions = 60  // for each grouping of a large list, which has the time
	largeKicks        = 100

	// Multipliers of the spanning tree: see tree.ascend and tree.approach.

	treeRounds       = 150
	treeRoundsEach   = 5   // more rounds for each grouping
	largeTreeRounds  = 20  // rounds for each grouping of a large list, instead
	slopeShare       = 0.7 // of the new slope in a step; the rest is the slope before, which damps zigzags. Tried 0.35: three times the states
	knownStride      = 0.3
	knownShrink      = 0.7 // what is left of the stride after knownPatience rounds without gain
	knownPatience    = 20
	leastKnownStride = 1e-3

	// Ladders: see run.floor, run.buildLadder and climber.

	rungsEach        = 10 // rungs for each grouping; small lists need no fine ladder, their states are few. Tried 5: two thirds more states; 20: half the states, a third more time
	layerRungsEach   = 12 // the same for the ladder of a deeper layer. Tried 24: a quarter more states
	floorRungs       = 400
	floorClimbs      = 6 // climbs for the floor of a large list, each of floorRounds
	floorRounds      = 10
	climbRounds      = 1.5 // for each grouping
	climbStride      = 1.0 // as the four below, see ascent
	climbShrink      = 0.7
	climbPatience    = 10
	climbFollow      = 0.1
	tuneRoundsLess   = 15 // a ladder that remembers is tuned for so many rounds less than there are groupings
	leastTuneRounds  = 6
	tuneStride       = 0.3
	tuneShrink       = 0.6
	tunePatience     = 6
	tuneFollow       = 0.2
	mostRemembered   = 5    // groupings that a walk remembers at each; the table doubles with each
	strideShare      = 0.5  // of the distance to the target in a step
	leastDistance    = 0.01 // of the target: a step is never for less
	leastStride      = 1e-4
	leanEvery        = 3   // rounds from one change of shares to the next
	leanShare        = 0.3 // of the stride
	mostRepriced     = 0.5 // binds the logarithm by which a price changes
	fewLevels        = 32  // rungs below which a ladder is too coarse to be of use
	treesWorthAbove  = 0.8 // of the ladder's bound at the start: where trees come to more they are kept beside it
	retuneStates     = 2500
	retuneEvery      = 4 // layers; a layer of retuneStates has its ladder tuned again, for retuneSample of its states
	retuneSample     = 24
	retuneRounds     = 20
	retuneLast       = 4 // layers before the end that are not worth it any more
	firstPriceLevels = 5 // the first price of a step-in spreads what is left of the total over so many for each

	// Shares of the memory.

	boundsShare = 4 // one part in so many is for bounds, the rest is for states
)
