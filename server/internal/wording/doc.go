// Package wording holds what the program says to people: one catalogue for each language, with dates,
// digits, plural forms and the texts of sheets, pages, advice and questions. Those who have something
// to say make a Message, which is in no language yet; whoever shows it renders it with a Catalogue. In a browser there are messages only: the page has the words.
//
// It knows nothing of events: names and times come to it as arguments.
package wording
