package sheet

import "golang.org/x/text/language"

// english is the catalogue that every other one falls back to, so it is complete.
var english = &catalogue{
	tag:      language.English,
	decimal:  ".",
	date:     "%[1]s %[2]s %[3]s %[4]s",
	weekdays: [7]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"},
	months: [12]string{"January", "February", "March", "April", "May", "June", "July", "August",
		"September", "October", "November", "December"},
	texts: map[key]message{
		// What the sheets are called.
		keyCallSheet:   plain("Call sheet"),
		keyReaderSheet: plain("Names to read out"),
		keyFinderSheet: plain("Faces to find"),
		keyCardSheet:   plain("Cards"),
		keyTimesSheet:  plain("Personal times"),
		keyChartSheet:  plain("Who moves when"),

		keyPlace:        plain("Place"),
		keyPhotographer: plain("Photographer"),
		// Two clock times.
		keyFromTo: plain("%[1]s to %[2]s"),
		// The finish, the safe finish, how many percent of days it is kept on.
		keySafe: plain("Likely until %[1]s, safe (%[3]s %%) until %[2]s."),
		// A time.
		keySlip: plain("If what comes before takes longer, it may begin as late as %[1]s."),
		// For blocks without a clock time. A time such as +11, its minutes.
		keyNoClock: plain("No clock time is set: %[1]s means %[2]s minutes after the start."),
		// A number as text; half a minute has words of its own.
		keyMinutes:    plain("%[1]s min"),
		keyHalfMinute: plain("½ min"),
		// Hours, minutes.
		keyHours:     plain("%[1]s h %[2]s min"),
		keyGroupings: one("%[1]s grouping", "%[1]s groupings"),
		keyWalkIns:   one("%[1]s walk-in", "%[1]s walk-ins"),
		// Number of one entry; numbers of the first and the last.
		keyOneNumber: plain("number %[1]s"),
		keyNumbers:   plain("numbers %[1]s to %[2]s"),
		// The next five make one sentence: keyRequested, keyInThisOrder and one of keyFewest and
		// keyFloor are listed and closed by keySentence.
		keyRequested:   one("%[1]s walk-in as requested", "%[1]s walk-ins as requested"),
		keyInThisOrder: plain("%[1]s in this order"),
		keyFewest:      plain("%[1]s is the fewest possible"),
		keyFloor:       plain("no order can need fewer than %[1]s"),
		keySentence:    plain("%[1]s."),
		// The next three take one of keyAimFewest, keyAimBalanced and keyAimEarly.
		keyProven: plain("Proven: no order is better for %[1]s."),
		// The aim, a percentage as text.
		keyGap:         plain("The best order found for %[1]s; no order can be more than %[2]s %% better."),
		keyNoBound:     plain("The best order found for %[1]s; how much better an order could be is not known."),
		keyAimFewest:   plain("the fewest walk-ins"),
		keyAimBalanced: plain("few walk-ins together with early releases"),
		keyAimEarly:    plain("early releases"),
		keyReleases:    plain("Elders, children and people with needs are free to go"),
		// Number of an entry, time at which it is over.
		keyAfter:  plain("%[2]s, after %[1]s"),
		keyTaken:  plain("Taken"),
		keyPeople: one("%[1]s person in the frame", "%[1]s people in the frame"),
		keyFrames: one("%[1]s frame", "%[1]s frames"),
		keyBlinks: plain("too many people for one without a blink: plan to combine two"),
		// Labels of an entry, in the order in which they are printed. Walk in heads the names that
		// are read out; the last three are for when the picture is taken.
		keyWalkIn:    plain("Walk in"),
		keyWalkOut:   plain("Walk out"),
		keyStay:      plain("Stay"),
		keyRelease:   plain("Free to go"),
		keyAgain:     plain("Still needed"),
		keyReady:     plain("Have ready"),
		keyNobodyNew: plain("Nobody new"),
		keyEveryone:  plain("everyone"),
		// Who is at hand without being in the frame, such as an interpreter.
		keyNear: plain("Near"),
		// Everybody waits before an entry: how long, until when, for whom.
		keyWait:    plain("Wait %[1]s, until %[2]s"),
		keyWaitFor: plain("Wait %[1]s, until %[2]s, for %[3]s"),
		// Number of an entry, before names.
		keyBackIn: plain("back in %[1]s:"),
		// How many people, title of a circle.
		keyCircle:      plain("%[2]s (%[1]s)"),
		keySay:         plain("say %[1]s"),
		keySeat:        plain("seat"),
		keyWheelchair:  plain("wheelchair"),
		keyStepFree:    plain("no steps"),
		keyInterpreter: plain("interpreter"),
		keyUnknown:     plain("unknown id %[1]s"),
		keyNoEntries:   plain("No grouping is taken here."),
		keyLeftOut:     plain("Not taken"),
		keyMust:        plain("must be taken"),
		keyPlanner:     plain("For the planner; keep this part when the sheet is handed out"),
		keyMend:        plain("Mend"),
		keyCheck:       plain("Check"),
		keyNote:        plain("Note"),
		// The usual cautions, common practice; each is said only where the event gives reason.
		keyCautionWaiting:  plain("Shade, water and a seat for those who wait."),
		keyCautionChildren: plain("Children in hand near roads and water."),
		keyCautionSteps:    plain("Nobody on steps, walls or chairs against their wish."),
		keyCautionVenue:    plain("The venue's rules and the people themselves decide."),
		// A label, its content.
		keyLabelled:      plain("%[1]s: %[2]s"),
		keyColon:         plain(":"),
		keyListSeparator: plain(", "),

		// Nobody is on a sheet of faces, cards or times.
		keyNobodyCalled: plain("Nobody is called."),
		// Those who belong to no side or circle.
		keyOthers: plain("Others"),
		// Before the name of the person who gathers a circle or the people of a card.
		keyLeader: plain("Gathers"),
		// A card that goes on: which part it is, of how many.
		keyPart: plain("part %[1]s of %[2]s"),

		// Messages to guests: the head, and sentences with one clock time each.
		keyGroupPhotographs: plain("Group photographs"),
		keyTo:               plain("To"),
		keyBeThere:          plain("Please be there by %[1]s."),
		keyCalledAt:         plain("First photograph at about %[1]s."),
		keyFreeFrom:         plain("Free from about %[1]s."),
		keyStayNear:         plain("Please stay near until then."),
		keyStayNearAll:      plain("Please stay near until you are free."),

		// Between the names of a title that is made because the planner gave none, with the spaces
		// around them; the last takes how many people are not named.
		keyTitleComma:   plain(", "),
		keyTitleAnd:     plain(" & "),
		keyTitleWith:    plain(" with "),
		keyTitleWithout: plain(" without "),
		keyTitleMore:    plain(" and %[1]s more"),

		// The marks of the chart.
		keyLegendIn:   plain("walks in"),
		keyLegendStay: plain("stays"),
		keyLegendOut:  plain("walks out"),
		keyLegendWait: plain("waits"),

		// Columns of a table. Minutes are counted from the start of the block.
		keyColumnNumber:    plain("Number"),
		keyColumnBlock:     plain("Block"),
		keyColumnDate:      plain("Date"),
		keyColumnStart:     plain("Start"),
		keyColumnMinute:    plain("Minutes after the start"),
		keyColumnLength:    plain("Minutes"),
		keyColumnWait:      plain("Minutes of waiting before"),
		keyColumnGrouping:  plain("Grouping"),
		keyColumnPeople:    plain("People"),
		keyColumnFrames:    plain("Frames"),
		keyColumnName:      plain("Name"),
		keyColumnFor:       plain("Circle"),
		keyColumnReadyFrom: plain("Be there"),
		keyColumnCalled:    plain("Called"),
		keyColumnFree:      plain("Free"),
		keyColumnNumbers:   plain("In numbers"),
	},
}
