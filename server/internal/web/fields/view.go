package fields

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// View is the part of the page about the day.
type View struct {
	Title, Date, Zone Input
	Latitude          Input
	Longitude         Input
	Emphasis          []Choice
	Blocks            []blockView
	Walks             []walkView
	Rules             []ruleView
	People            []string // labels to choose from
	MoreBlocks        bool
	MoreRules         bool
}

// Choice is one of several values to choose.
type Choice struct {
	Value, Text, Hint string
	Checked           bool
}

type blockView struct {
	Number  int
	ID      string
	IDField string
	About   string
	Open    bool
	Fields  []Input
	Ticks   []tickView
}

// tickView is a box to tick.
type tickView struct {
	Input
	Checked bool
}

type walkView struct {
	From, To           string
	FromField, ToField string
	Minutes            Input
}

type ruleView struct {
	Number                int
	ID, IDField           string
	Kind, Scope           string
	KindField, ScopeField string
	Kinds, Scopes         []Choice
	Who                   []Input
	Until                 Input
	Note                  Input
	Faults                []string
	About                 string
	Open                  bool
}

// ruleWords are the kinds as planners read them.
var ruleWords = []keyChoice{
	{KindApart, "page.keepApart"},
	{KindTurns, "page.allOfOneBeforeAnyOf"},
	{KindSeniority, "page.orderOfGoingFirst"},
}

// scopeWords say where people are kept apart.
var scopeWords = []keyChoice{
	{"frame", "page.inOnePhotograph"},
	{"neighbours", "page.sideBySide"},
	{"block", "page.inOnePlaceAtOneTime"},
}

// ScopeChoices are they as they are chosen.
func ScopeChoices(c *wording.Catalogue, chosen string) (out []Choice) {
	for _, k := range scopeWords {
		out = append(out, Choice{Value: k.Value, Text: c.Say(k.text), Checked: k.Value == chosen})
	}
	return out
}

// keyChoice is a choice whose text is in the catalogue.
type keyChoice struct {
	Value string
	text  wording.Key
}

// EmphasisWords say what each emphasis is after.
var EmphasisWords = map[string][2]wording.Key{
	"balanced":      {"page.balanced", "page.fewWalkInsAndEldersAnd"},
	"fewest_steps":  {"page.fewestWalkIns", "page.calmestForEverybodyInTheFrame"},
	"early_release": {"page.eldersAndChildrenFirst", "page.theyAreFreeAsEarlyAs"},
}

func emphasisChoices(c *wording.Catalogue, chosen string) []Choice {
	var out []Choice
	for _, name := range EmphasisNames {
		words := EmphasisWords[name]
		out = append(out, Choice{name, c.Say(words[0]), c.Say(words[1]), name == chosen})
	}
	return out
}

// Shown says how the fields come up: in which language, after which button, and what is wrong beside which of them.
type Shown struct {
	Words  *wording.Catalogue
	Act    string
	Index  int // what the button was for
	Faults map[string][]string
}

// ViewOf writes the fields, with the names to choose from.
func ViewOf(d Day, names []string, o Shown) View {
	c, faults := o.Words, o.Faults
	field := func(id string, label wording.Message, value, kind string, hint wording.Key) Input {
		return Input{ID: id, Label: c.Render(label), Value: value, Kind: KindFor(kind, value), Hint: c.Say(hint), Faults: faults[id]}
	}
	v := View{
		Title:     field("title", wording.Say("page.title"), d.Title, "text", ""),
		Date:      field("date", wording.Say("page.date"), d.Date, "date", ""),
		Zone:      field("zone", wording.Say("page.timeZone"), d.Zone, "text", "page.suchAsEuropeLisbonNeededForCalendar"),
		Latitude:  field("latitude", wording.Say("page.latitude"), d.Latitude, "text", "page.degreesNorthForTheSun"),
		Longitude: field("longitude", wording.Say("page.longitude"), d.Longitude, "text", "page.degreesEast"),
		Emphasis:  emphasisChoices(c, d.Emphasis), People: names,
		MoreBlocks: len(d.Blocks) < event.MaxBlocks, MoreRules: len(d.Rules) < event.MaxRules,
	}
	blocks := slices.Clone(d.Blocks)
	if len(blocks) == 0 || o.Act == "add-block" && v.MoreBlocks {
		blocks = append(blocks, Block{})
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
	if o.Act == "add-rule" && v.MoreRules {
		rules = append(rules, Rule{Kind: KindApart, Scope: "frame"})
	}
	for i, rule := range rules {
		v.Rules = append(v.Rules, ruleViewOf(i, rule, field, o, i >= len(d.Rules)))
	}
	return v
}

type fieldMaker func(id string, label wording.Message, value, kind string, hint wording.Key) Input

func blockViewOf(i int, b Block, field fieldMaker, o Shown) blockView {
	at := func(name string) string { return fmt.Sprintf("block.%d.%s", i, name) }
	v := blockView{
		Number: i + 1, ID: b.ID, IDField: at("id"), About: AboutBlock(o.Words, b),
		Fields: []Input{
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
	fresh := b == (Block{})
	v.Fields[0].Focus = o.Act == "add-block" && fresh
	v.Open = fresh || anyFaults(v.Fields)
	return v
}

// AboutBlock says a block in a few words.
func AboutBlock(c *wording.Catalogue, b Block) string {
	when := ""
	if b.Opens != "" && b.Closes != "" {
		when = b.Opens + "–" + b.Closes
	} else if b.Opens != "" {
		when = c.Say("plan.from", b.Opens)
	}
	return c.Facts(b.Title, when, b.Place)
}

// AboutRule says a rule in a few words.
func AboutRule(c *wording.Catalogue, r Rule) string {
	var kind, scope string
	for _, k := range ruleWords {
		if k.Value == r.Kind {
			kind = c.Say(k.text)
		}
	}
	for _, k := range ScopeChoices(c, r.Scope) {
		if k.Checked && r.Kind == KindApart {
			scope = k.Text
		}
	}
	return c.Facts(c.Say("sheet.labelled", kind, strings.Join(r.Who, c.Say("sheet.listSeparator"))), scope)
}

func anyFaults(list []Input) bool {
	return slices.ContainsFunc(list, func(f Input) bool { return len(f.Faults) > 0 })
}

func ruleViewOf(i int, r Rule, field fieldMaker, o Shown, fresh bool) ruleView {
	at := func(name string) string { return fmt.Sprintf("rule.%d.%s", i, name) }
	v := ruleView{
		Number: i + 1, ID: r.ID, IDField: at("id"), KindField: at("kind"), ScopeField: at("scope"),
		Until:  field(at("until"), wording.Say("page.onlyUntil"), r.Until, "time", "page.emptyAllDay"),
		Note:   field(at("note"), wording.Say("page.privateNote"), r.Note, "text", "page.forYouAlone"),
		Faults: o.Faults[at("kind")],
	}
	for _, k := range ruleWords {
		v.Kinds = append(v.Kinds, Choice{Value: k.Value, Text: o.Words.Say(k.text), Checked: k.Value == r.Kind})
	}
	v.Scopes = ScopeChoices(o.Words, r.Scope)
	if !fresh {
		v.About = AboutRule(o.Words, r)
	}
	slots := max(2, len(r.Who))
	if o.Act == "more" && o.Index == i {
		slots = min(len(r.Who)+2, MaxWho)
	}
	for k := range slots {
		who := ""
		if k < len(r.Who) {
			who = r.Who[k]
		}
		f := field(at(fmt.Sprintf("who.%d", k)), wording.Say("page.name", k+1), who, "text", "")
		f.List = "people"
		f.Focus = fresh && k == 0 || o.Act == "more" && o.Index == i && k == len(r.Who)
		v.Who = append(v.Who, f)
	}
	v.Open = fresh || o.Act == "more" && o.Index == i || len(v.Faults) > 0 || anyFaults(append(v.Who, v.Until, v.Note))
	return v
}

// roomViews are the fields of a room, with a box to tick for what is there or not.
func roomViews(r Room, at func(string) string, field fieldMaker) ([]Input, []tickView) {
	return []Input{
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
