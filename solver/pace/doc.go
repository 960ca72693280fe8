// Package pace turns the minutes model into times to trust: a likely and a safe start and finish for
// every slot, and the model's parameters fitted to what a studio's own slots took. It knows nothing
// of orders or people.
//
// # Distribution
//
// The time of a slot is its mean by the minutes model times two factors of mean 1: one of its own,
// and one that all slots of a day share (the crowd, the photographer, the heat). Both are
// lognormal: times are positive, and late is further from likely than early is. Without the shared
// factor ten slots would even each other out and the safe finish would be promised too early.
//
// The sum of the slots is not lognormal, but a lognormal with its mean and variance is close:
// within 0.5 % at the 80 % quantile of ten slots. That closed form is used unless a slot may have to
// wait for a time of the clock or strays far from its mean; then the block is simulated from a seed.
package pace
