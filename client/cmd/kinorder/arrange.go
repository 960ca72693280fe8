package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/proto"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// arrangeFlags are the flags of arrange.
type arrangeFlags struct {
	serverFlags
	output                         string
	width, depth, step, lens, from int32
	chairs, steps                  int32
	ground, kneeling               bool
}

func (p *Program) arrangeCommand() *cobra.Command {
	o := &arrangeFlags{}
	c := &cobra.Command{
		Use:   "arrange FILE GROUPING",
		Short: "Show who stands where in one photo",
		Long: `Arrange reads an event file and plans who stands, sits or kneels where in one of its
photos: GROUPING is its id, or for one photo of an eachOf that id, a point and the id of the
person. It prints the rows from the back to the front, each from the left as the camera sees
it; with -o it draws them as SVG. Flags about the space replace that of the time slot in which
the photo is taken.`,
		Example: `  kinorder arrange wedding.yaml parents
  kinorder arrange wedding.yaml everybody --steps 2 --step-cm 17 --chairs 6 -o everybody.svg`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fmt.Errorf("name one event file and one photo by its id; %d given", len(args))
			}
			return nil
		},
		ValidArgsFunction: eventFiles,
		RunE: func(c *cobra.Command, args []string) error {
			if o.steps < 0 || o.steps > 2 {
				return fmt.Errorf("--steps must be from 0 to 2")
			}
			if (o.steps > 0) != (o.step != 0) {
				return fmt.Errorf("--steps and --step-cm go together")
			}
			return p.arrange(c.Context(), args[0], args[1], o)
		},
	}
	f := c.Flags()
	f.StringVarP(&o.output, "output", "o", "", "draw the plan as SVG in `FILE` instead of printing it")
	f.Int32Var(&o.width, "width-cm", 0, "width of the space in centimetres (default: no limit)")
	f.Int32Var(&o.depth, "depth-cm", 0, "depth of the space in centimetres (default: no limit)")
	f.Int32Var(&o.chairs, "chairs", 0, "how many chairs there are for a front row")
	f.Int32Var(&o.steps, "steps", 0, "steps that can be stood on, up to 2")
	f.Int32Var(&o.step, "step-cm", 0, "height of each step in centimetres; needed with --steps")
	f.Int32Var(&o.lens, "lens-cm", 0, "height of the lens in centimetres (default 160)")
	f.Int32Var(&o.from, "from-cm", 0, "how far the lens is from the first row in centimetres (default 500)")
	f.BoolVar(&o.ground, "ground", false, "a row may sit on the ground")
	f.BoolVar(&o.kneeling, "kneeling", false, "a row may kneel")
	o.add(c, worksThere)
	return c
}

func (p *Program) arrange(ctx context.Context, file, grouping string, o *arrangeFlags) error {
	if err := p.apart(o.output, o.serverFlags, file); err != nil {
		return err
	}
	if err := fitting(o.output, ".svg"); err != nil {
		return err
	}
	conn, e, err := p.sound(ctx, file, o.serverFlags, kinorderv1.Severity_SEVERITY_ERROR)
	if err != nil {
		return err
	}
	space := &kinorderv1.StandingSpace{
		WidthCm: o.width, DepthCm: o.depth, Ground: o.ground, Kneeling: o.kneeling, Chairs: o.chairs, Steps: o.steps,
		StepCm: o.step, CameraHeightCm: o.lens, CameraDistanceCm: o.from,
	}
	if proto.Equal(space, &kinorderv1.StandingSpace{}) {
		space = nil // that of the block
	}
	plan, err := conn.Arrange(ctx, e, grouping, space)
	if err != nil {
		return p.refused(p.unknownPhoto(e, grouping, err))
	}
	if o.output == "" || o.output == "-" {
		return p.print(standingText(e, plan))
	}
	for _, w := range plan.GetWarnings() {
		fmt.Fprintf(p.Stderr, "kinorder: %s\n", w)
	}
	return p.deliver([]byte(plan.GetSvg()), o.output, fmt.Sprintf("%d cm wide, %d cm deep", plan.GetWidthCm(), plan.GetDepthCm()))
}

// unknownPhoto says which photos there are when the error is that there is none of an id.
func (p *Program) unknownPhoto(e *kinorderv1.Event, grouping string, err error) error {
	var refused *client.Error
	if !errors.As(err, &refused) || len(refused.Violations) != 1 || refused.Violations[0].Field != "grouping" || refused.Violations[0].Code != "UNKNOWN_ID" {
		return err
	}
	var ids []string
	for _, g := range e.GetGroupings() {
		ids = append(ids, g.GetId())
	}
	if near := slips(grouping, ids); len(near) > 0 {
		refused.Violations[0].Text += " Did you mean " + strings.Join(near, " or ") + "?"
	} else {
		refused.Violations[0].Text += " There are " + strings.Join(ids, ", ") + "."
	}
	return refused
}

// postureWords say how people hold still; standing goes without saying.
var postureWords = map[kinorderv1.Posture]string{
	kinorderv1.Posture_POSTURE_ON_GROUND: "on the ground", kinorderv1.Posture_POSTURE_KNEELING: "kneeling",
	kinorderv1.Posture_POSTURE_ON_CHAIR: "on a chair", kinorderv1.Posture_POSTURE_IN_WHEELCHAIR: "in a wheelchair",
	kinorderv1.Posture_POSTURE_ON_STEP: "on the step", kinorderv1.Posture_POSTURE_ON_SECOND_STEP: "on the second step",
	kinorderv1.Posture_POSTURE_HELD: "held",
}

// standingText lists a plan row by row, from the back to the front.
func standingText(e *kinorderv1.Event, plan *kinorderv1.ArrangeResponse) string {
	names := map[string]string{}
	for _, person := range e.GetPeople() {
		names[person.GetId()] = person.GetName()
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%d cm wide, %d cm deep. From left to right as the camera sees it:\n", plan.GetWidthCm(), plan.GetDepthCm())
	rows := plan.GetRows()
	for i := len(rows) - 1; i >= 0; i-- {
		fmt.Fprintf(&b, "Row %d%s\n", i+1, map[bool]string{true: ", in front"}[i == 0])
		guests := 0
		for _, place := range rows[i].GetPlaces() {
			if place.GetPerson() == "" {
				guests++
				continue
			}
			fmt.Fprintf(&b, "  %s", printable(names[place.GetPerson()]))
			if word := postureWords[place.GetPosture()]; word != "" {
				fmt.Fprintf(&b, ", %s", word)
			}
			if holder := place.GetHeldBy(); holder != "" {
				fmt.Fprintf(&b, " by %s", printable(names[holder]))
			}
			b.WriteByte('\n')
		}
		if guests > 0 {
			fmt.Fprintf(&b, "  %s, left and right of them\n", counted(guests, "other guest", "other guests"))
		}
	}
	for _, w := range plan.GetWarnings() {
		fmt.Fprintf(&b, "%s\n", w)
	}
	return b.String()
}
