package event

// Codes of the advice that Check gives. They are stable: programs may rely on them.
const (
	// Errors.
	CodeTooMany           = "TOO_MANY"           // a list is longer than its limit
	CodeMissing           = "MISSING"            // a required id, name or list is not there
	CodeDuplicateID       = "DUPLICATE_ID"       // an id is used twice
	CodeBadID             = "BAD_ID"             // an id holds characters that it may not hold
	CodeBadText           = "BAD_TEXT"           // a text is too long or holds unprintable characters
	CodeOutOfRange        = "OUT_OF_RANGE"       // a number is outside its range
	CodeUnknownValue      = "UNKNOWN_VALUE"      // an enumeration has no such value
	CodeUnknownID         = "UNKNOWN_ID"         // an id refers to nothing
	CodeCircularCircles   = "CIRCULAR_CIRCLES"   // circles hold each other
	CodeNoGroupings       = "NO_GROUPINGS"       // there is nothing to take
	CodeEmptyGrouping     = "EMPTY_GROUPING"     // a grouping holds nobody
	CodeCircularAfter     = "CIRCULAR_AFTER"     // groupings wait for each other
	CodePinAgainstAfter   = "PIN_AGAINST_AFTER"  // a pin and an order cannot both hold
	CodeBadDate           = "BAD_DATE"           // the date is not one
	CodeBadTimeZone       = "BAD_TIME_ZONE"      // the time zone is not known
	CodeBadTime           = "BAD_TIME"           // a time cannot be read or does not exist
	CodeEndsBeforeStart   = "ENDS_BEFORE_START"  // a stretch of time ends before it begins
	CodeBadTable          = "BAD_TABLE"          // points of a pace table do not rise
	CodeBadRule           = "BAD_RULE"           // a rule without kind or with fewer than two sides
	CodeApartInOneFrame   = "APART_IN_ONE_FRAME" // people to be kept apart are in one photograph
	CodeApartInOneBlock   = "APART_IN_ONE_BLOCK" // people to be kept apart share the only block
	CodeMoreNotListed     = "MORE_NOT_LISTED"    // there is more of the same; as severe as the rest
	CodeSameName          = "SAME_NAME"          // warning: the reader cannot tell two people apart
	CodeInNoGrouping      = "IN_NO_GROUPING"     // warning: a person is in no photograph
	CodeSamePeople        = "SAME_PEOPLE"        // warning: two groupings have the same people
	CodeCircleEmptied     = "CIRCLE_EMPTIED"     // warning: everybody of a circle is absent
	CodeGroupingEmptied   = "GROUPING_EMPTIED"   // warning: absences leave nothing to take
	CodeLeaderAbsent      = "LEADER_ABSENT"      // warning: the leader of a circle is absent
	CodeInterpreterAbsent = "INTERPRETER_ABSENT" // warning: who interprets is not coming
	CodeNoEffect          = "NO_EFFECT"          // warning: something written changes nothing
	CodeNeverThere        = "NEVER_THERE"        // warning: a person is there during no block
	CodeTooManyForPlace   = "TOO_MANY_FOR_PLACE" // warning: more people than any allowed block holds
	CodeCircularRules     = "CIRCULAR_RULES"     // warning: one who-goes-first gives way to another
	CodeOnePersonInFrame  = "ONE_PERSON"         // info: a grouping has one person only
)

// Codes of the advice that Check gives on an event without errors.
const (
	CodeNoInterpreter      = "NO_INTERPRETER"      // warning: nobody interprets for who needs it
	CodeNoStepFreePlace    = "NO_STEP_FREE_PLACE"  // warning: somebody is called to where steps lead
	CodeOverlappingBlocks  = "OVERLAPPING_BLOCKS"  // warning: one photographer in two blocks at once
	CodeNoSayAs            = "NO_SAY_AS"           // warning: names that the reader may not be able to read
	CodeLeaderInMost       = "LEADER_IN_MOST"      // info: who is to gather people is in the frame
	CodeSimilarNames       = "SIMILAR_NAMES"       // info: perhaps one person, listed twice
	CodeNearlySamePeople   = "NEARLY_SAME_PEOPLE"  // info: a grouping adds hardly anybody to another
	CodeBirthFamily        = "BIRTH_FAMILY"        // warning or info: parents and all their children
	CodeNearFamily         = "NEAR_FAMILY"         // info: the same with partners and children
	CodeNoZoneForSun       = "NO_ZONE_FOR_SUN"     // warning: a place on the map and no time zone
	CodePlaceAgainstZone   = "PLACE_AGAINST_ZONE"  // warning: clocks that are hours off the sun
	CodeMissingCombination = "MISSING_COMBINATION" // info: something most families ask for
	CodeWithoutCouple      = "WITHOUT_COUPLE"      // info: near family without the couple
)

// Codes of the advice that comes with a plan.
const (
	CodeNoRoom          = "NO_ROOM"           // warning: people do not fit where they are to stand
	CodeNeighbours      = "NEIGHBOURS"        // warning: people to be kept apart stand side by side
	CodeOverBlock       = "OVER_BLOCK"        // warning: more is asked for than a block has time for
	CodeHandBreaks      = "HAND_BREAKS"       // warning: the order by hand breaks a wish
	CodeRunsOver        = "RUNS_OVER"         // warning: a soft block runs over its end
	CodeTightBlock      = "TIGHT_BLOCK"       // info: a block ends just before it closes
	CodeLongIdle        = "LONG_IDLE"         // warning or info: who tires waits long between photographs
	CodeLongGap         = "LONG_GAP"          // info: who tires is called to blocks far apart
	CodeEndsInDark      = "ENDS_IN_DARK"      // warning: a block is not over before it is dark
	CodeEndsInTwilight  = "ENDS_IN_TWILIGHT"  // info: a block is not over before the sun is down
	CodeSunInLens       = "SUN_IN_LENS"       // warning: the sun shines into the lens
	CodeSunInEyes       = "SUN_IN_EYES"       // warning: people look into the sun
	CodeSunIsHigh       = "SUN_IS_HIGH"       // info: a high sun leaves eyes in shadow
	CodeSpaceTooSmall   = "SPACE_TOO_SMALL"   // warning: no lens frames a grouping from there
	CodeNotAllSharp     = "NOT_ALL_SHARP"     // warning: no aperture holds all rows sharp
	CodeEdgesStretched  = "EDGES_STRETCHED"   // info: heads at the edges are drawn too wide
	CodeOrderCannotHelp = "ORDER_CANNOT_HELP" // info: groupings share nobody but who is in all
)

// Codes of what is wrong with a request around its event; those above stand there too.
const (
	CodeBadAddress  = "BAD_ADDRESS"  // a webhook cannot be told at this address
	CodeBadBudget   = "BAD_BUDGET"   // the time to search is outside its range
	CodeBadLanguage = "BAD_LANGUAGE" // the tag of a language cannot be read
	CodeBadName     = "BAD_NAME"     // the name of something kept does not have its form, or is of another event
	CodeBadSeconds  = "BAD_SECONDS"  // a time span is below 0
	CodeBadWidth    = "BAD_WIDTH"    // a text cannot be drawn in so many columns
	CodeNotDrawn    = "NOT_DRAWN"    // the sheet does not come in that form
	CodeNotInEvent  = "NOT_IN_EVENT" // a sheet names what its event does not have
)
