package wording

import "maps"

// row is a sentence in the languages that are not English; its key is the English wording.
type row struct{ pt, es, fr, de, ar, zh string }

// areas are the tables of sentences; no sentence is in two of them.
func areas() []map[Key]row {
	return []map[Key]row{
		checkItemsTexts, checkReferencesTexts, checkEventTexts, checkDayTexts, checkGroupingsTexts,
		adviceTexts, planAdviceTexts, planReasonTexts, pageListTexts, pageStartTexts,
		pageDayTexts, pagePlanTexts, pageHandTexts, pageRefusalTexts, pageTrustTexts,
		pageShareTexts, sheetTexts, fileTreeTexts, fileEventTexts, fileTableTexts,
		listTexts, outdoorTexts, compassTexts, standingTexts,
	}
}

// tables holds the sentences of all areas.
func tables() map[Key]row {
	all := map[Key]row{}
	for _, t := range areas() {
		maps.Copy(all, t)
	}
	return all
}

// with adds the sentences of one language to the texts that have names.
func with(pick func(row) string, named map[Key]message) map[Key]message {
	for k, r := range tables() {
		named[k] = plain(pick(r))
	}
	return named
}
