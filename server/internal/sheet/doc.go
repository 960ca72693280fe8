// Package sheet draws a call sheet for people: the photographer, the reader who calls the names, the
// finder who fetches them. It prints names where the sheet holds ids, and never a private note. It
// does not plan, check or change anything, and reads no clock.
//
// What is drawn is first put into words (view.go) from one catalogue of texts (catalogue.go), so that
// every form says the same and a language is added in one place.
package sheet
