package schema

import (
	"slices"

	q "setdown/model/quantity"
)

// The helpers below only shorten the table: one line a fact.

func yes(name, doc string) Field   { return Field{Name: name, Type: Bool, Doc: doc} }
func count(name, doc string) Field { return Field{Name: name, Type: Count, Doc: doc} }
func text(name, doc string) Field  { return Field{Name: name, Type: Text, Doc: doc} }
func date(name, doc string) Field  { return Field{Name: name, Type: Date, Doc: doc} }
func thread(name, doc string) Field {
	return Field{Name: name, Type: Thread, Doc: doc}
}
func point(name, doc string) Field  { return Field{Name: name, Type: Point, Doc: doc} }
func vector(name, doc string) Field { return Field{Name: name, Type: Vector, Doc: doc} }
func measure(name string, dim q.Dimension, doc string) Field {
	return Field{Name: name, Type: Quantity, Dim: dim, Doc: doc}
}
func word(name string, words []string, doc string) Field {
	return Field{Name: name, Type: Enum, Enum: words, Doc: doc}
}
func ref(name, doc string, kinds ...string) Field {
	return Field{Name: name, Type: Ref, Refs: kinds, Doc: doc}
}
func refs(name, doc string, kinds ...string) Field {
	return Field{Name: name, Type: List, Elem: &Field{Type: Ref, Refs: kinds}, Doc: doc}
}
func list(name string, elem Field, doc string) Field {
	return Field{Name: name, Type: List, Elem: &elem, Doc: doc}
}

// pair is a list with one element for each end of a link, in the order of the
// ends. Half a pair is refused: the end that is missing would pass unseen.
func pair(name string, elem Field, doc string) Field {
	return Field{Name: name, Type: List, Elem: &elem, Size: 2, Doc: doc}
}
func block(name, doc string, fields ...Field) Field {
	return Field{Name: name, Type: Object, Fields: fields, Doc: doc}
}
func needed(f Field) Field { f.Need = true; return f }
func preset(f Field, value any) Field {
	f.Default = value
	return f
}

// found is the block of what was seen on the vehicle. Every one of them says
// who looked and when.
func found(fields ...Field) Field {
	common := []Field{
		date("on", "the day it was seen"),
		text("by", "who saw it"),
		text("seen_by", "who looked a second time, another person"),
		yes("disturbed", "slackened, re-adjusted, re-welded or re-loaded since it was seen"),
		text("note", "anything worth a word"),
	}
	return block("found", "what was seen on the vehicle: never copied, never assumed", append(slices.Clip(fields), common...)...)
}

// Words that several kinds share.
var (
	materials = text("material", "material by its name, such as S355, E235, 4130 or 6082-T6")
	tightness = word("tightness", []string{"loose", "finger", "snug", "torqued"}, "how tight it is; snug is right for a bonded bush before ride height")
	locks     = []string{"none", "split pin", "wire", "nylon-insert nut", "all-metal nut", "tab washer", "jam nut", "circlip", "spring washer", "thread compound", "nylon patch"}
	hands     = []string{"right", "left"}
	place     = text("place", "one of the places of the vehicle; worked out from what the item belongs to when absent")
	holds     = refs("holds", "the joints, link ends or supports that are not there without it", "joints", "links", "supports")
)

var kinds = []*Kind{
	{Name: "vehicle", Item: "vehicle", Single: true, Doc: "the vehicle as a whole", Fields: []Field{
		text("name", "what the vehicle is called"),
		preset(word("coordinates", []string{"mm", "cm", "m", "in"}, "unit of all bare coordinates; mm unless it says otherwise"), "mm"),
		preset(yes("checklist", "the file is a list to go through: no loads and no stability are asked for, and the report says so"), false),
		ref("built_on", "the part everything else is hung from; the heaviest of the frame when absent", "parts"),
		found(
			word("fuel", []string{"none", "drained", "in tank"}, "fuel on board"),
			yes("hot_work", "welding or grinding within reach of the vehicle this session"),
			word("cleaner", []string{"none", "chlorinated", "not chlorinated"}, "degreaser used on parts still to be welded"),
			word("battery", []string{"out", "isolated", "connected"}, "state of the starter battery"),
			word("gear", []string{"neutral", "in gear", "no gearbox"}, "state of the gearbox"),
			word("high_voltage", []string{"none", "isolated", "live"}, "drive battery and its circuits"),
			text("isolated_by", "who isolated the high voltage"),
			word("air_springs", []string{"none", "deflated", "propped", "holding height"}, "springs that hold height by pressure"),
			word("parking_brake", []string{"none", "front", "rear", "all"}, "the wheels that the parking brake holds"),
			yes("brake_works", "a brake that stops the vehicle by hand push was tried"),
			yes("masses_current", "nothing heavy came on or off since the list of masses was made"),
			yes("loose_load", "tools or parts lie loose on the vehicle"),
		),
	}},
	{Name: "site", Item: "site", Single: true, Doc: "where the move is made", Fields: []Field{
		found(
			word("floor", []string{"concrete", "steel plate", "timber", "paving", "asphalt", "gravel", "earth"}, "surface under the supports"),
			measure("slope", q.Number, "steepest fall of the floor, such as 5 mm/m"),
			yes("plates", "load-spreading plates lie under the supports"),
			yes("clear", "floor swept, dry, nothing in the path"),
			yes("outdoors", "in the open, where wind reaches the vehicle"),
			measure("headroom", q.Length, "clear height above the vehicle at its highest"),
			measure("flatness", q.Length, "largest gap under a straight edge across the supports"),
			yes("extinguisher", "a fire extinguisher is within reach"),
		),
	}},
	{Name: "parts", Item: "part", Doc: "rigid pieces with mass", Fields: []Field{
		measure("mass", q.Mass, "mass with its ±"),
		point("cg", "where its centre of gravity is"),
		place,
		word("role", []string{"frame", "axle", "arm", "upright", "wheel", "drivetrain", "body", "other"}, "what it is to the vehicle"),
		found(yes("fitted", "it is on the vehicle now")),
	}},
	{Name: "joints", Item: "joint", Doc: "places where two parts meet and pass force", Fields: []Field{
		needed(word("kind", []string{"taper ball joint", "ball joint", "spherical bearing", "rod end", "bush", "pivot", "bolted face", "welded face"}, "how it lets the parts move: the ball kinds turn freely, a pivot turns about its axis, a face not at all; two pivots or bushes between the same parts make a hinge")),
		needed(Field{Name: "between", Type: List, Size: 2, Elem: &Field{Type: Ref, Refs: []string{"parts"}}, Doc: "the two parts that meet"}),
		point("at", "where it is"),
		vector("axis", "direction of its bolt or pin"),
		place,
		word("stud", []string{"up", "down", "level"}, "which way the tapered stud points; the first of the two parts has the tapered hole, the second the housing"),
		word("carries_in", []string{"push", "pull", "both", "follower"}, "the load the maker meant the ball joint for"),
		word("bush", []string{"none", "bonded", "plain"}, "kind of bush in it"),
		measure("static_rating", q.Load, "radial static rating of its bearing"),
		measure("axial_rating", q.Load, "axial rating of its bearing"),
		measure("misalignment_limit", q.Angle, "angle at which its bearing fouls"),
		measure("sleeve_short", q.Length, "how much its inner sleeve is shorter than the bush or gap"),
		found(
			yes("bush_fitted", "the bush or bearing is in its eye"),
			yes("kept", "it is held endways by a circlip, end nut or keeper"),
			yes("bolt_slides", "the bolt passes through by hand"),
			measure("misalignment", q.Angle, "largest angle measured over this move's travel"),
			yes("worn", "play or damage felt"),
		),
	}},
	{Name: "links", Item: "link", Doc: "bars loaded only along their length", Fields: []Field{
		needed(Field{Name: "ends", Type: Map, Size: 2, Doc: "its two ends by name", Elem: &Field{Type: Object, Fields: []Field{
			needed(ref("on", "the part it is joined to", "parts")),
			point("at", "centre of the joint"),
			vector("axis", "direction of the bolt"),
			word("shear", []string{"single", "double"}, "bolt held on one side or on both"),
		}}}),
		place,
		word("role", []string{"strut", "toe link", "track rod", "locating link", "anti-roll", "spring"}, "what it does"),
		yes("temporary", "it stands in for another part until that arrives"),
		text("stands_in_for", "what it stands in for"),
		yes("can_pull", "both ends are bolted, so that it can also pull; no for a prop, cup or wedge"),
		block("tube", "its section when it is a tube", measure("od", q.Length, "outside diameter"), measure("wall", q.Length, "wall thickness"), materials),
		block("bar", "its section when it is a solid bar or studding", measure("diameter", q.Length, "diameter; of studding at the root of the thread"), thread("thread", "thread of studding, from which the root follows"), materials),
		block("rod_ends", "its rod ends",
			thread("thread", "thread of the shank"),
			measure("static_rating", q.Load, "radial static rating by the maker"),
			measure("axial_rating", q.Load, "axial rating by the maker"),
			measure("engagement_needed", q.Length, "thread engagement the maker asks for"),
			measure("misalignment_limit", q.Angle, "angle at which the housing fouls"),
			pair("hands", Field{Type: Enum, Enum: hands}, "hand of the thread at each end"),
			yes("plug_welded", "tube adapters are plug-welded as well"),
		),
		yes("adjusted_in_place", "it is turned to set its length while both ends are bolted"),
		found(
			yes("fitted", "both ends are on"),
			pair("engaged", measure("", q.Length, ""), "thread engaged at each end, in the order of the ends"),
			word("jam_nuts", []string{"tight", "loose", "none"}, "the worse of its jam nuts"),
			pair("jam_nut_hands", Field{Type: Enum, Enum: hands}, "hand of the jam nut at each end"),
			yes("witness_blocked", "a wire does not pass the witness holes"),
			yes("tagged", "a tag says that it is temporary"),
			measure("length", q.Length, "centre to centre as measured"),
			measure("turns_planned", q.Number, "turns of the bar still to be wound out"),
			word("adapters", []string{"none", "tack", "part", "full"}, "how far the welds of its tube adapters are made"),
			yes("retaining_washer", "a washer larger than the ball's housing keeps it on"),
			yes("bent", "bent or damaged"),
			yes("mid_span_load", "something bears on it between its ends"),
		),
	}},
	{Name: "fasteners", Item: "fastener", Doc: "bolts, nuts and pins that hold joints", Fields: []Field{
		holds, place,
		word("role", []string{"pivot", "clamp", "U-bolt", "steering mount", "pinch bolt", "spring mount", "engine mount", "brake mount", "hub nut"}, "what it does"),
		thread("thread", "its thread as written on the box"),
		text("class", "property class or grade, such as \"10.9\" or \"grade 8\""),
		preset(count("needed", "how many of them; 1 unless it says otherwise"), int64(1)),
		measure("spread", q.Length, "distance between the outer ones of a group across its narrower side, or between the tabs of a lone hinge pin; it turns a moment into forces"),
		count("shear_planes", "planes in which the joint shears it"),
		yes("thread_in_shear", "a shear plane passes through the thread"),
		measure("torque", q.Torque, "torque it is to have"),
		word("surface", []string{"plain", "dry", "lubricated"}, "state of the thread, for the nut factor"),
		word("lock", locks, "how it is kept from turning back"),
		yes("turns", "the joint turns or works in this move or in service"),
		word("tapped_into", []string{"nothing", "steel", "aluminium", "cast iron"}, "material of the tapped hole; nothing when it has a nut"),
		yes("stand_in", "not the final bolt: a stand-in until that arrives"),
		yes("critical", "suspension, steering or brake fastener"),
		measure("hole", q.Length, "diameter of the hole"),
		yes("hollow_section", "it clamps through a hollow section"),
		yes("crush_tube", "a crush tube lines the hollow section"),
		block("tab", "the bracket or tab it bears in",
			measure("thickness", q.Length, "thickness of one tab"),
			measure("edge", q.Length, "hole centre to edge along the load"),
			measure("width", q.Length, "width across the hole"),
			materials,
			yes("integral", "it is no bracket: cast, forged or machined in one with its part"),
			yes("cracked", "a crack was seen"),
			measure("bend_radius", q.Length, "inside radius of its bend"),
		),
		found(
			yes("fitted", "it is there"),
			count("count", "how many of them are there"),
			tightness,
			measure("torqued", q.Torque, "torque reached, by wrench"),
			yes("marked", "a witness mark is on it and unbroken"),
			yes("mark_broken", "the witness mark is broken"),
			measure("protruding", q.Length, "bolt past the nut"),
			count("threads_past", "full threads past the nut"),
			measure("engaged", q.Length, "thread engaged in the tapped hole"),
			text("class_mark", "class or grade read on the head; of a U-bolt on its maker's paper"),
			thread("thread_read", "thread of the bolt, gauged"),
			thread("nut_thread", "thread of the nut, gauged"),
			yes("forced", "the nut or bolt had to be forced"),
			yes("lock_fitted", "the lock is on and works"),
			yes("lock_reused", "the lock nut or pin was used before, or welded near"),
			yes("hole_egged", "the hole is worn out of round"),
			yes("in_groove", "the pinch bolt passes through its groove"),
		),
	}},
	{Name: "ball_joints", Item: "taper nut", Doc: "the nuts that hold tapered studs", Fields: []Field{
		holds, place,
		thread("thread", "thread of the stud"),
		measure("torque", q.Torque, "torque it is to have, by the joint's maker"),
		measure("torque_max", q.Torque, "the most it may have to line up the pin"),
		word("lock", locks, "how it is kept from turning back"),
		yes("steering", "it belongs to the steering"),
		found(
			yes("fitted", "the nut is on"),
			tightness,
			measure("torqued", q.Torque, "torque reached, by wrench"),
			yes("lock_fitted", "the pin or lock is in and its legs are bent"),
			word("lined_up", []string{"as torqued", "tightened on", "backed off"}, "how the slot was brought to the hole"),
			yes("stud_turns", "the stud turns with the nut"),
			yes("seated", "the taper sits home: no step or gap, pin hole level with the slots"),
			yes("large_end_right", "the large end of the taper faces the joint"),
			yes("body_held", "the joint body is held in its arm, flat and with its ring"),
			yes("marked", "a witness mark is on it and unbroken"),
			yes("mark_broken", "the witness mark is broken"),
		),
	}},
	{Name: "spacers", Item: "spacer set", Doc: "spacers and sleeves that fill a bracket's gap", Fields: []Field{
		holds, place,
		count("needed", "how many"),
		block("stack", "does it fill the gap?",
			measure("bracket_gap", q.Length, "clear width between the tabs"),
			measure("ball_width", q.Length, "width of the ball or sleeve"),
			measure("each", q.Length, "height of one spacer"),
		),
		block("bore", "does it fit across?",
			measure("bearing", q.Length, "bore of the bearing"),
			measure("spacer_outside", q.Length, "outside diameter of the spacer's spigot or sleeve"),
			measure("spacer_inside", q.Length, "bore of the spacer or sleeve"),
			measure("bolt", q.Length, "diameter of the bolt"),
		),
		found(
			count("fitted", "how many are in"),
			measure("gap_left", q.Length, "gap left with the bolt loose, by feeler"),
			yes("tabs_drawn_in", "the tabs are visibly drawn together"),
		),
	}},
	{Name: "welds", Item: "weld", Doc: "welds that hold joints, or hold the frame together", Fields: []Field{
		holds, place,
		word("role", []string{"bracket", "frame node", "perch", "adapter", "support point", "mount"}, "what it joins; a frame node carries whenever the frame does"),
		yes("locates", "it keeps a link that locates a wheel: toe, track or lateral"),
		block("fillet", "the fillet as drawn",
			measure("leg", q.Length, "leg"),
			measure("length", q.Length, "total length as drawn"),
			text("filler", "filler by its designation, such as ER70S-6"),
			count("sides", "sides welded as drawn"),
			word("layout", []string{"one line", "two lines", "rectangle", "circle"}, "the lines it is made of"),
			measure("width", q.Length, "distance between two lines, or short side of a rectangle"),
			vector("along", "direction of the lines"),
			vector("normal", "direction at right angles to the face that the weld lies on"),
			point("centre", "middle of the weld group"),
		),
		Field{Name: "base", Type: Object, Shorthand: "plate", Doc: "the thinner of the two pieces, such as '4 mm S355 plate'", Fields: []Field{
			measure("thickness", q.Length, "its thickness"), materials,
		}},
		word("parent", []string{"mild steel", "alloy tube", "stainless", "aluminium", "cast", "forged", "heat-treated", "plated", "spring steel"}, "what the pieces are made of"),
		yes("bears_by_contact", "the load passes by contact; the weld only places the piece"),
		text("waits_for", "what must be known before it is finished"),
		found(
			word("made", []string{"none", "tack", "part", "full"}, "how far it is made"),
			count("tacks", "number of tacks"),
			measure("tack_length", q.Length, "length of one tack"),
			measure("made_length", q.Length, "length made so far"),
			count("sides", "sides made"),
			yes("inspected", "looked at, clean and with a light"),
			yes("cold", "it was cold when it was looked at"),
			yes("crack", "a crack was seen, in a tack too"),
			measure("undercut", q.Length, "depth of undercut"),
			measure("leg", q.Length, "leg as measured"),
			word("toes", []string{"wetted in", "rolled over"}, "how the toes run out"),
			word("surface", []string{"bright", "scale", "painted", "zinc", "rust"}, "surface before welding"),
			yes("dressed", "ground flush"),
		),
	}},
	{Name: "wheels", Item: "wheel", Doc: "wheels, their nuts and hubs", Fields: []Field{
		holds, place,
		ref("on", "the part it is bolted to", "parts"),
		count("nuts", "how many nuts or bolts it has"),
		measure("torque", q.Torque, "torque of each"),
		measure("hub_torque", q.Torque, "torque of the hub nut, by its maker"),
		thread("stud", "thread of the studs"),
		word("seat", []string{"cone", "ball", "flat"}, "seat of the wheel"),
		yes("shaft_clamps_bearing", "the drive shaft and its nut hold the bearing together"),
		found(
			count("nuts", "how many are on"),
			tightness,
			measure("torqued", q.Torque, "torque reached, by wrench"),
			measure("turns", q.Number, "turns from the first thread to the seat"),
			yes("seats_match", "nut and wheel have the same seat"),
			yes("shaft_in", "the drive shaft or a stub is in"),
			measure("hub_torqued", q.Torque, "torque reached on the hub nut"),
			yes("hub_nut", "the hub nut is on, torqued and locked"),
			yes("clear", "it touches nothing at rest and on lock"),
			Field{Name: "toe", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "toe angle by string; in is positive"},
		),
	}},
	{Name: "springs", Item: "spring", Doc: "springs that store energy or carry the vehicle", Fields: []Field{
		holds, place,
		found(
			yes("fitted", "it is in"),
			yes("seated", "it stays seated at both ends through the whole travel"),
			word("kept_by", []string{"its damper", "captive plates", "a strap", "a tack", "nothing"}, "what holds it and its preload"),
			tightness,
		),
	}},
	{Name: "brakes", Item: "brake", Doc: "brakes by wheel", Fields: []Field{
		place,
		ref("on", "the part it is bolted to", "parts"),
		found(
			yes("fitted", "it is on"),
			tightness,
			yes("tied", "what is not bolted is tied up, no weight on the hose"),
			yes("holds", "it holds the wheel when tried"),
		),
	}},
	{Name: "supports", Item: "support", Doc: "what the vehicle rests on", Fields: []Field{
		needed(word("kind", []string{"stand", "crib", "trestle", "hoist pad", "jack", "dolly", "table", "wheel", "crane"}, "what it is")),
		ref("under", "the part it bears on", "parts"),
		point("at", "where it bears"),
		place,
		word("bears_on", []string{"frame node", "lifting point", "axle", "arm", "upright", "tyre", "round tube", "sheet", "pan", "overhang"}, "what it touches"),
		measure("rated", q.Load, "rated load by its plate"),
		word("rated_per", []string{"each", "pair"}, "whether the plate counts one or two of them"),
		measure("height", q.Length, "height it is set to"),
		measure("block_length", q.Length, "length of the blocks of a crib"),
		measure("closed_height", q.Length, "lowest height of a jack"),
		measure("clearance_after", q.Length, "height left for a jack once the vehicle is down"),
		ref("wheel", "the wheel it is", "wheels"),
		ref("dolly", "the dolly it belongs to", "dollies"),
		ref("hoist", "the hoist it belongs to", "hoists"),
		found(
			yes("locked", "pawl or pin fully home; arm lock in"),
			yes("own_pin", "the pin is the maker's own"),
			word("floor", []string{"concrete", "steel plate", "timber", "paving", "asphalt", "gravel", "earth"}, "what it stands on"),
			yes("level", "it stands upright and level, all feet down"),
			word("condition", []string{"good", "bent", "cracked", "repaired", "worn", "recalled"}, "state of the support"),
			yes("stacked", "something lies under its foot, or more than one thin pad on its saddle"),
			yes("contact", "it touches with its whole saddle or pad"),
			yes("padded", "a pad or block keeps the saddle from slipping"),
			word("stack", []string{"criss-cross", "column", "bricks", "logs", "wheels"}, "how a crib is built"),
			yes("grain_flat", "the grain of a crib's blocks lies flat"),
			yes("leaks", "a jack leaks or creeps"),
			yes("rolls_free", "a trolley jack can roll along its whole path"),
			yes("chocked", "the wheel is chocked on both sides"),
		),
	}},
	{Name: "hoists", Item: "hoist", Doc: "vehicle hoists", Fields: []Field{
		measure("rated", q.Load, "rated load by its plate"),
		measure("arm_rated", q.Load, "rated load of one arm"),
		found(
			yes("arm_locks", "every arm's lock engages"),
			yes("locks_down", "the mechanical locks are down before anyone goes under"),
			date("examined", "day of its last examination"),
		),
	}},
	{Name: "dollies", Item: "dolly", Doc: "build tables and dollies on castors", Fields: []Field{
		count("castors", "how many castors"),
		measure("castor_rated", q.Load, "rating of one castor"),
		measure("mass", q.Mass, "its own mass"),
		list("castors_at", Field{Type: Point}, "where the castors stand"),
		point("cg", "its own centre of gravity"),
		found(
			count("ties_left", "clamps, pins and tacks still holding the vehicle to it"),
			yes("held", "braked or chocked so that it cannot roll away"),
			yes("strapped", "the vehicle is strapped or pinned to it"),
		),
	}},
	{Name: "cranes", Item: "crane", Doc: "engine cranes and slings", Fields: []Field{
		measure("rated", q.Load, "rating at the reach in use"),
		ref("lifts", "the part it lifts", "parts"),
		found(
			yes("legs_locked", "legs out and locked"),
			yes("slings_rated", "slings, shackles and eyes carry a rating and are sound"),
			yes("eye_sound", "the eye or tube it lifts on is fully welded or bolted"),
		),
	}},
	{Name: "restraints", Item: "restraint", Doc: "straps and blocks that hold hanging parts to others", Fields: []Field{
		needed(refs("ties", "the parts it holds", "parts")),
		needed(ref("to", "what they are held to", "parts")),
		place,
		word("kind", []string{"ratchet strap", "strap", "block", "wire", "chain", "rope"}, "what it is"),
		measure("rated", q.Load, "rated load by its label"),
		found(
			yes("fitted", "it is on and tight"),
			yes("sound", "no cut, kink or damage"),
		),
	}},
	{Name: "moves", Item: "move", Doc: "transfers of weight", Fields: []Field{
		needed(word("kind", []string{"lower", "lift", "rest", "roll"}, "what is done: lowered, lifted, left standing, rolled")),
		text("title", "the move in a few words"),
		{Name: "steps", Type: List, Need: true, Doc: "the steps in order", Elem: &Field{Type: Object, Fields: []Field{
			needed(text("name", "the step in a few words")),
			needed(refs("supports", "what the vehicle rests on", "supports")),
			refs("restraints", "what ties hanging parts up", "restraints"),
			refs("off", "parts that are off the vehicle in this step", "parts"),
			{Name: "pitch", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "nose-up angle while it stands so"},
			measure("stage", q.Length, "height gained or lost in one go"),
			count("people", "hands needed at one time"),
			text("watch", "what to look at"),
		}}},
		count("people_needed", "hands needed at one time"),
		yes("people_under", "someone works under the vehicle afterwards"),
		yes("first_time", "the first such move since anything changed"),
		measure("stop_at", q.Length, "height of the stop to look again"),
		yes("hand_push", "rolled slowly by hand on a smooth floor, and no further"),
		yes("by_hand", "the vehicle is lifted by people"),
		measure("lifted_mass", q.Mass, "mass at the end that people lift"),
		found(
			yes("area_clear", "nobody under, inside or in the fall line, and it stays so"),
			count("people", "hands there"),
			text("in_charge", "the one person who gives the word"),
			yes("stop_word", "everyone knows the stop word"),
			yes("phone", "someone within call, or a phone and someone who expects you"),
			yes("chocked", "every wheel that stays on the floor is chocked both sides"),
			yes("way_back", "the old supports stay at hand and each stage can be undone"),
			yes("catch", "cribs or wheels lie within 50 mm below"),
			yes("stop_means", "a working brake, a chock carried at a wheel, or a rope round a post"),
			yes("order_read", "the order was read aloud"),
			yes("strapped_on_frame", "straps pull the frame down on rigid bars"),
		),
	}},
	{Name: "mirror", Item: "mirror entry", Listed: true, Doc: "copies the design of one side to the other, never what was found", Fields: []Field{
		needed(text("from", "prefix of the ids to copy")),
		needed(text("to", "prefix of the ids to make")),
		needed(word("across", []string{"x", "y", "z"}, "the coordinate that changes its sign")),
	}},
	{Name: "waivers", Item: "waiver", Listed: true, Doc: "holds that somebody answers for", Fields: []Field{
		needed(text("rule", "id of the rule")),
		needed(text("item", "id of the item, or of the move for rules about a move")),
		ref("move", "the move it is for; all when absent", "moves"),
		needed(text("reason", "why it may be let pass")),
		needed(text("by", "who answers for it")),
		needed(date("until", "the last day it counts")),
	}},
}
