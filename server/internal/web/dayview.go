package web

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// dayView is the part of the page about the day.
type dayView struct {
	Title, Date, Zone fieldView
	Latitude          fieldView
	Longitude         fieldView
	Emphasis          []radioView
	Blocks            []blockView
	Walks             []walkView
	Rules             []ruleView
	People            []string // labels to choose from
	MoreBlocks        bool
	MoreRules         bool
}

// fieldView is one field of the page.
type fieldView = fields.Input

type radioView struct {
	Value, Text, Hint string
	Checked           bool
}

type blockView struct {
	Number  int
	ID      string
	IDField string
	About   string
	Open    bool
	Fields  []fieldView
	Ticks   []tickView
}

// tickView is a box to tick.
type tickView struct {
	fieldView
	Checked bool
}

type walkView struct {
	From, To           string
	FromField, ToField string
	Minutes            fieldView
}

type ruleView struct {
	Number                int
	ID, IDField           string
	Kind, Scope           string
	KindField, ScopeField string
	Kinds, Scopes         []radioView
	Who                   []fieldView
	Until                 fieldView
	Note                  fieldView
	Faults                []string
	About                 string
	Open                  bool
}

// ruleWords are the kinds as planners read them.
var ruleWords = []keyChoice{
	{fields.KindApart, "page.keepApart"},
	{fields.KindTurns, "page.allOfOneBeforeAnyOf"},
	{fields.KindSeniority, "page.orderOfGoingFirst"},
}

// scopeWords say where people are kept apart.
var scopeWords = []keyChoice{
	{"frame", "page.inOnePhotograph"},
	{"neighbours", "page.sideBySide"},
	{"block", "page.inOnePlaceAtOneTime"},
}

// keyChoice is a choice whose text is in the catalogue.
type keyChoice struct {
	Value string
	text  wording.Key
}

// choiceView is one of several values to choose.
type choiceView struct{ Value, Text string }

// emphasisWords say what each emphasis is after.
var emphasisWords = map[string][2]wording.Key{
	"balanced":      {"page.balanced", "page.fewWalkInsAndEldersAnd"},
	"fewest_steps":  {"page.fewestWalkIns", "page.calmestForEverybodyInTheFrame"},
	"early_release": {"page.eldersAndChildrenFirst", "page.theyAreFreeAsEarlyAs"},
}

func emphasisChoices(c *wording.Catalogue, chosen string) []radioView {
	var out []radioView
	for _, name := range fields.EmphasisNames {
		words := emphasisWords[name]
		out = append(out, radioView{name, c.Say(words[0]), c.Say(words[1]), name == chosen})
	}
	return out
}

// dayViewOf writes the fields, with the problems that are about them.
func dayViewOf(r *reading, o listOptions, problems []problemView) dayView {
	faults := map[string][]string{}
	for _, p := range problems {
		if p.Field != "" {
			faults[p.Field] = append(faults[p.Field], p.Text)
		}
	}
	c := o.words
	field := func(id string, label wording.Message, value, kind string, hint wording.Key) fieldView {
		return fieldView{ID: id, Label: c.Render(label), Value: value, Kind: fields.KindFor(kind, value), Hint: c.Say(hint), Faults: faults[id]}
	}
	d := r.day
	v := dayView{
		Title:     field("title", wording.Say("page.title"), d.Title, "text", ""),
		Date:      field("date", wording.Say("page.date"), d.Date, "date", ""),
		Zone:      field("zone", wording.Say("page.timeZone"), d.Zone, "text", "page.suchAsEuropeLisbonNeededForCalendar"),
		Latitude:  field("latitude", wording.Say("page.latitude"), d.Latitude, "text", "page.degreesNorthForTheSun"),
		Longitude: field("longitude", wording.Say("page.longitude"), d.Longitude, "text", "page.degreesEast"),
		Emphasis:  emphasisChoices(c, d.Emphasis), People: r.names.Order,
		MoreBlocks: len(d.Blocks) < event.MaxBlocks, MoreRules: len(d.Rules) < event.MaxRules,
	}
	blocks := slices.Clone(d.Blocks)
	if len(blocks) == 0 || o.act == "add-block" && v.MoreBlocks {
		blocks = append(blocks, fields.Block{})
	}
	for i, b := range blocks {
		v.Blocks = append(v.Blocks, blockViewOf(i, b, field, o))
	}
	ways := d
	ways.FillWalks()
	for i, w := range ways.Walks {
		at := fmt.Sprintf("walk.%d.", i)
		minutes := field(at+"minutes", wording.Say("page.minutesToWalk"), w.Minutes, "number", "")
		v.Walks = append(v.Walks, walkView{w.From, w.To, at + "from", at + "to", minutes})
	}
	rules := slices.Clone(d.Rules)
	if o.act == "add-rule" && v.MoreRules {
		rules = append(rules, fields.Rule{Kind: fields.KindApart, Scope: "frame"})
	}
	for i, rule := range rules {
		v.Rules = append(v.Rules, ruleViewOf(i, rule, field, faults, o, i >= len(d.Rules)))
	}
	return v
}

type fieldMaker func(id string, label wording.Message, value, kind string, hint wording.Key) fieldView

func blockViewOf(i int, b fields.Block, field fieldMaker, o listOptions) blockView {
	at := func(name string) string { return fmt.Sprintf("block.%d.%s", i, name) }
	v := blockView{
		Number: i + 1, ID: b.ID, IDField: at("id"), About: aboutBlock(o.words, b),
		Fields: []fieldView{
			field(at("title"), wording.Say("page.whatItIsCalled"), b.Title, "text", ""),
			field(at("place"), wording.Say("page.place"), b.Place, "text", ""),
			field(at("opens"), wording.Say("page.from"), b.Opens, "time", ""),
			field(at("closes"), wording.Say("page.until"), b.Closes, "time", ""),
			field(at("overrun"), wording.Say("page.minutesItMayRunOver"), b.Overrun, "number", "page.emptyATenthOfIt"),
			field(at("photographer"), wording.Say("page.photographer"), b.Photographer, "text", "page.twoBlocksAtOnceNeedTwo"),
			field(at("capacity"), wording.Say("page.howManyPeopleFit"), b.Capacity, "number", "page.emptyAnyNumber"),
			field(at("facing"), wording.Say("page.cameraLooks"), b.Facing, "text", "page.suchAsNeOrDegreesFrom"),
			field(at("standback"), wording.Say("page.cameraCanStandBackCm"), b.StandBack, "number", "page.emptyAsFarAsIsWanted"),
		},
		Ticks: []tickView{
			{field(at("firm"), wording.Say("page.hasToEndOnTime"), "1", "checkbox", ""), b.Firm},
			{field(at("stepfree"), wording.Say("page.wayWithoutSteps"), "1", "checkbox", ""), b.StepFree},
			{field(at("indoors"), wording.Say("page.underARoof"), "1", "checkbox", ""), b.Indoors},
		},
	}
	more, ticks := roomViews(b.Room, at, field)
	v.Fields, v.Ticks = append(v.Fields, more...), append(v.Ticks, ticks...)
	fresh := b == (fields.Block{})
	v.Fields[0].Focus = o.act == "add-block" && fresh
	v.Open = fresh || anyFaults(v.Fields)
	return v
}

// aboutBlock says a block in a few words.
func aboutBlock(c *wording.Catalogue, b fields.Block) string {
	when := ""
	if b.Opens != "" && b.Closes != "" {
		when = b.Opens + "–" + b.Closes
	} else if b.Opens != "" {
		when = c.Say("plan.from", b.Opens)
	}
	return c.Facts(b.Title, when, b.Place)
}

func anyFaults(fields []fieldView) bool {
	return slices.ContainsFunc(fields, func(f fieldView) bool { return len(f.Faults) > 0 })
}

func ruleViewOf(i int, r fields.Rule, field fieldMaker, faults map[string][]string, o listOptions, fresh bool) ruleView {
	at := func(name string) string { return fmt.Sprintf("rule.%d.%s", i, name) }
	v := ruleView{
		Number: i + 1, ID: r.ID, IDField: at("id"), KindField: at("kind"), ScopeField: at("scope"),
		Until:  field(at("until"), wording.Say("page.onlyUntil"), r.Until, "time", "page.emptyAllDay"),
		Note:   field(at("note"), wording.Say("page.privateNote"), r.Note, "text", "page.forYouAlone"),
		Faults: faults[at("kind")],
	}
	for _, k := range ruleWords {
		if k.Value == r.Kind && !fresh {
			v.About = o.words.Say("%s: %s", o.words.Say(k.text), strings.Join(r.Who, o.words.Say("sheet.listSeparator")))
		}
		v.Kinds = append(v.Kinds, radioView{Value: k.Value, Text: o.words.Say(k.text), Checked: k.Value == r.Kind})
	}
	for _, k := range scopeWords {
		v.Scopes = append(v.Scopes, radioView{Value: k.Value, Text: o.words.Say(k.text), Checked: k.Value == r.Scope})
	}
	slots := max(2, len(r.Who))
	if o.act == "more" && o.index == i {
		slots = min(len(r.Who)+2, fields.MaxWho)
	}
	for k := range slots {
		who := ""
		if k < len(r.Who) {
			who = r.Who[k]
		}
		f := field(at(fmt.Sprintf("who.%d", k)), wording.Say("page.name", k+1), who, "text", "")
		f.List = "people"
		f.Focus = fresh && k == 0 || o.act == "more" && o.index == i && k == len(r.Who)
		v.Who = append(v.Who, f)
	}
	v.Open = fresh || o.act == "more" && o.index == i || len(v.Faults) > 0 || anyFaults(append(v.Who, v.Until, v.Note))
	return v
}

// roomViews are the fields of a room, with a box to tick for what is there or not.
func roomViews(r fields.Room, at func(string) string, field fieldMaker) ([]fieldView, []tickView) {
	return []fieldView{
			field(at("width"), wording.Say("standing.roomToStandAcrossCm"), r.Width, "number", "standing.emptyAsWideAsIsWanted"),
			field(at("depth"), wording.Say("standing.roomToStandFrontToBack"), r.Depth, "number", "standing.emptyAsDeepAsIsWanted"),
			field(at("chairs"), wording.Say("standing.chairsForAFrontRow"), r.Chairs, "number", ""),
			field(at("steps"), wording.Say("standing.stepsToStandOn0To"), r.Steps, "number", "standing.firmAndLevelOnesByThe"),
			field(at("step"), wording.Say("standing.heightOfAStepCm"), r.Step, "number", ""),
		}, []tickView{
			{field(at("kneeling"), wording.Say("standing.frontRowMayKneel"), "1", "checkbox", ""), r.Kneeling},
			{field(at("ground"), wording.Say("standing.frontRowMaySitOnThe"), "1", "checkbox", ""), r.Ground},
		}
}
