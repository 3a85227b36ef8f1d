package facts

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// choice is one policy value: what it is, and from where to where it may be set.
type choice struct {
	name         string
	dim          quantity.Dimension
	least, most  string
	doc, because string
}

// choices are bounded on both sides. Rules that cannot be switched off read these
// values, and a value far enough out would switch them off all the same.
var choices = []choice{
	{"design_factor", quantity.Number, "1.5", "1000",
		"loads are multiplied by this before they are compared with a strength or rating",
		"below 1.5 nothing is left for a rough weld, a wrong mass or a jolt"},
	{"column_imperfection", quantity.Number, "0", "0.76",
		"imperfection factor of bars in compression: 0 for Johnson's parabola, 0.21 for tube finished hot, 0.49 for tube formed cold",
		"0.76 is the highest of EN 1993-1-1, table 6.1"},
	{"side_push", quantity.Number, "2 %", "50 %",
		"sideways push, as a share of the weight, when lowering, lifting or resting",
		"someone leaning on it pushes with a fiftieth of its weight"},
	{"side_push_roll", quantity.Number, "5 %", "50 %",
		"sideways push, as a share of the weight, when rolling",
		"a wheel that stops at a joint in the floor pushes harder than a helper"},
	{"pull_stop", quantity.Force, "225 N", "900 N",
		"pull of a person who works on the vehicle that must not tip it",
		"a person who stands pulls 225 N for long, and one who falls on a rail is counted with 890 N"},
	{"pull_caution", quantity.Force, "225 N", "1500 N",
		"a pull below this that tips or moves it is a caution",
		"a person who stands pulls 225 N for long"},
	{"pull_share", quantity.Number, "5 %", "50 %",
		"most of the pull that must not slide the vehicle, as a share of its weight",
		"dry steel holds a fifth of the weight, and a pull of less than a twentieth is a hand that leans on it"},
	{"small_load", quantity.Number, "0.1 %", "5 %",
		"an item loaded above this share of the weight counts as carrying the vehicle",
		"a twentieth of the weight is enough to crush a hand"},
	{"gain_most", quantity.Number, "1.5", "5",
		"most newtons in a joint or link for each newton of push from the side",
		"sound suspensions have up to 1.6; an axle without its Panhard rod, its links 20 mm out of parallel, has 3.7"},
	{"springs_hold", quantity.Number, "1.2", "5",
		"how many times over its springs have to hold up what stands on them",
		"at 1.2 a push leans it six times as far as it would without its own weight; road cars have more than 5"},
	{"tape_share", quantity.Number, "2 %", "20 %",
		"most by which the ± of the measured points may change a load, as a share of the weight",
		"below 2 % the tape itself decides; what changes by a fifth of the weight hangs on it"},
	{"torque_share", quantity.Number, "0.5", "1",
		"least share of the torque asked for that counts as torqued",
		"a nut below half its torque is loose"},
	{"preload_max", quantity.Number, "0.5", "1",
		"highest preload, as a share of the proof load",
		"above its proof load a bolt stretches for good"},
	{"nut_factor_plain", quantity.Number, "0.10", "0.30",
		"K in T = K·d·F for plain threads",
		"published values for plain threads lie inside"},
	{"nut_factor_dry", quantity.Number, "0.10", "0.40",
		"K in T = K·d·F for dry or plated threads",
		"published values for dry and plated threads lie inside"},
	{"nut_factor_lubricated", quantity.Number, "0.08", "0.20",
		"K in T = K·d·F for oiled or greased threads",
		"published values for oiled and greased threads lie inside"},
	{"tack_strength", quantity.Number, "0", "1",
		"share of its computed strength that a tack counts for when it carries",
		"a tack is never stronger than computed"},
	{"undercut", quantity.Length, "0.2 mm", "1 mm",
		"deepest undercut of a weld that carries",
		"AWS D1.1 has no more under loads that stand still"},
	{"leg_short", quantity.Length, "0.5 mm", "3 mm",
		"most that the leg of a weld may be shorter than drawn",
		"3 mm is the smallest weld there is"},
	{"weld_share", quantity.Number, "50 %", "100 %",
		"least share of its drawn leg and length that is a weld",
		"half a weld peels from its end"},
	{"axial_share", quantity.Number, "0", "20 %",
		"axial rating of a spherical bearing as a share of its radial rating when the maker gives none",
		"makers who give an axial rating give 10 to 20 % of the radial one"},
	{"age_limit", quantity.Duration, "1 day", "8 weeks",
		"a check older than this counts as not recorded",
		"nobody remembers for longer what was done to it"},
	{"moment_limit", quantity.Duration, "10 min", "2 h",
		"what holds for a moment and was looked at longer ago counts as not looked at",
		"people come and go within the hour"},
	{"age_caution", quantity.Duration, "1 h", "8 weeks",
		"a check older than this gives a caution",
		"nobody remembers for longer what was done to it"},
	{"count_age", quantity.Duration, "1 week", "52 weeks",
		"pieces counted at the vehicle longer ago than this are counted again",
		"within a year another vehicle stands there"},
	{"signoff_age", quantity.Duration, "1 h", "2 weeks",
		"a sign-off older than this is no longer valid",
		"a GO is for one job, not for a season"},
	{"examined_limit", quantity.Duration, "1 day", "400 days",
		"a hoist last examined longer ago than this is a caution",
		"no law lets more than about a year pass"},
	{"examined_most", quantity.Duration, "30 days", "400 days",
		"lifting gear last examined longer ago than this stops",
		"no law lets more than about a year pass"},
	{"tip_least", quantity.Length, "10 mm", "1 m",
		"least distance of the centre of gravity from the edge of the supports; below it the move is stopped",
		"positions are measured to a few millimetres at best"},
	{"cg_within", quantity.Length, "5 mm", "300 mm",
		"± of a centre of gravity for which the file gives none",
		"it is balanced on a bar to a few millimetres at best"},
	{"level_within", quantity.Angle, "0.2 deg", "5 deg",
		"± of the attitude of a vehicle of which the file says nothing",
		"no eye sees less; steeper everybody sees"},
	{"tip_margin", quantity.Length, "10 mm", "2 m",
		"distance from centre of gravity to the edge of the supports; less gives a caution",
		"positions are measured to a few millimetres at best"},
	{"tip_share", quantity.Number, "2 %", "50 %",
		"least distance from centre of gravity to the edge, as a share of the span",
		"more than half the span lies outside the supports"},
	{"pad_share", quantity.Number, "1 %", "25 %",
		"least share of the weight on one hoist pad",
		"a pad without weight slides out; four pads carry a quarter each"},
	{"slope_stop", quantity.Number, "1 mm/m", "50 mm/m",
		"steepest floor allowed",
		"what stands on a slope slides or rolls off before it tips"},
	{"slope_caution", quantity.Number, "1 mm/m", "50 mm/m",
		"floor steeper than this is a caution",
		"what stands on a slope slides or rolls off before it tips"},
	{"pitch_stop", quantity.Angle, "1 deg", "15 deg",
		"highest tilt allowed on stands",
		"beyond 15 degrees a frame slides off its stands"},
	{"pitch_caution", quantity.Angle, "0.5 deg", "15 deg",
		"a tilt above this gives a caution",
		"beyond 15 degrees a frame slides off its stands"},
	{"height_off", quantity.Angle, "0.5 deg", "3 deg",
		"tilt by the set heights that differs from the step's by more is a caution",
		"heights are read to a few millimetres, which is a tenth of a degree"},
	{"overhang", quantity.Length, "200 mm", "4 m",
		"from this distance beyond all that is drawn of the vehicle on, a support or castor is out of place; beyond what is drawn of a frame, body or engine, an end of a strap or link on it",
		"no rail or sill reaches 4 m past the last point of a vehicle made by hand"},
	{"beside_part", quantity.Length, "100 mm", "1.5 m",
		"most that a support may stand beyond the points of the arm, upright, axle or wheel that it is under, and an end of a strap or link beyond those of what it is on",
		"what is 1.5 m past them is under another part"},
	{"heights_apart", quantity.Length, "5 mm", "150 mm",
		"most that the set heights of supports may differ where neither their places nor the step say how it stands",
		"across a track of 1.2 m, 150 mm is 7 degrees"},
	{"bracket_reach", quantity.Length, "25 mm", "1 m",
		"distance between what a bracket holds and the middle of its weld, where nobody wrote it down",
		"half a tab and its bolt take 25 mm, and what reaches further than a metre is an arm"},
	{"bend_asked", quantity.Torque, "10 N·m", "150 N·m",
		"bending moment in a part from which on its section is asked for",
		"a tube of 25 × 2 mm in the weakest steel yields at 181 N·m"},
	{"stage", quantity.Length, "10 mm", "300 mm",
		"most height raised or lowered in one go",
		"it can fall no further than one stage"},
	{"kg_a_head", quantity.Mass, "5 kg", "50 kg",
		"most mass for one person to lift",
		"nobody sets down more than 50 kg under control"},
	{"kg_a_head_most", quantity.Mass, "10 kg", "100 kg",
		"mass for each person above which a lift by hand is stopped",
		"nobody holds on to more than 100 kg when another lets go"},
	{"mirror_caution", quantity.Length, "0.1 mm", "20 mm",
		"left-right difference of a mounting point that gives a caution",
		"a mounting point more than 20 mm off is another design"},
	{"length_error", quantity.Length, "2 mm", "25 mm",
		"most that the measured length of a link may differ from the distance between its points",
		"an inch off it is another vehicle than the one that is computed"},
	{"pose_error", quantity.Length, "2 mm", "40 mm",
		"a spring that stands further from its drawn length gives a caution",
		"a corner more than 40 mm off stands otherwise than it is drawn"},
	{"pose_far", quantity.Length, "10 mm", "80 mm",
		"most that a spring that is pushed may stand from its drawn length",
		"80 mm off the arms lie at another angle, and all forces with them"},
	{"toe_change", quantity.Angle, "0.01 deg", "1 deg",
		"toe change over 40 mm up and down that is good enough for a bracket",
		"a tape and a string show no hundredth of a degree, and a degree drags the tyre"},
	{"stack_error", quantity.Length, "0.05 mm", "2 mm",
		"most that a spacer stack may differ from its gap",
		"a bolt that closes 2 mm bends the tabs"},
	{"bore_stop", quantity.Length, "0.05 mm", "1 mm",
		"most play allowed at a pivot",
		"a bolt with a millimetre of play hammers its bore"},
	{"bore_caution", quantity.Length, "0.01 mm", "1 mm",
		"play at a pivot that gives a caution",
		"a bolt with a millimetre of play hammers its bore"},
}

// Policy is the kind of the policy values: the figures that are a choice and
// not a fact. The built-in values stand beside the built-in rules; a builder's
// own pack may set others, and the report prints those that were used.
var Policy = &schema.Kind{Name: "policy", Item: "policy value", Single: true, Doc: "figures that are a choice", Fields: func() []schema.Field {
	var fields []schema.Field
	for _, c := range choices {
		f := schema.Field{Name: c.name, Type: schema.Quantity, Dim: c.dim, Doc: c.doc}
		if what, ok := strings.CutSuffix(c.name, "_stop"); ok {
			f.Also = what + "_hold" // as packs of old have it
		}
		fields = append(fields, f)
	}
	return fields
}()}

// CheckPolicy says whether a policy value may be set to q. The error says from
// where to where it may be set, and why.
func CheckPolicy(name string, q quantity.Quantity) error {
	i := slices.IndexFunc(choices, func(c choice) bool { return c.name == name })
	if i < 0 {
		return fmt.Errorf("no policy value is called %q", name)
	}
	c := choices[i]
	least, most, err := c.bounds()
	switch {
	case err != nil:
		return err
	case q.Tol != 0:
		return fmt.Errorf("%s is a setting and takes no ±", name)
	case !(q.Value >= least && q.Value <= most): // so that what is no number is refused
		return fmt.Errorf("%s must be between %s and %s, not %s: %s", name, c.least, c.most, q, c.because)
	}
	return nil
}

func (c choice) bounds() (least, most float64, err error) {
	from, err := quantity.Parse(c.least, c.dim)
	if err != nil {
		return 0, 0, fmt.Errorf("least %s: %w", c.name, err)
	}
	to, err := quantity.Parse(c.most, c.dim)
	if err != nil {
		return 0, 0, fmt.Errorf("most %s: %w", c.name, err)
	}
	return from.Value, to.Value, nil
}
