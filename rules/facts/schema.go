// Package facts holds what the rules read: every kind of item with the fields
// of the build file and the facts computed from them, and the objects that give
// the values.
//
// A value is known, or it is unknown and the object says why: the fields of the
// build file that nobody recorded, or the reason why nothing was computed. There
// is no third case and no default for a fact. The package judges nothing and
// knows no expression language.
package facts

import (
	"slices"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// Words of the derived facts, in the order from harmless to grave.
var (
	Carries = []string{"nothing", "part", "vehicle"}
	LetsGo  = []string{"holds", "drops", "rocks", "falls"}
)

func derived(name string, t schema.Type, doc string) schema.Field {
	return schema.Field{Name: name, Type: t, Derived: true, Doc: doc}
}

func measured(name string, dim quantity.Dimension, doc string) schema.Field {
	return schema.Field{Name: name, Type: schema.Quantity, Dim: dim, Derived: true, Signed: true, Doc: doc}
}

func word(name string, words []string, doc string) schema.Field {
	return schema.Field{Name: name, Type: schema.Enum, Enum: words, Derived: true, Doc: doc}
}

// ofEvery are the facts of every item.
var ofEvery = []schema.Field{
	derived("id", schema.Text, "its id in the build file"),
	derived("at_place", schema.Text, "the place it belongs to, worked out where the file does not say"),
	measured("age", quantity.Duration, "how long ago it was seen"),
	derived("disturbed", schema.Bool, "somebody recorded that it was disturbed since it was seen; false when nobody did, because it is an event that is written down"),
	derived("gone", schema.Bool, "it is off the vehicle in this step: its found block says not fitted where that is no fault, or the step takes it off"),
}

// ofCarrying are the facts of the items that can pass force: joints, links,
// supports, parts, restraints and whatever holds one of these.
var ofCarrying = []schema.Field{
	word("carries", Carries, "what rests on it in this step, worst load case: the vehicle, a hanging part or nothing"),
	derived("carrying", schema.Bool, "it carries the vehicle or a part in this step"),
	word("lets_go", LetsGo, "what happens if it fails now"),
	derived("goes", schema.Text, "the parts that would go and how, in words"),
	measured("load", quantity.Force, "force on it, worst over load cases, rocking cases and the ± of masses"),
	measured("strength", quantity.Force, "force it bears by the method that gives the least"),
	measured("utilisation", quantity.Number, "worst load × design factor ÷ strength over its methods; above 1 is a hold"),
}

// extra lists the derived facts that one kind alone has.
var extra = map[string][]schema.Field{
	"vehicle": {
		measured("mass", quantity.Mass, "mass of all parts on it in this step, worst over the ±"),
		derived("masses_known", schema.Bool, "every part that is on it has a mass and a centre of gravity"),
		derived("geometry_known", schema.Bool, "the file lists joints or links, so that loads in them are computed and strength is asked for; always known"),
	},
	"parts": {
		derived("mass_exact", schema.Bool, "it is more than a twentieth of all recorded mass and written without ±"),
	},
	"joints": {
		measured("axial", quantity.Force, "worst force along its bolt"),
		measured("radial", quantity.Force, "worst force across its bolt"),
		measured("axial_allowed", quantity.Force, "axial rating of its bearing, or the policy's share of the radial rating when the maker gives none"),
		measured("misalignment", quantity.Angle, "angle between its bolt and the square position, as measured; nothing is computed for it"),
		measured("mirror_offset", quantity.Length, "distance between its place and the mirrored place of its twin; unknown without a twin"),
		derived("has_twin", schema.Bool, "a mirrored twin stands in the file"),
		derived("has_rating", schema.Bool, "the file gives a rating for it"),
		derived("held", schema.Bool, "the file lists a fastener, nut or wheel that holds it, at a welded face a weld: the weld of a bracket holds no bolt in it"),
		derived("has_play", schema.Bool, "somebody felt play or damage in it, or saw it out of its eye or not kept there; false when nobody wrote that down"),
		derived("fouls", schema.Bool, "the angle measured on it is past its bearing's limit; false when it was not measured"),
		derived("in_single_shear", schema.Bool, "the fastener that holds it is sheared in one plane"),
	},
	"links": {
		derived("ends_tacked", schema.Bool, "the welds at the ends of its tube are not made in full"),
		measured("tension", quantity.Force, "worst pull"),
		measured("compression", quantity.Force, "worst push"),
		measured("buckling_utilisation", quantity.Number, "push × design factor ÷ column strength"),
		measured("rod_end_utilisation", quantity.Number, "worst of pull and push × design factor ÷ static rating of its rod ends"),
		measured("axial_utilisation", quantity.Number, "force along the bolts at its ends × design factor ÷ axial rating; unknown without bolt directions"),
		measured("misalignment", quantity.Angle, "worst angle at its ends from the geometry"),
		measured("engaged_min", quantity.Length, "the lesser thread engagement of its two ends"),
		measured("engaged_after", quantity.Length, "the lesser engagement once the planned turns are wound out"),
		measured("thread_diameter", quantity.Length, "nominal diameter of its rod ends' thread"),
		measured("span", quantity.Length, "distance between its ends in the build file"),
		measured("twin_difference", quantity.Length, "measured length less that of its mirrored twin, without sign"),
		measured("twin_length", quantity.Length, "measured length of its mirrored twin"),
		measured("tube_od", quantity.Length, "outside diameter of the smallest common tube that bears its push with the design factor"),
		derived("tube_words", schema.Text, "that tube, for a line of work; always known"),
		derived("size_words", schema.Text, "its size as far as the file says, for a line of work; always known"),
		derived("witness_open", schema.Bool, "somebody passed a wire through a witness hole; false when nobody tried"),
		derived("has_twin", schema.Bool, "a mirrored twin stands in the file"),
		derived("has_rod_ends", schema.Bool, "the file describes rod ends on it"),
		derived("has_section", schema.Bool, "the file describes a tube or bar for it"),
		derived("hands_differ", schema.Bool, "its ends have threads of different hand"),
		derived("jam_nuts_match", schema.Bool, "each jam nut has the hand of its thread"),
		derived("single_shear", schema.Bool, "an end of it is bolted on one side only"),
		derived("held", schema.Bool, "the file lists a fastener, nut or wheel that holds each of its two ends; the weld of a bracket does not count"),
		derived("steers", schema.Bool, "it is a toe link or track rod"),
	},
	"fasteners": {
		derived("stretched", schema.Bool, "torqued to more than one and a half times what it is to have; false when either was not recorded"),
		derived("mark_broken", schema.Bool, "somebody recorded a broken witness mark; false when nobody did"),
		derived("egged", schema.Bool, "somebody saw its hole worn out of round; false when nobody wrote that down"),
		derived("was_forced", schema.Bool, "somebody wrote down that nut or bolt had to be forced; false when nobody did"),
		derived("mismatched", schema.Bool, "threads were gauged, and bolt, nut and the thread asked for do not all mate; false until gauged"),
		derived("beside_groove", schema.Bool, "somebody saw the pinch bolt pass beside its groove; false when nobody looked"),
		derived("size_words", schema.Text, "its size as far as the file says, for a line of work; always known"),
		derived("torque_words", schema.Text, "the torque it is to have, for a line of work; always known"),
		derived("reached_words", schema.Text, "how tight it was found; always known"),
		derived("lock_words", schema.Text, "the lock it is to have, for a line of work; always known"),
		derived("all_fitted", schema.Bool, "as many are there as are needed"),
		derived("short_by", schema.Count, "how many are missing"),
		derived("grade", schema.Text, "class or grade that counts: the mark that was read, else nothing"),
		measured("yield", quantity.Stress, "yield strength of that class or grade"),
		measured("torque_share", quantity.Number, "torque reached ÷ torque it is to have"),
		measured("preload_share", quantity.Number, "preload from the torque reached ÷ proof load, by T = K·d·F"),
		measured("shear_utilisation", quantity.Number, "shear on one fastener × design factor ÷ shear strength"),
		measured("tension_utilisation", quantity.Number, "pull on one fastener × design factor ÷ strength of bolt and engaged thread"),
		measured("bearing_utilisation", quantity.Number, "load × design factor ÷ bearing strength of the tab"),
		measured("tear_out_utilisation", quantity.Number, "load × design factor ÷ tear-out strength of the tab"),
		measured("bending_utilisation", quantity.Number, "bolt bending across the gap that missing spacers leave × design factor ÷ yield"),
		measured("edge_ratio", quantity.Number, "hole centre to edge ÷ hole diameter"),
		measured("hole_clearance", quantity.Length, "hole less bolt"),
		derived("tab_held", schema.Bool, "the file says what holds the tab it bears in: a weld that holds the same joint, or that the tab is one with its part"),
		derived("spacers_in", schema.Bool, "all spacers of what it holds are known to be in"),
		derived("hole_much_too_large", schema.Bool, "measured: its hole is more than 2 mm larger than the bolt; false when nobody measured"),
		derived("threads_mate", schema.Bool, "the threads of bolt and nut as gauged are the same"),
		derived("thread_as_designed", schema.Bool, "the thread as gauged is the one the file asks for"),
		measured("engagement_ratio", quantity.Number, "engaged thread ÷ diameter in the tapped hole"),
		measured("engagement_needed", quantity.Number, "engaged thread ÷ diameter that the material asks for"),
		measured("threads_past", quantity.Number, "full threads past the nut, counted or from what protrudes"),
		derived("tapped", schema.Bool, "it goes into a tapped hole; false with a nut"),
		derived("lock_counts", schema.Bool, "its kind of lock still works when the clamp is lost"),
		derived("clamps_bonded_bush", schema.Bool, "every joint it holds has a bonded bush"),
		derived("suspension", schema.Bool, "it holds a joint, a link end or is marked critical"),
	},
	"ball_joints": {
		derived("stretched", schema.Bool, "torqued to more than one and a half times what it is to have; false when either was not recorded"),
		derived("size_words", schema.Text, "its size as far as the file says, for a line of work; always known"),
		derived("torque_words", schema.Text, "the torque it is to have, for a line of work; always known"),
		derived("reached_words", schema.Text, "how tight it was found; always known"),
		derived("lock_words", schema.Text, "the lock it is to have, for a line of work; always known"),
		derived("mark_broken", schema.Bool, "somebody recorded a broken witness mark; false when nobody did"),
		measured("torque_share", quantity.Number, "torque reached ÷ torque it is to have"),
		derived("over_torque", schema.Bool, "tightened past the most it may have"),
		word("stud", []string{"up", "down", "level"}, "which way the stud points, from its joint"),
		derived("taper_words", schema.Text, "whether this step seats the stud or pulls it out, for a finding; always known"),
		derived("pulled_out", schema.Bool, "this step pulls the stud out of its taper, so that the nut alone holds it"),
		measured("pull", quantity.Force, "worst force along the stud out of the taper; zero when it is always seated"),
		derived("pulled_open", schema.Bool, "the weight pulls open a joint that its maker meant to be pushed shut, or the reverse"),
		derived("opens_known", schema.Bool, "the file says which load its maker meant it for"),
	},
	"spacers": {
		derived("gapes", schema.Bool, "a gap was measured although all of them are in; false when nobody measured"),
		derived("tabs_in", schema.Bool, "somebody saw the tabs drawn in by the bolt; false when nobody wrote that down"),
		derived("size_words", schema.Text, "its size as far as the file says, for a line of work; always known"),
		derived("missing", schema.Count, "how many are missing"),
		measured("stack_error", quantity.Length, "bracket gap less the full stack, without sign"),
		measured("bore_clearance", quantity.Length, "worst play across the bearing, spacer and bolt"),
		measured("slide", quantity.Length, "how far the joint can slide along its bolt with the spacers that are in"),
		derived("has_stack", schema.Bool, "the file gives gap and widths"),
		derived("has_bore", schema.Bool, "the file gives bores and bolt"),
	},
	"welds": {
		derived("too_small", schema.Bool, "measured: undercut deeper than 1 mm, or a leg more than 2 mm shorter than drawn, or not half of its length; false when nobody measured"),
		derived("too_small_words", schema.Text, "in what it is too small"),
		derived("one_line", schema.Bool, "no more than one of its two drawn lines is made"),
		derived("made_words", schema.Text, "how far it is made and what it waits for; always known"),
		measured("made_share", quantity.Number, "length made ÷ length as drawn; 1 when made full"),
		measured("would_bear", quantity.Force, "what the tacks or the made part would bear by the numbers, for information"),
		measured("leg_short", quantity.Length, "leg as drawn less leg as measured"),
		derived("one_sided", schema.Bool, "fewer sides are made than drawn"),
		derived("under_support", schema.Bool, "a support of this step bears on what it holds"),
	},
	"wheels": {
		derived("stretched", schema.Bool, "torqued to more than one and a half times what it is to have; false when either was not recorded"),
		derived("size_words", schema.Text, "its size as far as the file says, for a line of work; always known"),
		derived("torque_words", schema.Text, "the torque it is to have, for a line of work; always known"),
		derived("reached_words", schema.Text, "how tight it was found; always known"),
		derived("missing", schema.Count, "how many nuts are missing"),
		measured("torque_share", quantity.Number, "torque reached ÷ torque it is to have"),
		measured("engaged_ratio", quantity.Number, "thread engaged by turns ÷ stud diameter"),
		derived("hub_slack", schema.Bool, "both torques of its hub nut are written, and too little was reached"),
		derived("on_floor", schema.Bool, "the wheel stands on the floor in this step"),
	},
	"supports": {
		derived("used", schema.Bool, "the step rests on it"),
		measured("reaction", quantity.Force, "even-floor share"),
		measured("rating", quantity.Force, "rated load of this one: half the plate of a pair"),
		measured("share", quantity.Number, "share of the weight on it, even floor, without the ± of masses and places"),
		measured("crib_ratio", quantity.Number, "height of the crib ÷ length of its blocks"),
		word("on_role", []string{"frame", "axle", "arm", "upright", "wheel", "drivetrain", "body", "other"}, "role of the part it bears on"),
		derived("on_suspension", schema.Bool, "it bears on an arm or upright"),
		derived("seen_wrong", schema.Text, "what somebody saw wrong with it that no rule for its kind asks for, in words; 'nothing' when there is nothing of the kind"),
		derived("unlocated_by", schema.Text, "the first link, bolt, nut or weld that leaves the part under it free to move; nothing when all that locates it is fitted, tight and fully welded"),
		measured("height_difference", quantity.Length, "largest difference in height to another support of the step at the same end"),
		derived("on_tacked", schema.Bool, "a weld that holds what it bears on is not made full"),
	},
	"hoists": {
		measured("load", quantity.Force, "all of its pads together, worst"),
		measured("worst_arm", quantity.Force, "worst load on one arm"),
		derived("used", schema.Bool, "the step rests on it"),
		measured("examined_ago", quantity.Duration, "how long ago it was examined"),
	},
	"dollies": {
		derived("used", schema.Bool, "the vehicle rests on it in this step or in the step before"),
		derived("leaving", schema.Bool, "the move takes the vehicle off it"),
		measured("third", quantity.Force, "all weight with the dolly's own ÷ 3"),
		measured("worst_castor", quantity.Force, "most on one castor over every set of three that can stand"),
	},
	"cranes": {
		derived("used", schema.Bool, "a support of the step is a crane, or this step or a later one takes off the part it lifts"),
		measured("load", quantity.Force, "weight of what it lifts, with its ±"),
	},
	"restraints": {
		derived("used", schema.Bool, "the step names it"),
		measured("load", quantity.Force, "weight of the parts it ties, with their ±"),
	},
}

// stepFields are the facts of one step of a move.
var stepFields = []schema.Field{
	derived("name", schema.Text, "the step in a few words"),
	derived("first", schema.Bool, "it is the first step"),
	derived("last", schema.Bool, "it is the last step"),
	{Name: "pitch", Type: schema.Quantity, Dim: quantity.Angle, Derived: true, Signed: true, Doc: "nose-up angle while it stands so; level unless the file says otherwise"},
	{Name: "height_pitch", Type: schema.Quantity, Dim: quantity.Angle, Derived: true, Signed: true, Doc: "nose-up angle at which the set heights of its supports put it"},
	{Name: "height_roll", Type: schema.Quantity, Dim: quantity.Angle, Derived: true, Signed: true, Doc: "left-side-up angle at which they put it"},
	derived("heights_contradict", schema.Bool, "the set heights of its supports tilt it otherwise, by more than 3 degrees, than the step's pitch; not recorded when some of its stands have a height and others have none; false when none has"),
	derived("unlifted", schema.Text, "supports that this step takes over although the vehicle does not stay up in between, on the jacks, cranes and hoist pads of this step and the one before and on what both share; 'nothing' when there are none"),
	measured("tilt", quantity.Angle, "the largest of its pitch and of the tilt that the set heights of its supports give it"),
	measured("stage", quantity.Length, "height gained or lost in one go"),
	derived("people", schema.Count, "hands needed at one time"),
	derived("watch", schema.Text, "what to look at"),
	derived("support_count", schema.Count, "how many supports it rests on"),
	derived("solved", schema.Bool, "equilibrium was found for every load case; unknown without geometry or masses"),
	derived("motion", schema.Text, "what moves and how when there is no equilibrium"),
	derived("stands", schema.Bool, "the centre of gravity is inside the supports, worst over the ±"),
	derived("checklist_tips", schema.Bool, "the file is a checklist, and the places that it gives all the same show that it tips"),
	measured("tip_margin", quantity.Length, "least distance from the plumb line of the centre of gravity to an edge of the supports, worst over the ±; negative outside"),
	measured("tip_span", quantity.Length, "distance across the supports in the direction of that edge"),
	measured("tip_angle", quantity.Angle, "angle at which it tips over that edge"),
	measured("tip_push", quantity.Force, "sideways push at the height of the centre of gravity that starts to tip it"),
	derived("triangle", schema.Bool, "three supports: the supports are a triangle"),
	derived("on_hoist", schema.Bool, "a support of the step is a hoist pad"),
	derived("on_stands", schema.Bool, "a support of the step is a stand, crib or trestle"),
	derived("on_wheels", schema.Bool, "a support of the step is a wheel"),
	derived("on_dolly", schema.Bool, "a support of the step is a dolly or table"),
	derived("on_jack", schema.Bool, "a support of the step is a jack"),
	derived("on_crane", schema.Bool, "a support of the step is a crane"),
	derived("under_suspension", schema.Bool, "a support of the step bears on an arm or upright"),
	derived("rigid_corner", schema.Bool, "a rigid stand-in carries the vehicle in this step"),
	derived("part_hangs", schema.Bool, "a link holds up a part that would drop without it; only links are looked at"),
	derived("part_off_later", schema.Bool, "a later step takes a part off the vehicle"),
}

// moveExtra are the derived facts of a move.
var moveExtra = []schema.Field{
	derived("id", schema.Text, "its id in the build file"),
	derived("step_count", schema.Count, "how many steps it has"),
	derived("part_off", schema.Bool, "a step takes a part off the vehicle"),
	derived("leaves_table", schema.Bool, "a support of it is or was a table or dolly that its last step does not use"),
}

// carrying lists the kinds that can pass force.
var carrying = []string{"parts", "joints", "links", "fasteners", "ball_joints", "spacers", "welds", "wheels", "springs", "supports", "restraints"}

// kinds is the table of the build file's kinds with the derived facts added.
var kinds = func() []*schema.Kind {
	var all []*schema.Kind
	for _, k := range schema.Kinds() {
		if k.Name == "mirror" || k.Name == "waivers" {
			continue
		}
		c := *k
		c.Fields = slices.Clone(k.Fields)
		if k.Name == "moves" {
			c.Fields = append(c.Fields, moveExtra...)
		} else if !k.Single {
			c.Fields = append(c.Fields, ofEvery...)
		}
		if slices.Contains(carrying, k.Name) {
			c.Fields = append(c.Fields, ofCarrying...)
		}
		for _, f := range extra[k.Name] {
			if i := slices.IndexFunc(c.Fields, func(g schema.Field) bool { return g.Name == f.Name }); i >= 0 {
				c.Fields[i] = f
				continue
			}
			c.Fields = append(c.Fields, f)
		}
		all = append(all, &c)
	}
	return append(all, &schema.Kind{Name: "steps", Item: "step", Doc: "one step of a move, with what was computed for it", Fields: stepFields})
}()

// Kinds lists the kinds that rules may name, each with all its facts: the
// build file's kinds, then "steps". The table is shared: callers do not change
// it.
func Kinds() []*schema.Kind { return kinds }

// KindOf returns the kind with that name, or nil.
func KindOf(name string) *schema.Kind {
	i := slices.IndexFunc(kinds, func(k *schema.Kind) bool { return k.Name == name })
	if i < 0 {
		return nil
	}
	return kinds[i]
}
