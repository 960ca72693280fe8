package sheet_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/sheet"
)

// How TestNobodyIsFreeTooEarly reads each kind of sheet.
var (
	textEntry    = regexp.MustCompile(`^\[ \] +(\d+) `)
	pageEntry    = regexp.MustCompile(`(?s)<article class="entry[^"]*" id="n(\d+)">(.*?)</article>`)
	pageFree     = regexp.MustCompile(`(?s)<div class="free">(.*?)</div>`)
	pageReleases = regexp.MustCompile(`(?s)<div class="releases">(.*?)</ul>`)
	finderFree   = regexp.MustCompile(`(?s)class="name">(Q\d\d)<.*?class="until">(.*?)</b>`)
	chartText    = regexp.MustCompile(`<text x="[^"]*" y="([^"]*)">(.*?)</text>`)
)

// minute is the end of the first minute that a text has: the crew's sheets let people go in the minute in which it is over,
// when the next photo begins in that.
func (c *freeCheck) minute(text string) time.Time {
	return c.clock(anyClock.FindString(text)).Add(time.Minute - time.Nanosecond)
}

func (c *freeCheck) callText() {
	told, pocket := told{}, map[string]bool{}
	free := c.cat.Say("sheet.labelled", c.cat.Say("sheet.release"), "")
	number, releases := 0, false
	for line := range strings.Lines(c.draw(sheet.Call, sheet.Text, 0)) {
		where := "call text: " + strings.TrimSpace(line)
		if m := textEntry.FindStringSubmatch(line); m != nil {
			number, _ = strconv.Atoi(m[1])
		}
		switch {
		case strings.HasPrefix(strings.TrimSpace(line), strings.TrimSpace(free)):
			c.free(where, c.people(line, c.entries[number]), c.ends[number], pocket)
		case strings.HasPrefix(line, "    "+c.cat.Say("sheet.release")+" "):
			c.free(where, c.people(line, c.entries[number]), c.ends[number], told)
		case strings.TrimSpace(line) == c.cat.Say("sheet.releases"):
			releases = true
		case strings.TrimSpace(line) == "":
			releases = false
		case releases:
			c.free(where, anyName.FindAllString(line, -1), c.minute(line), told)
		}
	}
	c.all("call text", told)
	c.all("pocket list", pocket)
}

func (c *freeCheck) callPage() {
	told := told{}
	page := c.draw(sheet.Call, sheet.HTML, 0)
	for _, m := range pageEntry.FindAllStringSubmatch(page, -1) {
		number, _ := strconv.Atoi(m[1])
		if free := pageFree.FindString(m[2]); free != "" {
			c.free("call page, number "+m[1], c.people(shown(free), c.entries[number]), c.ends[number], told)
		}
	}
	c.all("call page", told)
	for _, m := range pageReleases.FindAllString(page, -1) {
		for _, row := range strings.Split(m, `<li class="leaves">`)[1:] {
			c.free("call page, releases", anyName.FindAllString(row, -1), c.minute(row), told)
		}
	}
}

func (c *freeCheck) callTable() {
	told := told{}
	for n, r := range c.records(sheet.Call, 0)[1:] {
		c.free("call table", anyName.FindAllString(r[15], -1), c.ends[n+1], told)
	}
	c.all("call table", told)
}

func (c *freeCheck) finder() {
	told := told{}
	for _, m := range finderFree.FindAllStringSubmatch(c.draw(sheet.Finder, sheet.HTML, 0), -1) {
		c.free("finder's sheet", m[1:2], c.minute(m[2]), told)
	}
	c.all("finder's sheet", told)
}

func (c *freeCheck) chart() {
	told := told{}
	at := map[string]string{} // names by their line
	for _, m := range chartText.FindAllStringSubmatch(c.draw(sheet.Chart, sheet.HTML, 0), -1) {
		if anyName.MatchString(m[2]) {
			at[m[1]] = m[2]
			continue
		}
		c.free("chart", []string{at[m[1]]}, c.minute(m[2]), told)
	}
	for name := range c.last {
		inFrame := false
		for _, entry := range c.entries {
			inFrame = inFrame || strings.Contains(strings.Join(c.names(append(entry.StepIn, entry.Stay...)), " "), name)
		}
		assert.Equal(c.t, inFrame, told[name], "chart: %s", name)
	}
}

func (c *freeCheck) timesTable() {
	for _, per := range []sheet.Per{sheet.PerPerson, sheet.PerCircle} {
		told := told{}
		for _, r := range c.records(sheet.Times, per)[1:] {
			if r[7] != "" {
				c.free("table of times", anyName.FindAllString(r[0], -1), c.clock(r[7]), told)
			}
		}
		c.all("table of times", told)
	}
}

func (c *freeCheck) messages(per sheet.Per) {
	told := told{}
	to := c.cat.Say("sheet.labelled", c.cat.Say("sheet.to"), "")
	for _, m := range strings.Split(c.draw(sheet.Times, sheet.Text, per), strings.Repeat("-", 40)) {
		if !strings.Contains(m, strings.TrimSpace(to)) {
			continue // nobody but those whom the day is about
		}
		first, _, _ := strings.Cut(m[strings.Index(m, strings.TrimSpace(to)):], "\n")
		people := slices.DeleteFunc(c.addressees(first), c.honoured)
		c.message("message", m, people, told)
	}
	c.allGuests("messages", told)
}

// allGuests holds that everybody was told but those whom the day is about.
func (c *freeCheck) allGuests(where string, told told) {
	for name := range c.last {
		assert.Equal(c.t, !c.honoured(name), told[name], "%s: %s", where, name)
	}
}

// honoured reports whether somebody is of the couple, or where there is none in three fifths of at least four photographs.
func (c *freeCheck) honoured(name string) bool {
	if about := c.names(family.About(&c.event)); len(about) > 0 {
		return slices.Contains(about, name)
	}
	in := 0
	for _, entry := range c.entries[1:] {
		if slices.Contains(c.names(slices.Concat(entry.StepIn, entry.Stay)), name) {
			in++
		}
	}
	all := len(c.entries) - 1
	return all >= 4 && 5*in >= 3*all
}

// addressees are all who come with those that a line names.
func (c *freeCheck) addressees(line string) []string {
	title := anyTitle.FindString(line)
	if title == "" {
		return anyName.FindAllString(line, -1)
	}
	var out []string
	for name, of := range c.circle {
		if of == title {
			out = append(out, name)
		}
	}
	return out
}

// message reads a message to people: sentences are for all of them, lines for those whom they name.
func (c *freeCheck) message(where, text string, people []string, told told) {
	free := func(line, clock string) bool { // one is spoken to, or several
		return strings.HasPrefix(line, c.cat.Say("sheet.freeFrom", clock, 1)) || strings.HasPrefix(line, c.cat.Say("sheet.freeFrom", clock, 2))
	}
	for line := range strings.Lines(strings.ReplaceAll(text, "\u00a0h\u00a0", ":")) { // as French letters have it
		clocks := anyClock.FindAllString(line, -1)
		switch {
		case strings.HasPrefix(line, "- ") && len(clocks)%2 == 1: // with a third they are wanted again, with one they go straight on
		case strings.HasPrefix(line, "- "):
			require.Len(c.t, clocks, 2, line)
			c.free(where+": "+line, anyName.FindAllString(line, -1), c.clock(clocks[1]), told)
		case len(clocks) == 1 && free(line, clocks[0]):
			c.free(where+": "+line, people, c.clock(clocks[0]), told)
		}
	}
}

// calendar holds that the last of the entries of each of those to whom it goes ends late enough, and that
// what they say does.
func (c *freeCheck) calendar(per sheet.Per) {
	said, over := told{}, map[string]time.Time{}
	text := strings.ReplaceAll(c.draw(sheet.Times, sheet.Calendar, per), "\r\n ", "")
	for _, m := range strings.Split(text, "BEGIN:VEVENT")[1:] {
		field := func(name string) string {
			_, rest, found := strings.Cut(m, "\r\n"+name+":")
			require.True(c.t, found, "%s in %s", name, m)
			value, _, _ := strings.Cut(rest, "\r\n")
			return strings.NewReplacer(`\n`, "\n", `\,`, ",", `\;`, ";").Replace(value)
		}
		people := c.addressees(field("SUMMARY"))
		c.message("calendar", field("DESCRIPTION"), people, said)
		end, err := time.Parse("20060102T150405Z", field("DTEND"))
		require.NoError(c.t, err)
		for _, name := range people {
			if end.After(over[name]) {
				over[name] = end
			}
		}
	}
	for name, last := range c.last {
		assert.False(c.t, over[name].Before(last), fmt.Sprintf("calendar: %s has entries until %s and is wanted until %s", name, over[name], last))
	}
	c.all("calendar", said)
}
