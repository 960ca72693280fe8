package wording

import "golang.org/x/text/language"

// english is the catalogue that every other one falls back to, so it is complete.
var english = &Catalogue{
	tag:      language.English,
	decimal:  ".",
	date:     "%[1]s %[2]s %[3]s %[4]s",
	weekdays: [7]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"},
	months: [12]string{"January", "February", "March", "April", "May", "June", "July", "August",
		"September", "October", "November", "December"},
	texts: map[Key]message{
		// What the sheets are called.
		KeyCallSheet:   plain("Call sheet"),
		KeyReaderSheet: plain("Names to read out"),
		KeyFinderSheet: plain("Faces to find"),
		KeyCardSheet:   plain("Cards"),
		KeyTimesSheet:  plain("Personal times"),
		KeyChartSheet:  plain("Who moves when"),

		KeyPlace:        plain("Place"),
		KeyPhotographer: plain("Photographer"),
		// Two clock times.
		KeyFromTo: plain("%[1]s to %[2]s"),
		// The finish, the safe finish, how many percent of days it is kept on.
		KeySafe: plain("Likely until %[1]s, safe (%[3]s %%) until %[2]s."),
		// A time.
		KeySlip: plain("If what comes before takes longer, it may begin as late as %[1]s."),
		// For blocks without a clock time. A time such as +11, its minutes.
		KeyNoClock: plain("No clock time is set: %[1]s means %[2]s minutes after the start."),
		// A number as text; half a minute has words of its own.
		KeyMinutes:    plain("%[1]s min"),
		KeyHalfMinute: plain("½ min"),
		// Hours, minutes.
		KeyHours:     plain("%[1]s h %[2]s min"),
		KeyGroupings: one("%[1]s grouping", "%[1]s groupings"),
		KeyWalkIns:   one("%[1]s walk-in", "%[1]s walk-ins"),
		// Number of one entry; numbers of the first and the last.
		KeyOneNumber: plain("number %[1]s"),
		KeyNumbers:   plain("numbers %[1]s to %[2]s"),
		// The next five make one sentence: KeyRequested, KeyInThisOrder and one of KeyFewest and
		// KeyFloor are listed and closed by KeySentence.
		KeyRequested:   one("%[1]s walk-in as requested", "%[1]s walk-ins as requested"),
		KeyInThisOrder: plain("%[1]s in this order"),
		KeyFewest:      plain("%[1]s is the fewest possible"),
		KeyFloor:       plain("no order can need fewer than %[1]s"),
		KeySentence:    plain("%[1]s."),
		// The next three take one of KeyAimFewest, KeyAimBalanced and KeyAimEarly.
		KeyProven: plain("Proven: no order is better for %[1]s."),
		// The aim, a percentage as text.
		KeyGap:         plain("The best order found for %[1]s; no order can be more than %[2]s %% better."),
		KeyNoBound:     plain("The best order found for %[1]s; how much better an order could be is not known."),
		KeyAimFewest:   plain("the fewest walk-ins"),
		KeyAimBalanced: plain("few walk-ins together with early releases"),
		KeyAimEarly:    plain("early releases"),
		KeyReleases:    plain("Elders, children and people with needs are free to go"),
		// Number of an entry, time at which it is over.
		KeyAfter:  plain("%[2]s, after %[1]s"),
		KeyTaken:  plain("Taken"),
		KeyPeople: one("%[1]s person in the frame", "%[1]s people in the frame"),
		KeyFrames: one("%[1]s frame", "%[1]s frames"),
		KeyBlinks: plain("too many people for one without a blink: plan to combine two"),
		KeyLight:  plain("Light"),
		// The next three take a time.
		KeySunset:     plain("sunset %[1]s"),
		KeySunrise:    plain("sunrise %[1]s"),
		KeyDusk:       plain("dark from %[1]s"),
		KeySunUp:      plain("the sun does not set"),
		KeySunDown:    plain("the sun does not rise"),
		KeyNeverDark:  plain("it does not get dark"),
		KeyNeverLight: plain("it does not get light"),
		// The next two take degrees as text.
		KeyHighSun:  plain("high sun (%[1]s)"),
		KeyLowSun:   plain("low sun (%[1]s)"),
		KeyTwilight: plain("twilight"),
		KeyDark:     plain("dark"),
		KeyDegrees:  plain("%[1]s°"),
		// At the start, at the end.
		KeyDegreesTo: plain("%[1]s° to %[2]s°"),
		// The sun, a point of the compass.
		KeySunFrom: plain("%[1]s from the %[2]s"),
		// Where the sun is for whoever is behind the camera.
		KeySunAhead:  plain("in front of the camera"),
		KeySunBehind: plain("behind the camera"),
		KeySunLeft:   plain("on the left of the camera"),
		KeySunRight:  plain("on the right of the camera"),
		// The sun at the start and at the end.
		KeySunChange:  plain("%[1]s; at the end %[2]s"),
		KeyCautionSun: plain("Nobody looks into the sun through an optical viewfinder, and no camera is left pointing at it."),
		// Metres and tenths.
		KeyMetres: plain("%[1]s.%[2]s m"),
		KeyLens:   plain("Lens"),
		// Focal length, distance, f-number and angle of view, all as text.
		KeyLensSetup: plain("%[1]s\u00a0mm (%[4]s°) from %[2]s\u00a0m, f/%[3]s"),
		KeyUpright:   plain("upright"),
		KeyRows:      one("%[1]s row", "%[1]s rows"),
		// The row, from 1 at the front.
		KeyFocusRow: plain("focus on row %[1]s"),
		KeyFocusAt:  plain("focus at %[1]s\u00a0m"),
		// Distances as text.
		KeySharp:     plain("sharp from %[1]s to %[2]s\u00a0m"),
		KeySharpOn:   plain("sharp from %[1]s\u00a0m on"),
		KeyTooSmall:  plain("does not fit from here: more rows, a wider lens or more room"),
		KeyNotSharp:  plain("not every row is sharp"),
		KeyStretched: plain("heads look wide at the edges"),
		// Labels of an entry, in the order in which they are printed. Walk in heads the names that
		// are read out; the last three are for when the picture is taken.
		KeyWalkIn:    plain("Walk in"),
		KeyWalkOut:   plain("Walk out"),
		KeyStay:      plain("Stay"),
		KeyRelease:   plain("Free to go"),
		KeyAgain:     plain("Still needed"),
		KeyReady:     plain("Have ready"),
		KeyNobodyNew: plain("Nobody new"),
		KeyEveryone:  plain("everyone"),
		// Who is at hand without being in the frame, such as an interpreter.
		KeyNear: plain("Near"),
		// Everybody waits before an entry: how long, until when, for whom.
		KeyWait:    plain("Wait %[1]s, until %[2]s"),
		KeyWaitFor: plain("Wait %[1]s, until %[2]s, for %[3]s"),
		// Number of an entry, before names.
		KeyBackIn: plain("back in %[1]s:"),
		// How many people, title of a circle.
		KeyCircle:      plain("%[2]s (%[1]s)"),
		KeySay:         plain("say %[1]s"),
		KeySeat:        plain("seat"),
		KeyWheelchair:  plain("wheelchair"),
		KeyStepFree:    plain("no steps"),
		KeyInterpreter: plain("interpreter"),
		KeyUnknown:     plain("unknown id %[1]s"),
		KeyNoEntries:   plain("No grouping is taken here."),
		KeyLeftOut:     plain("Not taken"),
		KeyMust:        plain("must be taken"),
		KeyPlanner:     plain("For the planner; keep this part when the sheet is handed out"),
		KeyMend:        plain("Mend"),
		KeyCheck:       plain("Check"),
		KeyNote:        plain("Note"),
		// The usual cautions, common practice; each is said only where the event gives reason.
		KeyCautionWaiting:  plain("Shade, water and a seat for those who wait."),
		KeyCautionChildren: plain("Children in hand near roads and water."),
		KeyCautionSteps:    plain("Nobody on steps, walls or chairs against their wish."),
		KeyCautionVenue:    plain("The venue's rules and the people themselves decide."),
		// A label, its content.
		KeyLabelled:      plain("%[1]s: %[2]s"),
		KeyColon:         plain(":"),
		KeyListSeparator: plain(", "),

		// Nobody is on a sheet of faces, cards or times.
		KeyNobodyCalled: plain("Nobody is called."),
		// Those who belong to no side or circle.
		KeyOthers: plain("Others"),
		// Before the name of the person who gathers a circle or the people of a card.
		KeyLeader: plain("Gathers"),
		// A card that goes on: which part it is, of how many.
		KeyPart: plain("part %[1]s of %[2]s"),

		// Messages to guests: the head, and sentences with one clock time each.
		KeyGroupPhotographs: plain("Group photographs"),
		KeyTo:               plain("To"),
		KeyBeThere:          plain("Please be there by %[1]s."),
		KeyCalledAt:         plain("First photograph at about %[1]s."),
		KeyFreeFrom:         plain("Free from about %[1]s."),
		KeyStayNear:         plain("Please stay near until then."),
		KeyStayNearAll:      plain("Please stay near until you are free."),
		KeyHereUntil:        plain("You are needed here until about %[1]s, and again at another time."),
		KeyFromToAgain:      plain("%[1]s to %[2]s, and again at another time"),

		// Between the names of a title that is made because the planner gave none, with the spaces
		// around them; the last takes how many people are not named.
		KeyTitleComma:   plain(", "),
		KeyTitleAnd:     plain(" & "),
		KeyTitleWith:    plain(" with "),
		KeyTitleWithout: plain(" without "),
		KeyTitleMore:    plain(" and %[1]s more"),

		// The marks of the chart.
		KeyLegendIn:   plain("walks in"),
		KeyLegendStay: plain("stays"),
		KeyLegendOut:  plain("walks out"),
		KeyLegendWait: plain("waits"),

		// Columns of a table. Minutes are counted from the start of the block.
		KeyColumnNumber:    plain("Number"),
		KeyColumnBlock:     plain("Block"),
		KeyColumnDate:      plain("Date"),
		KeyColumnStart:     plain("Start"),
		KeyColumnMinute:    plain("Minutes after the start"),
		KeyColumnLength:    plain("Minutes"),
		KeyColumnWait:      plain("Minutes of waiting before"),
		KeyColumnGrouping:  plain("Grouping"),
		KeyColumnPeople:    plain("People"),
		KeyColumnFrames:    plain("Frames"),
		KeyColumnName:      plain("Name"),
		KeyColumnFor:       plain("Circle"),
		KeyColumnReadyFrom: plain("Be there"),
		KeyColumnCalled:    plain("Called"),
		KeyColumnFree:      plain("Free"),
		KeyColumnNumbers:   plain("In numbers"),

		// Sentences one after the other; what stands before the last of a list.
		KeySentences: plain("%[1]s %[2]s"),
		KeySemicolon: plain("; "),
		KeyAnd:       plain(" and "),
		KeyOr:        plain(" or "),

		// Counts inside of sentences.
		KeyMoreErrors:      one("%[1]s more error is not listed", "%[1]s more errors are not listed"),
		KeyMoreWarnings:    one("%[1]s more warning is not listed", "%[1]s more warnings are not listed"),
		KeyMorePairs:       one("%[1]s more pair", "%[1]s more pairs"),
		KeyMore:            plain("%[1]s more"),
		KeyStepOut:         one("%[1]s person steps out", "%[1]s people step out"),
		KeyWholeMinutes:    one("%[1]s minute", "%[1]s minutes"),
		KeyGroupingsLeft:   one("%[1]s grouping is left out", "%[1]s groupings are left out"),
		KeyFewerPeople:     plain("%[1]s fewer"),
		KeyLineCount:       one("%[1]s line", "%[1]s lines"),
		KeyPersonCount:     one("%[1]s person", "%[1]s people"),
		KeyPhotographCount: one("%[1]s photograph", "%[1]s photographs"),
	},
}
