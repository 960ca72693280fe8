// Package day plans several blocks at once: it chooses a block and a place in its order for every
// grouping, or leaves it out. Like package solver it is pure: no clock, no I/O, standard library
// only; randomness comes from a seed.
//
// # Model
//
// Given blocks b with an opening and a closing time, a place and a photographer; groupings g with
// a tier, allowed blocks and time windows; and the movement model of package solver inside a block.
// A plan is one order for each block; a grouping in none of them is left out. It is valid when the times
// that follow from its orders keep every window, every close and every wish of the Spec.
//
// # Timing
//
// Orders have exactly one timing. Blocks are timed one after the other as they open, of those that open
// together the first in the list first, and each block slot by slot. A slot starts at the least time
//
//   - at which the slot before it is over; for the first of a block, at which the block is open and
//     its photographer has walked there from the blocks timed before,
//   - at which the whole slot is inside a window of its grouping, and not before its From for the block,
//   - at which the groupings that it comes after and that are timed before it are over,
//   - from which on those may meet who are kept apart and both in it,
//   - at which nobody who is needed in it, walking included, is in a block timed before.
//
// The first slot of a block takes its Opening longer.
//
// So a slot never waits for a block timed after its own: that block fits around it, before or after.
// Without such a rule "as early as possible" would say nothing about two slots of one person, of which
// either may wait for the other. Nobody waits for anything else: where turns, people kept apart in
// two groupings, or a grouping to come after in a block timed later ask for more, the orders are no plan.
//
// The objective is lexicographic: the losses, then the cost of package solver, with these readings for a day: step-ins
// are counted block by block from the empty frame; a release is the end of the person's last slot
// of the day, and for the ReleaseWeight of a grouping the end of its slot, counted from the opening of the first block;
// idle time is counted inside each block,
// between the first and the last slot of the person there, and waiting for a slot to begin counts
// for everybody who has been called, those of the slot too: otherwise to wait would be cheaper than
// to take a photograph meanwhile. Time between blocks is the day's own and not idle.
//
// # Losses
//
// What a plan loses is what all groupings together bring less what those bring that it takes. Let T be a set
// of groupings and T_t those of tier up to t. Groupings with one number Like are almost the same photograph;
// all others are like no other. With unit = WorthOfOne, first(q) = Worths[q] and h_q(n) = Σ_{k=1..n} ⌊first(q)/k⌋,
//
//	worth_t(T) = Σ_q h_q(n_q) + unit·guests + bonus + Σ_{g ∈ T_t} own(g) + gain
//
// where n_q is the number of different photographs of T_t, each counted once with all that are like it, in which
// person q is seen, and guests and bonus the sums over different photographs of the most guests and the largest Bonus
// of one of those like it. own(g) is the Worth of a grouping that has one; its people, guests and Bonus then count in
// no other term. For all others it is unit/100. gain is the sum of the Gain of each Series of which all are in T_t. So
// somebody's first time is worth most, and a photograph of people who are in one like it nearly nothing; none is worth
// nothing, so that whatever has a place is taken.
//
// The losses are compared in this order: groupings to Keep; first(q) and unit·guests of people and guests of groupings
// of tier 0 who are in none of them; worth_0; the same of those who are in no grouping at all; worth_1; worth_2;
// worth_3. So tier 0 comes first, then that nobody is without a photograph, then the other tiers one after the other.
//
// # Method
//
// Where every grouping has a single block and all fit, the blocks are solved on their own by package
// solver. Otherwise a large neighbourhood search moves groupings between orders and out of the
// plan, and its best plans are re-solved block by block by the exact search. While something is left out, every
// other stretch of steps puts groupings where they take least time, and every other restart begins with nothing
// taken. Small days are enumerated.
//
// # Bounds
//
// The ReleaseWeight of a grouping is in all of them as a person who is in nothing else.
//
// The bound speaks of all plans that take the same groupings as the returned plan.
//
// Block sum. If every grouping taken has one possible block, the cost of a day is at least the sum
// over blocks of the block's own optimum, where each person's release weight counts in the block
// that opens last of those the person is in. Proof: the slots of a block in any valid plan form an
// order of its groupings that starts no earlier than the block opens, and waiting for other blocks
// only makes slots later; every term of the cost grows with the times; a person's release is no
// earlier than their release in any one block, so counting one block bounds it from below. Package
// solver counts waiting as time in the frame, which only makes its idle time smaller.
//
// Flat. The cost of a day is at least stepWeight·F + Σ_p w_p·r_p, where F is a lower bound on the
// step-ins of one order over all groupings taken and r_p the earliest release of p. Proof: chaining
// the orders of all blocks into one gives an order whose step-ins are at most those of the day,
// since people staying across the seam save step-ins and nothing adds any. A person is released no
// earlier than the first opening plus the least slots of all groupings the person is in (no two
// run at once for one person), and no earlier than the earliest end of any single one of them.
//
// Choices. No other choice of groupings makes a better plan if every choice that loses no more than the returned
// plan, and whose least slots fit into all blocks as if they were one stretch of time, is ruled out: it loses as much and
// its flat bound or block sum is no lower than the returned cost, or a block has no room for its share of the
// choice. Proof: losses only grow as groupings are left out, each slot takes at least its least time, and blocks hold
// no more than their length, so a walk over choices that leaves a branch when either is exceeded misses none. A block on
// its own fits whatever fits in a day.
//
// proven is reported only when everything is taken or no other choice makes a better plan, and the cost equals its
// bound; or when every plan was enumerated.
package day
