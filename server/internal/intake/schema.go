package intake

import "kinorder.example/server/internal/event"

// The functions of this file say which fields an event and its parts have. The names are those of
// the API.

func (d *decoder) event(root *node) event.Event {
	var e event.Event
	d.object(root, "", []field{
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
	return e
}

func (d *decoder) handPlace(p *event.HandPlace) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{{"grouping", d.text(&p.Grouping)}, {"block", d.text(&p.Block)}, {"locked", d.flag(&p.Locked)}})
	}
}

func (d *decoder) side(s *event.Side) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{{"id", d.text(&s.ID)}, {"label", d.text(&s.Label)}})
	}
}

func (d *decoder) person(p *event.Person) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"id", d.text(&p.ID)},
			{"name", d.text(&p.Name)},
			{"sayAs", d.text(&p.SayAs)},
			{"relation", d.text(&p.Relation)},
			{"side", d.text(&p.Side)},
			{"ageBand", choice(d, &p.AgeBand, ageBands)},
			{"heightCm", d.number(&p.HeightCM)},
			{"needs", items(d, &p.Needs, d.need)},
			{"presentFrom", d.text(&p.PresentFrom)},
			{"presentUntil", d.text(&p.PresentUntil)},
			{"absent", d.flag(&p.Absent)},
			{"releaseWeight", d.optionalNumber(&p.ReleaseWeight)},
			{"privateNote", d.note(&p.PrivateNote)},
			{"presence", items(d, &p.Presence, d.span)},
			{"interpreter", d.text(&p.Interpreter)},
			{"nicknames", items(d, &p.Nicknames, d.text)},
		})
	}
}

func (d *decoder) span(s *event.Span) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{{"from", d.text(&s.From)}, {"until", d.text(&s.Until)}})
	}
}

func (d *decoder) walk(w *event.Walk) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{{"from", d.text(&w.From)}, {"to", d.text(&w.To)}, {"minutes", d.number(&w.Minutes)}})
	}
}

func (d *decoder) need(need *event.Need) reader { return choice(d, need, needWords) }

func (d *decoder) circle(c *event.Circle) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"id", d.text(&c.ID)},
			{"title", d.text(&c.Title)},
			{"members", items(d, &c.Members, d.text)},
			{"leader", d.text(&c.Leader)},
		})
	}
}

func (d *decoder) grouping(g *event.Grouping) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"id", d.text(&g.ID)},
			{"title", d.text(&g.Title)},
			{"members", items(d, &g.Members, d.text)},
			{"without", items(d, &g.Without, d.text)},
			{"eachOf", d.text(&g.EachOf)},
			{"priority", choice(d, &g.Priority, priorities)},
			{"blocks", items(d, &g.Blocks, d.text)},
			{"after", items(d, &g.After, d.text)},
			{"pin", choice(d, &g.Pin, pins)},
			{"minutes", d.optionalDecimal(&g.Minutes)},
			{"frames", d.number(&g.Frames)},
			{"privateNote", d.note(&g.PrivateNote)},
			{"notBefore", d.text(&g.NotBefore)},
			{"notAfter", d.text(&g.NotAfter)},
			{"confirms", items(d, &g.Confirms, d.text)},
			{"worth", d.optionalDecimal(&g.Worth)},
			{"guests", d.number(&g.Guests)},
		})
	}
}

func (d *decoder) block(b *event.Block) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"id", d.text(&b.ID)},
			{"title", d.text(&b.Title)},
			{"place", d.text(&b.Place)},
			{"opens", d.text(&b.Opens)},
			{"closes", d.text(&b.Closes)},
			{"closing", choice(d, &b.Closing, closings)},
			{"overrunMinutes", d.optionalNumber(&b.Overrun)},
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
}

func (d *decoder) space(s *event.Space) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
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
}

func (d *decoder) rule(r *event.Rule) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"id", d.text(&r.ID)},
			{"apart", d.apart(&r.Apart)},
			{"turns", d.turns(&r.Turns)},
			{"seniority", d.seniority(&r.Seniority)},
			{"privateNote", d.note(&r.PrivateNote)},
		})
	}
}

func (d *decoder) turns(into **event.Turns) reader {
	return func(n *node, path string) {
		if n.kind == null {
			return
		}
		*into = new(event.Turns)
		d.object(n, path, []field{{"people", items(d, &(*into).People, d.text)}})
	}
}

func (d *decoder) seniority(into **event.Seniority) reader {
	return func(n *node, path string) {
		if n.kind == null {
			return
		}
		*into = new(event.Seniority)
		d.object(n, path, []field{{"people", items(d, &(*into).People, d.text)}})
	}
}

func (d *decoder) apart(into **event.Apart) reader {
	return func(n *node, path string) {
		if n.kind == null {
			return
		}
		a := new(event.Apart)
		*into = a
		d.object(n, path, []field{
			{"people", items(d, &a.People, d.text)},
			{"scope", choice(d, &a.Scope, scopes)},
			{"until", d.text(&a.Until)},
		})
	}
}

func (d *decoder) pace(p *event.Pace) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"settleSeconds", d.optionalNumber(&p.SettleSeconds)},
			{"perStepInSeconds", d.optionalNumber(&p.PerStepInSeconds)},
			{"perStepOutSeconds", d.optionalNumber(&p.PerStepOutSeconds)},
			{"freshSeconds", d.optionalNumber(&p.FreshSeconds)},
			{"arrange", items(d, &p.Arrange, d.arrangePoint)},
			{"perFrameSeconds", d.optionalNumber(&p.PerFrameSeconds)},
			{"elderSeconds", d.optionalNumber(&p.ElderSeconds)},
			{"childSeconds", d.optionalNumber(&p.ChildSeconds)},
			{"infantSeconds", d.optionalNumber(&p.InfantSeconds)},
			{"wheelchairSeconds", d.optionalNumber(&p.WheelchairSeconds)},
			{"openingSeconds", d.optionalNumber(&p.OpeningSeconds)},
			{"fetchSeconds", d.optionalNumber(&p.FetchSeconds)},
			{"calling", choice(d, &p.Calling, callings)},
			{"frames", items(d, &p.Frames, d.framesPoint)},
			{"framesConfidence", d.optionalNumber(&p.FramesConfidence)},
			{"slotSpreadPercent", d.optionalNumber(&p.SlotSpreadPercent)},
			{"daySpreadPercent", d.optionalNumber(&p.DaySpreadPercent)},
		})
	}
}

func (d *decoder) kit(k *event.Kit) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"sensorWidthMm", d.decimal(&k.SensorWidthMM)},
			{"sensorHeightMm", d.decimal(&k.SensorHeightMM)},
			{"lenses", items(d, &k.Lenses, d.lens)},
			{"groupAperture", d.decimal(&k.GroupAperture)},
		})
	}
}

func (d *decoder) lens(l *event.Lens) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"title", d.text(&l.Title)},
			{"focalMm", d.decimal(&l.FocalMM)},
			{"focalToMm", d.decimal(&l.FocalToMM)},
			{"widest", d.decimal(&l.Widest)},
			{"widestLong", d.decimal(&l.WidestLong)},
			{"closestCm", d.number(&l.ClosestCM)},
		})
	}
}

func (d *decoder) arrangePoint(p *event.ArrangePoint) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{{"newcomers", d.number(&p.Newcomers)}, {"seconds", d.number(&p.Seconds)}})
	}
}

func (d *decoder) framesPoint(p *event.FramesPoint) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{{"people", d.number(&p.People)}, {"frames", d.number(&p.Frames)}})
	}
}

func (d *decoder) weights(w *event.Weights) reader {
	return func(n *node, path string) {
		d.object(n, path, []field{
			{"step", d.optionalNumber(&w.Step)},
			{"releaseAdult", d.optionalNumber(&w.ReleaseAdult)},
			{"releaseChild", d.optionalNumber(&w.ReleaseChild)},
			{"releaseInfant", d.optionalNumber(&w.ReleaseInfant)},
			{"releaseElder", d.optionalNumber(&w.ReleaseElder)},
			{"releaseNeed", d.optionalNumber(&w.ReleaseNeed)},
			{"idle", d.optionalNumber(&w.Idle)},
		})
	}
}
