// Package standing says who stands, sits or kneels where in one group photograph: rows from front
// to back, and a place from left to right for everybody. It knows people as numbers, with heights,
// needs and bonds; names, and whether the picture is pleasing, stay with the caller.
//
// # Model
//
// A formation is a sequence of rows from the front to the back, each of one kind: on the ground,
// kneeling, on chairs, standing (several rows), on a step, on a second step. Everybody but held
// infants has a place in one row. A row is centred on the middle of the picture, its people shoulder
// to shoulder at the widths of body.go, so places follow from the order in the row. Left and right
// are as the camera sees them. All lengths are whole centimetres; x is 0 in the middle.
//
// A row behind the first may stand half a place aside to look between the heads in front.
//
// Rules that always hold: somebody who uses a wheelchair or needs a seat has it in the first row of
// chairs or, without one, in the first standing row; nobody who needs a level way is on a step;
// elders neither kneel nor sit on the ground; infants without a chair are held by a grown-up where there is one, else by
// the tallest child. Holders stand on the ground or sit on a chair. An infant is held by its parents (Arms), then by its
// household; those of importance 5 and above, whom the day is about, hold only their own while anybody else is there.
// Nobody holds two while somebody else could hold one. Guests known by number only hold none.
//
// A small child is one below 145 cm. Who could stand anywhere is called free below: a grown-up who is no elder, does not
// have to sit, and whom the day is not about. One of a couple whose other half has to sit may sit beside them, on a chair,
// and is not free there.
//
// # Objective
//
// The plan minimises a sum of points, none negative; one point is about a centimetre out of place.
// The weights are judgements, common practice, no source:
//
//	Centre   importance (0 to 10) · |x| / 2, and importance · 40 for each row in front that is not
//	         low, or 8 when it is one of chairs; for importance 4, 6 per cm from 150 to 300 and 500 for each
//	         row in front that is neither; in a row, 10 per cm
//	         over 30 for each by which those whom the day is about are off the middle together, and 30 more
//	         over 60; 1000 for each free person between two of them, and for each other but their own
//	         children, unless it is the only one with them; 1500 for each row of them after the first; 40 ·
//	         the difference where the outer of two free neighbours is of more importance, relatives of 0
//	         counting as of 1; half of what a free friend lacks of 200 cm off the middle beside relatives
//	Ties     couple 4 · (gap + 100 per row apart); household 2 · (gap + 20 per row apart after the
//	         first); circle gap / 2 + 10 per row apart after the first. The gap is the width from
//	         the first to the last of them, less two widths: their own in their fullest row, and
//	         three quarters of that of the most important people (5 and above) who stand between
//	         them: parents on either side of a couple count as nearly together, and small children
//	         of both of a couple are no gap. Where one of a couple is of an importance below 3 and
//	         no small child is theirs, these do not count: that they stand between the two costs 500.
//	         In a household 3 per cm over 50 between a small child and the nearest of its grown-ups
//	Sides    2 per cm on the wrong side of the middle, and 300 for importance 4 and small children; only the most important (5 and above)
//	         have a side when everybody else is of one; in a
//	         row 150 for each free person of importance 4 of one side without one of the other, and 100
//	         for each left of the middle without one right of it
//	Balance  2 per cm between the heads of the same place counted from the left and from the
//	         right of a row; 1 per cm between the heads of neighbours; 8 per cm by which the outer of
//	         two neighbours is taller, where both are free, of known height and to stand by it
//	         (attendants); 20 for each person more on one side of the middle
//	Faces    12 per cm that a face lacks of being 3 cm clear of everybody in front, at most 40 cm,
//	         and 150 more when it is not clear at all
//	Dignity  what does not suit a person (see unfit); 1300 for a wheelchair alone in a row, or at the
//	         end of a row of three beside a head over 15 cm higher or lower, else 150 there; 4 per cm over 15 between the head of somebody who has to sit
//	         and the nearer of the neighbours' heads, and 150 where that is at the end of a
//	         row of three; for each row in front that is not low 100 for a child and 400 for an elder;
//	         behind such a row with anybody free in it 1500 for an elder, with a grown-up in it 1500 for a
//	         small child, with somebody free of less importance in it 300 · importance for who is free; 3000 for
//	         whom the day is about behind a row in which a grown-up stands, or a free one sits. At the end
//	         of a row of three with a free person inside, or alone with whom the day is about, 1800 for an
//	         elder, and 500 with a child inside who does not have to sit; with a free person inside 1000 for a child beside a grown-up stranger, 150 for a
//	         child beside a stranger otherwise; with a free person in the row 400 for a small child beside
//	         its own; 500 for a free person of importance 4 while a free one of less than 3 is in the
//	         picture, unless beside whom the day is about. 300 for a row of chairs with no elder and nobody who has
//	         to sit
//	Apart    4000 for each pair to be kept apart that stands side by side, or one row behind the
//	         other with overlapping shoulders; 500 where one other stands between them whom the day is not about
//	Moved    70 for each person who was in the grouping before and has to change posture or to
//	         move more than 40 cm aside, forward or back; forward and back are counted from the
//	         first row that is not low
//	Shape    150 for each row after the first, 800 for each row of standing people behind another where
//	         five and fewer are placed, the cost of each kind of row, 150 for a row of
//	         chairs with nobody behind it, unless all in it are elders or have to sit, or sit beside their other half; w + w²/120 for the w cm of width over 300; 1 per cm
//	         over 60 by which a row is wider than the one behind or, standing, differs from it;
//	         2 per cm that a row of standing people lacks of half the picture;
//	         200 for one person alone in a row, of four and more, or
//	         of two and more where they do not have to sit; 20 for a row that
//	         stands aside; 100 per cm outside the space; 500 per missing chair
//
// # Faces
//
// The camera is a point. A face is clear of a person in front when the line from the camera to its
// chin passes over that person's head, where the two overlap sideways, or over the shoulder, where
// only the shoulders do. So a row may stand in the gaps of the row before it.
//
// # Search
//
// Up to ExactPeople placed people every formation, every split into rows and every order is covered
// by branch and bound: costs are sums of parts that are never negative, so a partial plan that
// already costs what the best one does cannot lead to a better one. Beyond that the search is
// simulated annealing over exchanges, shifts and turns of people, of households, and of all who stand
// behind each other at one place; a little on every formation, then longer on the best dozen, then on
// the best two. It counts moves, never time: same problem and seed, same plan.
//
// # Where to read on
//
// problem.go and body.go hold what is given, validate.go what is refused, formation.go which rows there can be and who may
// be in them, arrange.go the call. The numbers of the objective are in score.go, its rules there (people and neighbours),
// in crew.go (who is in front of whom, ends, ranks) and in score_whole.go (ties, rows and the picture), and once more, on
// their own, in verify.go, verifynear.go and verifycost.go; a rule that always holds is in formation.go and verify.go.
// start.go, moves.go and search.go improve an arrangement, exact.go leaves nothing out.
package standing
