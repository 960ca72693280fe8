package outdoors

import (
	"fmt"
	"math"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver/lens"
)

// The room that people take in a photograph, in millimetres. The standing plan of package standing
// knows better; these are its widths in round numbers, so that every plan can have a lens at once.
const (
	personWidth = 500 // shoulder to shoulder: 51.0 and 45.0 cm in ANSUR II men and women
	childWidth  = 400 // common practice, no source
	infantWidth = 80  // held: what the arms add
	chairWidth  = 560 // forearm to forearm when seated: 58.0 and 49.5 cm in ANSUR II
	wheelWidth  = 740 // common practice, no source
	rowDepth    = 700 // published advice for standing rows is 60 to 90 cm, itself without a source
	lastDepth   = 400 // of the last row itself
	tallest     = 1880
	tallChild   = 1550 // the tallest of whom a list says "child": common practice, no source
	widest      = 100_000
	faceDepth   = 150 // faces stand this far off the line of their row
	raise       = 170 // from the third row on each stands a step higher, or nobody sees its faces

	// farthest is where what is sharp counts as sharp without end: a kilometre.
	farthest = 1e6
	// mostRows is how many rows are tried when the space is short.
	mostRows = 6
	// margin is the free share on every side: room to crop and to straighten. Common practice, no
	// source.
	margin = 0.08
	// farAway is where the camera may stand when the event does not say how far back it can.
	farAway = 50_000
	// wideAperture is the smallest f-number that is asked for of one or two people or in dim light
	// when the kit does not say: common practice, no source.
	wideAperture = 2.8
	adviceNames  = 5 // photographs that one advice names before it only counts
)

// groupApertures are the same for one row, two rows, and more: common practice, no source. They hold
// more sharp than the rows need, because nobody stands on a line.
var groupApertures = [...]float64{4, 5.6, 8}

// rowsFrom are the numbers of people at which a row is added: those of the minutes model.
var rowsFrom = []int{7, 16, 31, 61}

// usualRows is how many rows a number of people usually stands in.
func usualRows(people int) int {
	rows := 1
	for _, from := range rowsFrom {
		if people >= from {
			rows++
		}
	}
	return rows
}

// kitOf turns the kit of a checked event into that of package lens.
func kitOf(k event.Kit) lens.Kit {
	out := lens.Kit{Sensor: lens.Sensor{Width: k.SensorWidthMM, Height: k.SensorHeightMM}}
	for _, l := range k.Lenses {
		out.Optics = append(out.Optics, lens.Optic{
			Shortest: l.FocalMM, Longest: max(l.FocalMM, l.FocalToMM), Widest: l.Widest, WidestLong: l.WidestLong,
			Closest: float64(l.ClosestCM) * 10,
		})
	}
	return out
}

// group is the box around the people of a photograph, and some guests, in a number of rows.
func (d day) group(people []string, guests, rows int) lens.Group {
	width, height := float64(personWidth*guests), 0.0
	known, young := guests == 0, guests == 0
	for _, id := range people {
		p := d.people[id]
		width += roomOf(p)
		height = max(height, float64(p.HeightCM)*10)
		known = known && p.HeightCM > 0
		young = young && (p.AgeBand == event.Child || p.AgeBand == event.Infant)
	}
	switch {
	case young && !known:
		height = max(height, tallChild)
	case !young && (!known || len(people)+guests > 1): // hair and heels are not known either
		height = max(height, tallest)
	}
	if rows > 1 {
		width = math.Ceil(width/float64(rows)/personWidth)*personWidth + personWidth/2 // heads in the gaps
	}
	return lens.Group{
		Width: max(personWidth, width), Height: height + raise*float64(max(0, rows-2)),
		Depth: rowDepth*float64(rows-1) + lastDepth, Margin: margin,
	}
}

func roomOf(p event.Person) float64 {
	switch {
	case slices.Contains(p.Needs, event.Wheelchair):
		return wheelWidth
	case slices.Contains(p.Needs, event.Seat):
		return chairWidth
	case p.AgeBand == event.Infant:
		return infantWidth
	case p.AgeBand == event.Child:
		return childWidth
	}
	return personWidth
}

// lensSpace is where the camera of a block can stand and how it may be set.
func (d day) lensSpace(b event.Block, people, rows int) lens.Space {
	s := lens.Space{Distance: float64(b.StandBackCM) * 10, Upright: true, Slowest: d.event.Kit.GroupAperture}
	if s.Distance == 0 {
		s.Distance = float64(b.Space.CameraDistanceCM) * 10
	}
	if s.Distance == 0 {
		s.Distance = farAway
	}
	if s.Slowest == 0 {
		s.Slowest = groupApertures[min(rows, len(groupApertures))-1]
		if people <= 2 || b.Light == event.DimLight {
			s.Slowest = wideAperture
		}
	}
	return s
}

// framed says how a photograph is framed in a block; nil without a kit. Where the usual rows do not
// fit, are not all sharp or are drawn wide at the ends, more rows of fewer people are tried.
func (d day) framed(entry *event.SheetEntry, b event.Block) *event.EntryLens {
	people := slices.Concat(entry.StepIn, entry.Stay)
	if !d.event.Kit.Given() || len(people) == 0 {
		return nil
	}
	guests := d.guests[entry.Grouping]
	usual := usualRows(len(people) + guests)
	out := d.choose(people, guests, b, usual)
	for rows := usual + 1; !good(out) && rows <= min(mostRows, (len(people)+guests)/2); rows++ {
		if next := d.choose(people, guests, b, rows); good(next) || hard(out) && !hard(next) {
			out = next
		}
	}
	return out
}

// Reframe frames the photographs of a sheet anew by their standing plans, where it has them, and says anew
// what cannot be had. It expects an event in which check.Event finds no Error, and does nothing without a
// kit.
func Reframe(e event.Event, s *event.CallSheet) {
	if !e.Kit.Given() {
		return
	}
	a := adviser{day: newDay(e)}
	for i := range s.Blocks {
		b, known := a.blocks[s.Blocks[i].Block]
		for k := range s.Blocks[i].Entries {
			entry := &s.Blocks[i].Entries[k]
			if plan := entry.Standing; known && plan != nil && len(plan.Rows) > 0 {
				group := lens.Group{
					Width: float64(max(50, plan.WidthCM)) * 10, Height: float64(max(50, plan.HeightCM)) * 10,
					Depth: float64(max(0, plan.DepthCM)) * 10, Margin: margin,
				}
				entry.Lens = a.frame(group, a.lensSpace(b, len(entry.StepIn)+len(entry.Stay), len(plan.Rows)), len(plan.Rows))
			}
		}
	}
	a.lenses(s.Blocks)
	told := []string{event.CodeSpaceTooSmall, event.CodeNotAllSharp, event.CodeEdgesStretched}
	s.Advice = slices.DeleteFunc(slices.Clone(s.Advice), func(x event.Advice) bool { return slices.Contains(told, x.Code) })
	s.Advice = append(s.Advice, a.list...)
}

// good says that a photograph can be taken so and flatters those at its ends.
func good(l *event.EntryLens) bool {
	return !hard(l) && !slices.Contains(l.Warnings, event.EdgesStretched)
}

// hard says that a photograph cannot be taken so.
func hard(l *event.EntryLens) bool {
	return slices.Contains(l.Warnings, event.SpaceTooSmall) || slices.Contains(l.Warnings, event.NotAllSharp)
}

var lensWarnings = map[lens.Warning]event.LensWarning{
	lens.SpaceTooSmall: event.SpaceTooSmall, lens.NotAllSharp: event.NotAllSharp,
	lens.EdgesStretched: event.EdgesStretched, lens.SmallInFrame: event.SmallInFrame,
}

// choose frames a photograph in a number of rows.
func (d day) choose(people []string, guests int, b event.Block, rows int) *event.EntryLens {
	return d.frame(d.group(people, guests, rows), d.lensSpace(b, len(people)+guests, rows), rows)
}

// frame says how a group in a number of rows is framed in a space.
func (d day) frame(group lens.Group, space lens.Space, rows int) *event.EntryLens {
	kit := kitOf(d.event.Kit)
	group.Width = min(group.Width, widest) // no lens frames that many anyway
	c, err := lens.Choose(kit, group, space)
	if err != nil {
		panic(fmt.Sprintf("outdoors: a checked kit frames nothing: %v", err))
	}
	row := onRow(kit.Sensor, &c, rows, (group.Depth-lastDepth)/float64(max(1, rows-1)))
	tenths := func(v float64) float64 { return math.Round(v*10) / 10 }
	out := &event.EntryLens{
		Lens: c.Optic, FocalMM: tenths(c.Focal), Upright: c.Upright, DistanceCM: centimetres(c.Distance), Aperture: tenths(c.Aperture),
		FocusCM: centimetres(c.Focus), NearCM: centimetres(c.Near), AngleAcross: tenths(c.AngleAcross), AngleUp: tenths(c.AngleUp),
		Rows: rows, WidthCM: centimetres(group.Width), HeightCM: centimetres(group.Height), DepthCM: centimetres(group.Depth),
		FocusRow: row,
	}
	if c.Far < farthest {
		out.FarCM = centimetres(c.Far)
	}
	for _, w := range c.Warnings {
		out.Warnings = append(out.Warnings, lensWarnings[w])
	}
	return out
}

// onRow moves the focus to the row next to it from which all rows are still sharp, because people are
// easier to focus on than distances; rows are a pitch apart. It returns the row, or 0 when there is none and the focus stays.
func onRow(s lens.Sensor, c *lens.Choice, rows int, pitch float64) int {
	last := c.Distance + pitch*float64(rows-1)
	best := 0
	for row := 1; row <= rows; row++ {
		at := c.Distance + pitch*float64(row-1)
		near, far := lens.DepthOfField(c.Focal, c.Aperture, s.CircleOfConfusion(), at)
		if near <= c.Distance-faceDepth && far >= last+faceDepth && (best == 0 || math.Abs(at-c.Focus) < math.Abs(c.Distance+pitch*float64(best-1)-c.Focus)) {
			best = row
		}
	}
	if best > 0 {
		c.Focus = c.Distance + pitch*float64(best-1)
		c.Near, c.Far = lens.DepthOfField(c.Focal, c.Aperture, s.CircleOfConfusion(), c.Focus)
	}
	return best
}

// centimetres rounds. What no space has, as the distances of a lens that is longer than the space, is 0.
func centimetres(millimetres float64) int {
	if !(millimetres > 0 && millimetres < 1e8) {
		return 0
	}
	return int(math.Round(millimetres / 10))
}

// lenses warns of photographs that the kit cannot frame or hold sharp where they are taken.
func (a *adviser) lenses(blocks []event.SheetBlock) {
	for _, s := range blocks {
		b, known := a.blocks[s.Block]
		if !known {
			continue
		}
		by := map[event.LensWarning][]event.SheetEntry{}
		for _, entry := range s.Entries {
			if entry.Lens == nil {
				continue
			}
			for _, w := range entry.Lens.Warnings {
				by[w] = append(by[w], entry)
			}
		}
		a.tooSmall(b, by[event.SpaceTooSmall])
		a.unsharp(b, by[event.NotAllSharp])
		stretched := slices.DeleteFunc(by[event.EdgesStretched], func(e event.SheetEntry) bool { return hard(e.Lens) })
		if len(stretched) > 0 {
			key := wording.Key("outdoors.headsAtTheEdgesWillLook")
			if b.StandBackCM > 0 { // the camera has all the room there is
				key = "outdoors.headsAtTheEdgesAtTheWall"
			}
			a.add(event.Info, event.CodeEdgesStretched, idsOf(stretched), wording.Say(key, b.Subject(), titles(stretched)))
		}
	}
}

// tooSmall says for the largest of the photographs what would make it fit.
func (a *adviser) tooSmall(b event.Block, entries []event.SheetEntry) {
	if len(entries) == 0 {
		return
	}
	worst := slices.MaxFunc(entries, func(x, y event.SheetEntry) int { return x.Lens.WidthCM - y.Lens.WidthCM })
	kit, l := kitOf(a.event.Kit), worst.Lens
	across, up := kit.Sensor.Width, kit.Sensor.Height
	if l.Upright {
		across, up = up, across
	}
	room := 10 * (1 + 2*margin)
	need := max(lens.FramingDistance(across, l.FocalMM, float64(l.WidthCM)*room), lens.FramingDistance(up, l.FocalMM, float64(l.HeightCM)*room))
	need = max(need, float64(a.event.Kit.Lenses[l.Lens].ClosestCM)*10)
	remedy := wording.Say("outdoors.takeFewerPeoplePerRowIn",
		wording.Metres(int(math.Ceil(need/100))*10), int(math.Round(l.FocalMM)))
	var wider wording.Message
	// The framing distance is proportional to the focal length.
	if focal := math.Floor(l.FocalMM * float64(l.DistanceCM) * 10 / need); focal >= 8 && focal < l.FocalMM {
		wider = wording.Say("outdoors.fromHereItWouldTakeA", int(focal))
	}
	a.add(event.Warning, event.CodeSpaceTooSmall, append(blockIDs(b), idsOf(entries)...),
		wording.Say("outdoors.tooSmallFor", b.Subject(), titles(entries),
			wording.Metres(l.DistanceCM), wording.Say("sheet.rows", l.Rows), wording.Metres(l.WidthCM)),
		remedy, wider, wording.Say("outdoors.stepsAndChairsOnlyForThose"))
}

func (a *adviser) unsharp(b event.Block, entries []event.SheetEntry) {
	if len(entries) > 0 {
		a.add(event.Warning, event.CodeNotAllSharp, append(blockIDs(b), idsOf(entries)...),
			wording.Say("outdoors.noUsefulApertureHoldsEveryRow", b.Subject(), titles(entries)))
	}
}

func idsOf(entries []event.SheetEntry) []string {
	var ids []string
	for _, e := range entries {
		ids = append(ids, e.Grouping)
	}
	return ids
}

// titles names the first few of some entries.
func titles(entries []event.SheetEntry) wording.Arg {
	var names []wording.Message
	for _, e := range entries {
		names = append(names, wording.Say("%s", event.Quoted(e.Title)))
	}
	return wording.Few(adviceNames, names)
}
