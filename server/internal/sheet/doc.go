// Package sheet draws a call sheet for the people of the day: the photographer, the reader who calls
// the names, the finder who fetches them, the guests who want to know when they are needed. It prints
// names where the sheet holds ids, and never a private note; what is handed to guests holds no
// relation, age or need. It does not plan, check or change anything, and reads no clock.
//
// The words of a sheet (view.go and the file of each kind) come from the catalogue of package wording, so that every
// form says the same.
package sheet
