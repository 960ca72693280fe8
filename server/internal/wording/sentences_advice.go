package wording

// adviceTexts are what is said of an event and of a plan.
var adviceTexts = map[Key]row{}
