package intake

import "kinorder.example/server/internal/event"

// The functions of this file say which fields an event and its parts have, for reading and for writing. The names are
// those of the API.

func (d *decoder) event(e *event.Event) binding {
	return d.fields([]field{
		{"title", d.text(&e.Title)},
		{"people", items(d, &e.People, d.person)},
		{"groupings", items(d, &e.Groupings, d.grouping)},
		{"date", d.text(&e.Date)},
		{"timeZone", d.text(&e.TimeZone)},
		{"sides", items(d, &e.Sides, d.side)},
		{"circles", items(d, &e.Circles, d.circle)},
		{"blocks", items(d, &e.Blocks, d.block)},
		{"rules", items(d, &e.Rules, d.rule)},
		{"pace", d.pace(&e.Pace)},
		{"emphasis", choice(d, &e.Emphasis, emphases)},
		{"weights", d.weights(&e.Weights)},
		{"walks", items(d, &e.Walks, d.walk)},
		{"confidence", d.number(&e.Confidence)},
		{"fit", choice(d, &e.Fit, fits)},
		{"latitude", d.optionalDecimal(&e.Latitude)},
		{"longitude", d.optionalDecimal(&e.Longitude)},
		{"kit", d.kit(&e.Kit)},
		{"honour", items(d, &e.Honour, d.text)},
		{"order", items(d, &e.Order, d.handPlace)},
		{"leftOut", items(d, &e.LeftOut, d.text)},
	})
}

func (d *decoder) handPlace(p *event.HandPlace) binding {
	return d.fields([]field{{"grouping", d.text(&p.Grouping)}, {"block", d.text(&p.Block)}, {"locked", d.flag(&p.Locked)}})
}

func (d *decoder) side(s *event.Side) binding {
	return d.fields([]field{{"id", d.text(&s.ID)}, {"label", d.text(&s.Label)}})
}

func (d *decoder) person(p *event.Person) binding {
	return d.fields([]field{
		{"id", d.text(&p.ID)},
		{"name", d.text(&p.Name)},
		{"nicknames", items(d, &p.Nicknames, d.text)},
		{"sayAs", d.text(&p.SayAs)},
		{"relation", d.text(&p.Relation)},
		{"side", d.text(&p.Side)},
		{"ageBand", choice(d, &p.AgeBand, ageBands)},
		{"heightCm", d.number(&p.HeightCM)},
		{"needs", items(d, &p.Needs, d.need)},
		{"presentFrom", d.text(&p.PresentFrom)},
		{"presentUntil", d.text(&p.PresentUntil)},
		{"presence", items(d, &p.Presence, d.span)},
		{"interpreter", d.text(&p.Interpreter)},
		{"absent", d.flag(&p.Absent)},
		{"releaseWeight", optional(d.number, &p.ReleaseWeight)},
		{"privateNote", d.note(&p.PrivateNote)},
	})
}

func (d *decoder) span(s *event.Span) binding {
	return d.fields([]field{{"from", d.text(&s.From)}, {"until", d.text(&s.Until)}})
}

func (d *decoder) walk(w *event.Walk) binding {
	return d.fields([]field{{"from", d.text(&w.From)}, {"to", d.text(&w.To)}, {"minutes", d.number(&w.Minutes)}})
}

func (d *decoder) need(need *event.Need) binding { return choice(d, need, needWords) }

func (d *decoder) circle(c *event.Circle) binding {
	return d.fields([]field{
		{"id", d.text(&c.ID)},
		{"title", d.text(&c.Title)},
		{"members", items(d, &c.Members, d.text)},
		{"leader", d.text(&c.Leader)},
	})
}

func (d *decoder) grouping(g *event.Grouping) binding {
	return d.fields([]field{
		{"id", d.text(&g.ID)},
		{"title", d.text(&g.Title)},
		{"members", items(d, &g.Members, d.text)},
		{"without", items(d, &g.Without, d.text)},
		{"eachOf", d.text(&g.EachOf)},
		{"priority", choice(d, &g.Priority, priorities)},
		{"blocks", items(d, &g.Blocks, d.text)},
		{"after", items(d, &g.After, d.text)},
		{"notBefore", d.text(&g.NotBefore)},
		{"notAfter", d.text(&g.NotAfter)},
		{"confirms", items(d, &g.Confirms, d.text)},
		{"pin", choice(d, &g.Pin, pins)},
		{"minutes", d.optionalDecimal(&g.Minutes)},
		{"frames", d.number(&g.Frames)},
		{"worth", d.optionalDecimal(&g.Worth)},
		{"guests", d.number(&g.Guests)},
		{"privateNote", d.note(&g.PrivateNote)},
	})
}

func (d *decoder) block(b *event.Block) binding {
	return d.fields([]field{
		{"id", d.text(&b.ID)},
		{"title", d.text(&b.Title)},
		{"place", d.text(&b.Place)},
		{"opens", d.text(&b.Opens)},
		{"closes", d.text(&b.Closes)},
		{"closing", choice(d, &b.Closing, closings)},
		{"overrunMinutes", optional(d.number, &b.Overrun)},
		{"photographer", d.text(&b.Photographer)},
		{"capacity", d.number(&b.Capacity)},
		{"stepFree", d.flag(&b.StepFree)},
		{"light", choice(d, &b.Light, lights)},
		{"latitude", d.optionalDecimal(&b.Latitude)},
		{"longitude", d.optionalDecimal(&b.Longitude)},
		{"facing", d.textOrNumber(&b.Facing)},
		{"indoors", d.flag(&b.Indoors)},
		{"standBackCm", d.number(&b.StandBackCM)},
		{"space", d.space(&b.Space)},
	})
}

func (d *decoder) space(s *event.Space) binding {
	return d.fields([]field{
		{"widthCm", d.number(&s.WidthCM)},
		{"depthCm", d.number(&s.DepthCM)},
		{"ground", d.flag(&s.Ground)},
		{"kneeling", d.flag(&s.Kneeling)},
		{"chairs", d.number(&s.Chairs)},
		{"steps", d.number(&s.Steps)},
		{"stepCm", d.number(&s.StepCM)},
		{"cameraHeightCm", d.number(&s.CameraHeightCM)},
		{"cameraDistanceCm", d.number(&s.CameraDistanceCM)},
	})
}

func (d *decoder) rule(r *event.Rule) binding {
	return d.fields([]field{
		{"id", d.text(&r.ID)},
		{"apart", optional(d.apart, &r.Apart)},
		{"turns", optional(d.turns, &r.Turns)},
		{"seniority", optional(d.seniority, &r.Seniority)},
		{"privateNote", d.note(&r.PrivateNote)},
	})
}

func (d *decoder) turns(x *event.Turns) binding {
	return d.fields([]field{{"people", items(d, &x.People, d.text)}})
}

func (d *decoder) seniority(x *event.Seniority) binding {
	return d.fields([]field{{"people", items(d, &x.People, d.text)}})
}

func (d *decoder) apart(x *event.Apart) binding {
	return d.fields([]field{
		{"people", items(d, &x.People, d.text)},
		{"scope", choice(d, &x.Scope, scopes)},
		{"until", d.text(&x.Until)},
	})
}

func (d *decoder) pace(p *event.Pace) binding {
	return d.fields([]field{
		{"settleSeconds", optional(d.number, &p.SettleSeconds)},
		{"perStepInSeconds", optional(d.number, &p.PerStepInSeconds)},
		{"perStepOutSeconds", optional(d.number, &p.PerStepOutSeconds)},
		{"freshSeconds", optional(d.number, &p.FreshSeconds)},
		{"arrange", items(d, &p.Arrange, d.arrangePoint)},
		{"perFrameSeconds", optional(d.number, &p.PerFrameSeconds)},
		{"elderSeconds", optional(d.number, &p.ElderSeconds)},
		{"childSeconds", optional(d.number, &p.ChildSeconds)},
		{"infantSeconds", optional(d.number, &p.InfantSeconds)},
		{"wheelchairSeconds", optional(d.number, &p.WheelchairSeconds)},
		{"openingSeconds", optional(d.number, &p.OpeningSeconds)},
		{"fetchSeconds", optional(d.number, &p.FetchSeconds)},
		{"calling", choice(d, &p.Calling, callings)},
		{"frames", items(d, &p.Frames, d.framesPoint)},
		{"framesConfidence", optional(d.number, &p.FramesConfidence)},
		{"slotSpreadPercent", optional(d.number, &p.SlotSpreadPercent)},
		{"daySpreadPercent", optional(d.number, &p.DaySpreadPercent)},
	})
}

func (d *decoder) kit(k *event.Kit) binding {
	return d.fields([]field{
		{"sensorWidthMm", d.decimal(&k.SensorWidthMM)},
		{"sensorHeightMm", d.decimal(&k.SensorHeightMM)},
		{"lenses", items(d, &k.Lenses, d.lens)},
		{"groupAperture", d.decimal(&k.GroupAperture)},
	})
}

func (d *decoder) lens(l *event.Lens) binding {
	return d.fields([]field{
		{"title", d.text(&l.Title)},
		{"focalMm", d.decimal(&l.FocalMM)},
		{"focalToMm", d.decimal(&l.FocalToMM)},
		{"widest", d.decimal(&l.Widest)},
		{"widestLong", d.decimal(&l.WidestLong)},
		{"closestCm", d.number(&l.ClosestCM)},
	})
}

func (d *decoder) arrangePoint(p *event.ArrangePoint) binding {
	return d.fields([]field{{"newcomers", always(d.number(&p.Newcomers))}, {"seconds", always(d.number(&p.Seconds))}})
}

func (d *decoder) framesPoint(p *event.FramesPoint) binding {
	return d.fields([]field{{"people", always(d.number(&p.People))}, {"frames", always(d.number(&p.Frames))}})
}

func (d *decoder) weights(w *event.Weights) binding {
	return d.fields([]field{
		{"step", optional(d.number, &w.Step)},
		{"releaseAdult", optional(d.number, &w.ReleaseAdult)},
		{"releaseChild", optional(d.number, &w.ReleaseChild)},
		{"releaseInfant", optional(d.number, &w.ReleaseInfant)},
		{"releaseElder", optional(d.number, &w.ReleaseElder)},
		{"releaseNeed", optional(d.number, &w.ReleaseNeed)},
		{"idle", optional(d.number, &w.Idle)},
	})
}
