// Package solver orders the groupings of one block: it finds the order with the least cost, proves
// that none is better, or says how far from proof it was stopped. It is pure computation on dense
// integers and refuses to know names, clocks, files or events.
//
// # Model
//
// Given are groupings 0 … n-1, each a set of people; an order is a permutation of them. The frame
// before the first is Spec.Frame. The slot of j after i takes slot(i, j) seconds (see Timing) and
// |j∖i| step-ins, each 1 + Extra times; with windows a slot also waits until it may begin. A person is released at the end
// of their last slot and idles in every slot between their first and last that they are not in. The
// objective is
//
//	steps·Σ step-ins + Σ release(p)·(end of p's last slot) + Σ release(g)·(end of g's slot) + Σ idle(p)·(p's idle seconds)
//
// with integer weights; the lexicographic emphases scale the first part above any sum of the second.
// Constraints: After, pins, prefix, Together, Separate, Windows, Close.
//
// # States
//
// Charge each slot, when it is added, for everybody it keeps: slot(i, j) seconds times the release
// weight of all who are not released before it and the idle weight of all called, unreleased people
// outside j. Summed over an order this is the objective, and the charge depends only on the set S
// already done, the grouping i last done, and j. So the cheapest way to finish depends on (S, i) alone
// and, as in Held and Karp (1962), only the cheapest way to reach each (S, i) need be kept. Every
// state (S ∪ {j}, j) is made from states of S only. Precedence, Together and Separate say which j may
// follow S; they depend on S alone too. With windows or a close the time is part of the state, and
// states of one (S, i) are kept when neither of two dominates the other; see dominates.
//
// # Search
//
// People of equal membership and flags are merged into classes with added weights: their charges
// are equal in every slot. Groupings that can change places are put in one sequence (twins). Local
// search gives an incumbent: greedy orders, moves of stretches, and reinsertion of a few groupings at
// a time, solved exactly. The search then goes through the sets by size in passes of growing width. A
// state is dropped when its cost plus a lower bound on the rest reaches the incumbent (it can lead to
// nothing better), or, in a narrow pass, when more states than the width have lower bounds. A pass
// that drops nothing of the second kind has covered every order that could be better: the incumbent is
// proven. Otherwise every better order goes through a dropped state, so the least bound among those
// bounds the optimum. Inside, costs are finer than totals by a power of two (model.unit), so a bound
// that lies above the last total below the incumbent prunes.
//
// Where step-ins come first they are solved for alone; their number is then given, pairs of neighbours
// that no order with so few has are left out (tree.dear), and the rest of the search is for the second
// part. Where release comes first and few people weigh, groupings in which nobody does come last if they
// only hold others up (model.idlers), and once everybody who weighs is released the fewest step-ins of
// the rest are solved for alone (exact_alone.go). Lists of more than 64 groupings get a floor and then local
// search until they are stopped; where step-ins come first it begins with moves on the ring of all frames
// (ring).
//
// Where slots remember nothing and step-ins cost nothing (talent scheduling), each set keeps one state.
// Where nothing is wished besides, orders are built from both ends instead: whoever is called at both
// costs a constant, so that few people are soon settled. The states and the rules for them are proved
// in ends.go, their bounds in ends_bound.go; the passes are the same (ends_search.go).
//
// # Memory
//
// Every table that grows with weights, states or pairs of groupings is counted before it is made and
// stays inside Options.MemoryLimit, a quarter of it for bounds: ladders get fewer rungs, walks remember
// less, layers drop their worst states, and what does not fit even so is left out. The order comes all
// the same, with the bound that is left.
//
// # Bounds
//
// Each is proved where it is written: the spanning tree with multipliers on step-ins (bound_tree.go), walks on
// a ladder of weights for everything together (bound_ladder.go) or, where its table has no room, Smith's
// rule on shared weights for release (smith, bound.go); the ladder tuned again for the states of deeper layers
// (bound_retune.go), pairs of people who wait for each other (bound_idle.go), the best sequences of releases
// and of calls (ends_bound.go). Floating point only
// proposes multipliers and shares; every bound is computed in integers from what was proposed, and any
// proposal gives a valid bound.
//
// # Ties and repeatability
//
// Nothing depends on the clock, on map order or on the number of workers. Among equally good states
// of one set and last grouping the one found first is kept, states being made in the order of their
// parents; an order replaces the incumbent only when it is better.
//
// # Where to read on
//
// problem.go and validate.go hold what is given, changeover.go what one grouping takes after another, evaluate.go what
// an order costs, solve.go the call. Then model.go (what the search works on) with model_twins.go; exact_stages.go (which pass comes when),
// exact_layers.go and exact_expand.go (a pass), exact_settle.go (what becomes of a state, within its memory) and exact_alone.go (early release); bound.go
// and what it adds up: bound_tree.go, bound_ladder.go with its rungs and its table, bound_climb.go and
// bound_retune.go (multipliers), bound_idle.go; improve_tour.go, improve_ring.go and improve_reinsert.go
// (orders without proof); ends.go, ends_bound.go and ends_search.go (the second route). memory.go counts.
package solver
