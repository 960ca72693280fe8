// Package run is the day itself: marks for what happened, the state that follows from them, and the
// desk that takes marks in, replans what is left and tells every viewer. It knows neither SQL nor the wire format; it
// is given the store that keeps the marks.
//
// # Merging
//
// A run is a set of marks. Fold sorts them by the time at which they happened and then by id, so the
// state depends on which marks there are and not on when, how often or by which way they came. Two
// replicas with the same marks have the same state; a phone that was without signal for five minutes
// adds its marks to the set, and everybody's state follows. Taking something back is a mark too.
//
// Device clocks differ. The desk compares the device's clock with its own when marks come in and moves
// their times by the difference, before they are kept; from then on everybody sorts by the same times.
package run
