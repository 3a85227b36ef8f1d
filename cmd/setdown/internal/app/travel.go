package app

import (
	"cmp"
	"strings"

	"github.com/spf13/cobra"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports"
	"setdown/rules/pack"
	"setdown/rules/travel"
)

// usual is how far a wheel goes up and down where nobody says.
var usual = map[quantity.System]string{quantity.Metric: "40 mm", quantity.Inch: "1.5 in"}

func (a *app) travelCmd() *cobra.Command {
	var places, assume []string
	var droop, bump, rack, good string
	var all bool
	var units measures
	cmd := &cobra.Command{
		Use:   "travel FILE",
		Short: "Show what toe, camber and the rest do over bump and droop, and where a toe bracket has to be",
		Long: `travel takes the springs, dampers and their stand-ins out and moves each wheel
from droop to bump: toe, camber, track, recession, caster, motion ratio and the
angles at every joint. For the end of a toe link on the frame it says where it
gives no toe change, how far off it may be, and what a millimetre does.

It reads the drawn points; the ± of each is what its measuring leaves open.
Whether a bracket may be welded there is the builder's to say.`,
		Example: `  setdown travel car.yaml
  setdown travel car.yaml --place rear-left --bump "60 mm" --droop "80 mm"
  setdown travel car.yaml -f svg -o travel.svg`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	out := writes(a, cmd, reports.Travel)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		build, err := a.load(args[0], assume)
		if err != nil {
			return err
		}
		units.System = cmp.Or(units.System, build.Units(), quantity.Metric)
		o := travel.Options{Places: places}
		if good == "" {
			e, err := loadRules(nil, pack.LoadRules)
			if err != nil {
				return err
			}
			q, _ := e.Policy().Quantity("toe_change")
			good = q.String()
		}
		for _, f := range []struct {
			to   *float64
			flag string
			text string
			dim  quantity.Dimension
		}{
			{&o.Droop, "droop", cmp.Or(droop, usual[units.System]), quantity.Length}, {&o.Bump, "bump", cmp.Or(bump, usual[units.System]), quantity.Length},
			{&o.Rack, "rack", rack, quantity.Length}, {&o.Good, "toe", good, quantity.Angle},
		} {
			q, err := quantity.Parse(f.text, f.dim)
			if err != nil {
				return wrong("--%s: %w", f.flag, err)
			}
			if *f.to = q.Value; q.Value < 0 {
				return wrong("--%s: %s is less than nothing", f.flag, f.text)
			}
		}
		if o.Droop+o.Bump == 0 {
			return wrong("--bump and --droop are both nothing, so there is no travel")
		}
		doc, err := travel.Of(build, o)
		if err != nil {
			return inputError{err}
		}
		doc.Assumed, doc.Units = assume, units.System
		return out.write(doc, reports.Options{Detail: all})
	}
	cmd.Flags().StringSliceVarP(&places, "place", "p", nil, "only the wheel at this `place` (may be given more than once)")
	cmd.Flags().StringVar(&bump, "bump", "", "how far up to go (default 40 mm or 1.5 in)")
	cmd.Flags().StringVar(&droop, "droop", "", "how far down to go (default 40 mm or 1.5 in)")
	cmd.Flags().StringVar(&rack, "rack", "0 mm", "travel of the steering rack each way (default that of the file; without any nothing is steered)")
	cmd.Flags().StringVar(&good, "toe", "", "toe change over the travel that is good enough (default that of the policy)")
	cmd.Flags().StringArrayVar(&assume, "assume", nil, "what if: `item.field=value`")
	units.register(cmd, "what the file says")
	cmd.Flags().BoolVar(&all, "all", false, "print every height and every joint")
	return cmd
}

func (a *app) heightCmd() *cobra.Command {
	var wants, assume []string
	var cross string
	var units measures
	cmd := &cobra.Command{
		Use:   "height FILE",
		Short: "Say how high the vehicle stands by the lengths as found, and which turns bring it where it is wanted",
		Long: `height sets the links to the lengths that were found and says how the wheels
stand in the frame, how the frame stands on a flat floor and what hangs lowest,
all against the drawing. For each strut it says the length and the turns that
bring the frame to the heights that are wanted, and how much thread is left.

Where struts are springs it stands as these carry it: their rates, free lengths and
seats give the heights and what each wheel weighs, and the turns of the collars
give the heights and the cross weight that are wanted.`,
		Example: `  setdown height car.yaml
  setdown height car.yaml --want "front-left=10 mm" --want "front-right=10 mm"
  setdown height sprung.yaml --cross "50 %"`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	var o reports.Options
	everything(cmd, &o)
	out := writes(a, cmd, reports.Height)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		want := map[string]float64{}
		for _, w := range wants {
			place, value, ok := strings.Cut(w, "=")
			if !ok {
				return wrong("--want %q names no height; write it as --want \"front-left=10 mm\"", w)
			}
			value, down := strings.CutPrefix(strings.TrimSpace(value), "-")
			q, err := quantity.Parse(value, quantity.Length)
			if err != nil {
				return wrong("--want %s: %w", place, err)
			}
			if down {
				q.Value = -q.Value
			}
			want[strings.TrimSpace(place)] = q.Value
		}
		share := 0.0
		if cross != "" {
			q, err := quantity.Parse(cross, quantity.Number)
			if err != nil {
				return wrong("--cross: %w", err)
			}
			if share = q.Value; share <= 0 || share >= 1 {
				return wrong("--cross: %s is no share of the weight; it is written as \"50 %%\"", cross)
			}
		}
		build, err := a.load(args[0], assume)
		if err != nil {
			return err
		}
		doc, err := travel.Heights(build, want, share)
		if err != nil {
			return inputError{err}
		}
		doc.Assumed, doc.Units = assume, cmp.Or(units.System, build.Units())
		return out.write(doc, o)
	}
	units.register(cmd, "what the file says")
	cmd.Flags().StringVar(&cross, "cross", "", "on springs: the share of the weight that front right and rear left are to carry together")
	cmd.Flags().StringArrayVar(&wants, "want", nil, "the frame over this wheel so much above the drawing: `place=height` (as drawn without it)")
	cmd.Flags().StringArrayVar(&assume, "assume", nil, "what if: `item.field=value`")
	return cmd
}

// load reads a build file with what is assumed of it.
func (a *app) load(file string, assume []string) (*model.Build, error) {
	assumptions, err := parseAssumptions(assume)
	if err != nil {
		return nil, err
	}
	b, err := model.Load(file, assumptions...)
	a.wasRead(b)
	return b, err
}
