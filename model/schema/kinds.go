package schema

import (
	"slices"

	q "setdown/model/quantity"
)

// The helpers below only shorten the table: one line a fact.

func yes(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Bool, Doc: doc}, columns)
}
func count(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Count, Doc: doc}, columns)
}
func text(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Text, Doc: doc}, columns)
}
func date(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Date, Doc: doc}, columns)
}
func thread(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Thread, Doc: doc}, columns)
}
func point(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Point, Doc: doc}, columns)
}
func vector(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Vector, Doc: doc}, columns)
}
func measure(name string, dim q.Dimension, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Quantity, Dim: dim, Doc: doc}, columns)
}
func word(name string, words []string, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Enum, Enum: words, Doc: doc}, columns)
}
func ref(name, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: Ref, Doc: doc}, columns)
}
func refs(name, doc string, columns ...column) Field {
	return list(name, Field{Type: Ref}, doc, columns...)
}
func list(name string, elem Field, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: List, Elem: &elem, Doc: doc}, columns)
}

// pair is a list with one element for each end of a link, in the order of the
// ends. Half a pair is refused: the end that is missing would pass unseen.
func pair(name string, elem Field, doc string, columns ...column) Field {
	return with(Field{Name: name, Type: List, Elem: &elem, Size: 2, Doc: doc}, columns)
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
		date("on", "the day it was seen", also("day"), ask("Date it was checked?"), ofLook),
		text("by", "who saw it", ask("Who checked it?"), ofLook),
		text("seen_by", "who looked a second time, another person", ask("Second check: who? (not the same person)"), ofLook),
		yes("disturbed", "slackened, re-adjusted, re-welded or re-loaded since it was seen", ask("Touched since: slackened, re-welded or moved?"), good(is(false)), seen, event("a disturbance is written down when it happens")),
		text("note", "anything worth a word", ask("Remarks?"), ofLook),
	}
	return block("found", "what was seen on the vehicle: never copied, never assumed", append(slices.Clip(fields), common...)...)
}

// Words that several kinds share.
var (
	locks = []string{"none", "split pin", "wire", "nylon-insert nut", "all-metal nut", "tab washer", "jam nut", "circlip", "spring washer", "thread compound", "nylon patch"}
	hands = []string{"right", "left"}
)

// What a support can be asked by its kind: a wheel has no saddle and no feet, and the pad of a hoist
// does not stand on the floor.
var (
	onFloor    = when("kind", "stand", "crib", "trestle", "jack", "dolly", "table", "wheel")
	onFeet     = when("kind", "stand", "crib", "trestle", "jack", "table")
	withSaddle = when("kind", "stand", "crib", "trestle", "hoist pad", "jack", "dolly", "table")
)

// inTheNut is of a lock that is part of its nut: while the witness mark across the two is
// unbroken, the nut is the one that was seen, and so is its lock. A pin, a wire or a second
// nut goes while the mark stays.
var inTheNut = lasting(when("lock", "nylon-insert nut", "all-metal nut"))

// Fields that several kinds share; the question is of each kind.

func materials(columns ...column) Field {
	return text("material", "material by its name, such as S355, E235, 4130 or 6082-T6", columns...)
}
func tightness(columns ...column) Field {
	return word("tightness", []string{"loose", "finger", "snug", "torqued"}, "how tight it is; snug is right for a bonded bush before ride height", columns...)
}
func place(columns ...column) Field {
	return text("place", "one of the places of the vehicle; worked out from what the item belongs to when absent", append(columns, own)...)
}
func holds(columns ...column) Field {
	return refs("holds", "what comes apart without it: joints, link ends or supports", append(columns, of("joints", "links", "supports"), identity, own)...)
}

// fastens is of what a checklist lists, in which no joint says what it fastens.
func fastens() Field {
	return ref("part", "in a checklist, the part that it fastens: nothing rests on it while that is off", of("parts"), ask("Which part does it fasten?"), second, own)
}

// several and counted are of a thing that may stand for a group of alike ones.
func several(columns ...column) Field {
	return count("needed", "how many of them; 1 unless it says otherwise", append(columns, within("1", "500"), second, own, identity, unsaid("1"))...)
}
func counted() Field {
	return text("counted", "how its members are counted, such as 'from the front, left first'", ask("How are they counted?"), second, own)
}

// lastExamined is of gear that no law asks a private owner to have examined.
func lastExamined(columns ...column) Field {
	return date("examined", "day of its last examination, by its sticker or paper", append(columns, ask("Date of its last examination?"), noGood("how long an examination counts is set by law and maker"), made,
		event("few stands in a private shop were ever examined; one that has run out counts"))...)
}

// hangsFree is of leaves and torsion bars, drawn as a part or not.
func hangsFree() Field {
	return yes("hangs_free", "of a leaf or torsion bar that is tied up with what it springs: it hangs at full droop and nothing presses or twists it", ask("Tied-up leaf or torsion bar: hangs free of load?"), noGood("one that carries is pressed; what is tied up with it is asked"), seen)
}

// exposed and shankYield are of the shanks of rod ends.
func exposed() Field {
	return measure("exposed", q.Length, "middle of the ball to where the thread is held, at the longer end; the longest there is where nobody measured", ask("Rod end: middle of the ball to where its thread is held?"), within("5 mm", "120 mm"), identity)
}
func shankYield() Field {
	return measure("yield", q.Stress, "yield strength of the shank by its maker; mild steel's where nobody knows", ask("Rod end: yield strength of its shank, by its maker?"), within("100 MPa", "2 GPa"), identity)
}

// proven is for what comes off a production vehicle, in place of a rating or a section.
func proven() Field {
	return block("proven", "the production vehicle on which it has shown what it bears",
		text("vehicle", "which vehicle it comes off", ask("Off which production vehicle?"), identity),
		measure("axle_load", q.Load, "permitted load of the axle that it was on", ask("Permitted load of the axle it was on?"), within("50 kg", "13 t"), identity),
		yes("altered", "cut, welded, drilled or bent since", ask("Cut, welded, drilled or bent since?"), identity),
	)
}

var kinds = []*Kind{
	{Name: "vehicle", Item: "vehicle", Single: true, Doc: "the vehicle as a whole", Fields: []Field{
		text("name", "what the vehicle is called", ask("What is the vehicle called?")),
		word("units", []string{"metric", "inch"}, "measures in which answers are shown; those of the coordinates when absent", ask("Answers in metric or in inches?")),
		preset(word("coordinates", []string{"mm", "cm", "m", "in"}, "unit of all bare coordinates; mm unless it says otherwise", ask("Unit of the coordinates: mm, cm, m or in?")), "mm"),
		preset(yes("checklist", "the file is a list to go through: no loads and no stability are asked for, and the report says so", ask("Checklist only, without loads and balance?")), false),
		word("frame", []string{"welded", "bolted", "one piece"}, "how its frame is put together; of a welded one the nodes are listed among the welds", ask("Frame: welded, bolted or one piece?"), short("How is its frame put together?")),
		count("wheels", "how many wheels it has; asked where a checklist leaves it on three of them", ask("How many wheels has it?"), within("3", "10")),
		measure("rack_travel", q.Length, "travel of the steering rack from the middle, each way", ask("How far does the steering rack go, each way?"), within("5 mm", "150 mm")),
		ref("built_on", "the part everything else is hung from; the heaviest of the frame when absent", of("parts"), ask("Which part is everything built on?")),
		found(
			word("fuel", []string{"none", "drained", "in tank"}, "fuel on board", ask("Fuel on board: none, drained or in tank?"), short("Fuel on board?"), good(is("none", "drained")), seen, round, remakes("masses_current")),
			yes("hot_work", "welding or grinding within reach of the vehicle this session", ask("Any welding or grinding near it this session?"), good(is(false)), setting),
			word("cleaner", []string{"none", "chlorinated", "not chlorinated"}, "degreaser used on parts still to be welded", ask("Degreaser on parts to be welded: chlorinated or not?"), short("Degreaser on parts to be welded?"), good(is("none", "not chlorinated")), seen),
			word("battery", []string{"out", "isolated", "connected"}, "state of the starter battery", ask("Starter battery: out, isolated or connected?"), short("Starter battery?"), good(is("out", "isolated")), setting, round),
			word("gear", []string{"neutral", "in gear", "no gearbox"}, "state of the gearbox", ask("Gearbox: neutral or in gear?"), short("Gearbox?"), good(is("neutral", "no gearbox")), setting, round),
			word("high_voltage", []string{"none", "isolated", "live"}, "drive battery and its circuits", ask("Drive battery: none, isolated or live?"), short("Drive battery?"), good(is("none", "isolated")), setting, round),
			text("isolated_by", "who isolated the high voltage", ask("Who isolated the drive battery?"), noGood("a name"), setting, last),
			word("air_springs", []string{"none", "deflated", "propped", "holding height"}, "springs that hold height by pressure", ask("Air springs: none, let down, propped or at height?"), short("Air springs?"), good(is("none", "deflated", "propped")), setting),
			word("parking_brake", []string{"none", "front", "rear", "all"}, "the wheels that the parking brake holds", ask("Which wheels does the parking brake hold?"), noGood("which wheels it has to hold depends on the move"), setting),
			yes("brake_works", "a brake that stops the vehicle by hand push was tried", ask("Brake tried: does it stop the vehicle by hand push?"), good(is(true)), seen),
			yes("masses_current", "nothing heavy came on or off since the list of masses was made", ask("Masses still right: nothing heavy on or off since?"), good(is(true)), seen, ofWeights),
			yes("loose_load", "tools or parts lie loose on the vehicle", ask("Any loose tools or parts on the vehicle?"), good(is(false)), setting, round, event("tools are put down and seen lying there")),
		),
	}},
	{Name: "site", Item: "site", Single: true, Doc: "where the move is made", Fields: []Field{
		found(
			word("floor", []string{"concrete", "steel plate", "timber", "paving", "asphalt", "gravel", "earth"}, "surface under the supports", ask("Floor under the supports: concrete, asphalt, ...?"), short("Floor under the supports?"), good(is("concrete", "steel plate")), good(when("found.plates", true)), seen, round),
			measure("slope", q.Number, "steepest fall of the floor, such as 5 mm/m or 1/16 in/ft", ask("Steepest fall of the floor, along a long level?"), within("0 mm/m", "500 mm/m"), good(upTo("10 mm/m", q.Number)), seen),
			yes("plates", "load-spreading plates lie under the supports", ask("Plates under every support?"), good(is(true)), good(when("found.floor", "concrete", "steel plate")), seen, last),
			yes("clear", "floor swept, dry, nothing in the path", ask("Floor swept, dry and the path clear?"), good(is(true)), moment, round),
			yes("outdoors", "in the open, where wind reaches the vehicle", ask("In the open, where wind reaches it?"), good(is(false)), setting, round, event("a shop has a roof unless somebody says otherwise")),
			measure("headroom", q.Length, "clear height above the vehicle at its highest", ask("Clear height above the vehicle at its highest?"), within("0 m", "50 m"), noGood("what it has to be depends on the move"), seen),
			measure("flatness", q.Length, "largest gap under a straight edge across the supports", ask("Largest gap under a straight edge over the supports?"), within("0 mm", "1 m"), good(upTo("10 mm", q.Length)), seen),
			yes("extinguisher", "a fire extinguisher is within reach", ask("Fire extinguisher within reach?"), good(is(true)), setting),
		),
	}},
	{Name: "parts", Item: "part", Doc: "rigid pieces with mass", Fields: []Field{
		measure("mass", q.Mass, "mass with its ±", ask("Mass, with its ±?"), within("0 kg", "40 t"), band, weighs),
		point("cg", "where its centre of gravity is", own, ask("Where is its centre of gravity: x, y, z?"), weighs),
		point("hub", "where the middle of its wheel goes, of a part on which no wheel of the file is", own, ask("Where does the middle of its wheel go: x, y, z?")),
		place(ask("Which corner or place of the vehicle?")),
		word("role", []string{"frame", "axle", "arm", "upright", "wheel", "spring", "drivetrain", "body", "other"}, "what kind of part it is; a spring is a leaf or torsion bar, which bends by design", ask("What is it: frame, axle, arm, upright, ...?"), short("What is it?"),
			sort(Corner, "arm", "upright", "wheel"), sort(Rigid, "arm", "upright", "wheel", "axle"), sort(Suspension, "arm", "upright", "wheel", "axle", "spring")),
		block("section", "its section where it bends, of one leg: a tube by its outside diameter and wall, a box by its width, height and wall, a solid bar by its diameter, a flat bar by its width and thickness",
			measure("od", q.Length, "outside diameter", ask("Section: outside diameter?"), within("5 mm", "250 mm"), identity),
			measure("wall", q.Length, "wall thickness", ask("Section: wall thickness?"), within("0.2 mm", "30 mm"), identity),
			measure("diameter", q.Length, "diameter, of a solid bar", ask("Section: diameter of a solid bar?"), within("3 mm", "120 mm"), identity),
			measure("width", q.Length, "width, of a box or a flat bar", ask("Section: width of a box or flat bar?"), within("5 mm", "250 mm"), identity),
			measure("height", q.Length, "height, of a box", ask("Section: height of a box?"), within("5 mm", "250 mm"), identity),
			measure("thickness", q.Length, "thickness, of a flat bar", ask("Section: thickness of a flat bar?"), within("2 mm", "120 mm"), identity),
			materials(ask("Section: material (4130, E235, ...)?"), identity),
			count("legs", "how many such legs it has, two of them straight from the two joints of its hinge to where they meet; 1 unless it says otherwise", ask("How many such legs does it have?"), within("1", "4"), identity, unsaid("1")),
			measure("cross_od", q.Length, "outside diameter of the cross tube between two legs, of their material", ask("Cross tube between its legs: outside diameter?"), within("5 mm", "250 mm"), identity),
			measure("cross_wall", q.Length, "wall thickness of that cross tube", ask("Cross tube between its legs: wall thickness?"), within("0.2 mm", "30 mm"), identity),
		),
		proven(),
		found(
			yes("fitted", "it is on the vehicle now", ask("On the vehicle now?"), noGood("whether it is to be on depends on the step"), seen, comesOff),
			hangsFree(),
			yes("damaged", "cracked, bent, torn, cut or rusted through; of a wheel, flat as well", ask("Cracked, bent, torn or rusted through?"), good(is(false)), seen, event("damage to a part is written down when it is seen")),
		),
	}},
	{Name: "joints", Item: "joint", Doc: "places where two parts meet and pass force", Fields: []Field{
		needed(word("kind", []string{"taper ball joint", "ball joint", "spherical bearing", "rod end", "bush", "pivot", "long bearing", "slider", "rack", "bolted face", "welded face"}, "how it lets the parts move: the ball kinds, a bush and a pivot hold one point, so that two between the same parts make a hinge; a long bearing turns about its axis alone, a slider slides along it and turns, a rack only slides, a face does not move at all", ask("What kind of joint?"), identity)),
		needed(with(Field{Name: "between", Type: List, Size: 2, Elem: &Field{Type: Ref, Refs: []string{"parts"}}, Doc: "the two parts that meet"}, []column{ask("Which two parts meet here?"), own})),
		point("at", "where it is", own, ask("Where is it: x, y, z?")),
		vector("axis", "direction of its bolt or pin; of a long bearing, slider or rack the direction about or along which it moves", ask("Which way does its bolt or pin point?")),
		yes("swings", "what is on this bearing or pair of hinges may turn about its axis, as a wheel on its hub or a door does", ask("May it turn freely, as a wheel or a door does?")),
		place(ask("Which corner or place of the vehicle?")),
		word("stud", []string{"up", "down", "level"}, "which way the tapered stud points; the first of the two parts has the tapered hole, the second the housing", ask("Tapered stud points: up, down or level?"), short("Which way does the tapered stud point?")),
		word("carries_in", []string{"push", "pull", "both", "follower"}, "the load the maker meant the ball joint for", ask("Load its maker meant it for: push, pull or both?"), short("Load its maker meant it for?")),
		word("bush", []string{"none", "bonded", "plain"}, "kind of bush in it", ask("Bush in it: none, bonded or plain?"), short("Bush in it?"), identity),
		measure("static_rating", q.Load, "radial static rating of its bearing, its limit load: of an ultimate load two thirds; of a long bearing or slider, of each of its two bearings", ask("Maker's static limit load across its bolt?"), within("20 kg", "40 t"), identity),
		measure("spread", q.Length, "of a long bearing, slider or rack the distance between the middles of its two bearings or bushes, of one alone a quarter of its length; it turns a moment into forces on them", ask("Long bearing: middle to middle of its two bearings?"), within("5 mm", "3 m")),
		measure("axial_rating", q.Load, "axial rating of its bearing", ask("Maker's rating along its bolt?"), within("5 kg", "20 t"), identity),
		measure("misalignment_limit", q.Angle, "angle at which its bearing fouls", ask("Angle at which it fouls, by its maker?"), within("1 deg", "90 deg"), identity),
		block("rod_end", "of a rod end its shank, screwed into the first of the two parts",
			thread("thread", "thread of the shank", ask("Rod end: thread of the shank?"), identity),
			measure("engagement_needed", q.Length, "thread engagement the maker asks for", ask("Rod end: thread engagement its maker asks for?"), within("2 mm", "120 mm"), identity),
			word("hand", hands, "hand of its thread", ask("Rod end: right- or left-hand thread?"), identity),
			exposed(), shankYield(),
			vector("along", "which way the shank points", ask("Rod end: which way does its shank point?")),
		),
		proven(),
		measure("sleeve_short", q.Length, "how much its inner sleeve is shorter than the bush or gap", ask("How much shorter is its sleeve than the bush?"), within("0 mm", "50 mm")),
		found(
			yes("bush_fitted", "the bush or bearing is in its eye", ask("Bush or bearing in its eye?"), good(is(true)), made, event("a bush that is out is written down when it is seen"), remakes("worn", "kept", "bolt_slides", "misalignment"), undoes(), reopens, parts),
			yes("kept", "it is held endways by a circlip, end nut or keeper", ask("Kept from sliding out: circlip, end nut or keeper?"), good(is(true)), seen, round, event("a joint that slides out of its eye is written down when it is seen"), undoes(), reopens, parts),
			yes("bolt_slides", "the bolt passes through by hand", ask("Bolt slides through by hand?"), good(is(true)), made, undoes(), reopens),
			measure("misalignment", q.Angle, "largest angle measured over this move's travel", ask("Largest angle measured over this move?"), within("0 deg", "90 deg"), good(atMost(1, "misalignment_limit")), seen, event("nobody has to measure it; an angle past the limit counts")),
			yes("worn", "play or damage felt", ask("Any play or damage felt?"), good(is(false)), seen, round, event("play is written down when it is seen"), undoes(), reopens),
			measure("engaged", q.Length, "thread of its rod end inside the part", ask("Rod end: thread inside the arm?"), within("0 mm", "300 mm"), good(atLeast(1, "rod_end.engagement_needed")), made, critical, onlyFor(when("kind", "rod end")), undoes(), reopens, parts),
			word("jam_nuts", []string{"tight", "loose", "none"}, "its rod end's jam nut", ask("Rod end's jam nut: tight, loose or none?"), short("How tight is its jam nut?"), good(is("tight")), seen, round, onlyFor(when("kind", "rod end")), remakes("engaged", "witness_blocked")),
			word("jam_nut_hand", hands, "hand of the jam nut", ask("Jam nut: right- or left-hand?"), good(same("rod_end.hand")), made, onlyFor(when("kind", "rod end")), event("a nut of the wrong hand is written down when it is seen"), undoes(), reopens),
			yes("witness_blocked", "a wire does not pass the witness hole", ask("Witness hole: wire stopped by the thread?"), good(is(true)), made, onlyFor(when("kind", "rod end")), event("a wire that passes is written down when it is seen"), undoes(), reopens),
		),
	}},
	{Name: "links", Item: "link", Doc: "bars loaded only along their length", Fields: []Field{
		needed(Field{Name: "ends", Type: Map, Size: 2, Doc: "its two ends by name", Elem: &Field{Type: Object, Fields: []Field{
			needed(ref("on", "the part it is joined to", of("parts"), own, ask("Which part is this end on?"))),
			point("at", "centre of the joint", own, ask("Where is the centre of this end: x, y, z?")),
			vector("axis", "direction of the bolt; 'square' where it is drawn square to the link, whichever way", ask("Which way does the bolt at this end point?")),
			with(Field{Name: "square", Type: Bool, Doc: "its bolt is square to the link; the file says it as 'axis: square'"}, []column{second, ask("Bolt square to the link?")}),
			word("shear", []string{"single", "double"}, "bolt held on one side or on both", ask("Bolt held on both sides (double) or one (single)?")),
		}}}),
		several(ask("How many of them should there be?")),
		counted(),
		place(ask("Which corner or place of the vehicle?")),
		fastens(),
		word("role", []string{"strut", "toe link", "track rod", "locating link", "anti-roll", "spring", "damper"}, "what it does; a strut is a coil-over or a bar in its place, a damper one without a spring in it, which pulls where what hangs on it hangs and never pushes", ask("What is it: strut, damper, tie rod, locating link, ...?"), short("What is it?"),
			sort(Steering, "toe link", "track rod"), sort(Across, "toe link", "track rod", "anti-roll"), sort(Locating, "toe link", "track rod", "locating link")),
		yes("temporary", "it stands in for another part until that arrives", ask("A temporary link, in place of another part?")),
		text("stands_in_for", "what it stands in for", ask("Which part does it stand in for?")),
		yes("can_pull", "both ends are bolted, so that it can also pull; no for a prop, cup or wedge", ask("Both ends bolted, so that it can also pull?")),
		block("tube", "its section when it is a tube",
			measure("od", q.Length, "outside diameter", ask("Tube: outside diameter?"), within("5 mm", "250 mm"), identity),
			measure("wall", q.Length, "wall thickness", ask("Tube: wall thickness?"), within("0.2 mm", "30 mm"), identity),
			materials(ask("Tube: material (4130, E235, ...)?"), identity),
		),
		block("bar", "its section when it is a solid bar or studding",
			measure("diameter", q.Length, "diameter; of studding at the root of the thread", ask("Bar diameter (threaded rod: at the root)?"), within("3 mm", "120 mm"), identity),
			thread("thread", "thread of studding, from which the root follows", ask("Threaded rod: its thread?"), identity),
			materials(ask("Bar: material?"), identity),
		),
		block("rod_ends", "its rod ends",
			thread("thread", "thread of the shank", ask("Rod end: thread of the shank?"), identity),
			measure("static_rating", q.Load, "radial static rating by the maker, its limit load: of an ultimate load two thirds", ask("Rod end: maker's static limit load across the bolt?"), within("20 kg", "40 t"), identity),
			measure("axial_rating", q.Load, "axial rating by the maker", ask("Rod end: maker's rating along the bolt?"), within("5 kg", "20 t"), identity),
			measure("engagement_needed", q.Length, "thread engagement the maker asks for", ask("Rod end: thread engagement its maker asks for?"), within("2 mm", "120 mm"), identity),
			measure("misalignment_limit", q.Angle, "angle at which the housing fouls", ask("Rod end: angle at which it fouls?"), within("1 deg", "90 deg"), identity),
			pair("hands", Field{Type: Enum, Enum: hands}, "hand of the thread at each end", ask("Thread at each end: right- or left-hand?"), identity),
			exposed(), shankYield(),
			yes("plug_welded", "tube adapters are plug-welded as well", ask("Tube adapters plug-welded as well?"), identity),
		),
		yes("adjusted_in_place", "it is turned to set its length while both ends are bolted", ask("Length set by turning it with both ends bolted?")),
		found(
			yes("fitted", "both ends are on", ask("Connected at both ends?"), good(is(true)), seen, round, remakes(), comesOff),
			pair("engaged", measure("", q.Length, ""), "thread engaged at each end, in the order of the ends", ask("Thread inside the bar, at each end?"), within("0 mm", "300 mm"), good(atLeast(1, "rod_ends.engagement_needed")), made, critical, undoes(), reopens, parts),
			word("jam_nuts", []string{"tight", "loose", "none"}, "the worse of its jam nuts", ask("Jam nuts: tight, loose or none (the worse end)?"), short("How tight are its jam nuts?"), good(is("tight")), seen, round, remakes("engaged", "witness_blocked")),
			pair("jam_nut_hands", Field{Type: Enum, Enum: hands}, "hand of the jam nut at each end", ask("Jam nut at each end: right- or left-hand?"), good(same("rod_ends.hands")), made, undoes(), reopens),
			yes("witness_blocked", "a wire does not pass the witness holes", ask("Witness holes: wire stopped by the thread?"), good(is(true)), made, event("a wire that passes is written down when it is seen"), undoes(), reopens),
			yes("tagged", "a tag says that it is temporary", ask("Tagged as temporary?"), good(is(true)), seen, onlyFor(when("temporary", true))),
			measure("length", q.Length, "centre to centre as measured", ask("Length measured, centre to centre?"), within("10 mm", "8 m"), noGood("it is held against the drawing, not against a figure"), made, remakes("engaged", "witness_blocked", "jam_nuts")),
			measure("turns_planned", q.Number, "turns of the bar still to be wound out", ask("Turns still to be wound out?"), within("0", "200"), good(upTo("0", q.Number)), seen, event("turns are written down when they are planned"), remakes("engaged", "witness_blocked", "jam_nuts")),
			word("adapters", []string{"none", "tack", "part", "full"}, "how far the welds of its tube adapters are made", ask("End welds: none, tack, part or full?"), short("End welds?"), good(is("full")), good(is("none"), when("solid", true)), made, undoes(), reopens, parts),
			yes("retaining_washer", "a washer larger than the ball's housing keeps it on", ask("Retaining washer fitted, larger than the hole?"), good(is(true)), seen, round, undoes(), reopens),
			yes("bent", "bent or damaged", ask("Bent or damaged?"), good(is(false)), seen, round, undoes(), reopens),
			yes("mid_span_load", "something bears on it between its ends", ask("Does anything bear on it between its ends?"), good(is(false)), seen, round),
		),
	}},
	{Name: "fasteners", Item: "fastener", Doc: "bolts, nuts and pins that hold joints", Fields: []Field{
		holds(ask("Which joints or link ends does it fasten?")),
		place(ask("Which corner or place of the vehicle?")),
		fastens(),
		word("role", []string{"pivot", "clamp", "U-bolt", "steering mount", "track rod", "pinch bolt", "spring mount", "engine mount", "brake mount", "hub nut", "frame"}, "what it does; 'frame' is of the bolts that a bolted frame is put together with, or a subframe, front clip or body is held on it by; a steering mount holds the rack or box, 'track rod' is of a track rod or toe link; a spring mount holds a strut, damper or coil, and never a leaf, which holds its axle", ask("What does it do: pivot, clamp, pinch bolt, ...?"), short("What does it do?"),
			sort(Outboard, "pivot", "clamp", "U-bolt", "spring mount", "track rod", "pinch bolt", "hub nut", "brake mount"), sort(Spare, "spring mount", "track rod", "brake mount"), sort(Clamped, "clamp", "U-bolt", "engine mount", "pinch bolt", "brake mount", "hub nut", "frame"), sort(OfFrame, "frame"), sort(Gripping, "clamp", "pinch bolt")),
		thread("thread", "its thread as written on the box", ask("Thread, as on the box (M12x1.75, 1/2-20)?"), identity, vouched("fitted", "thread_read")),
		text("class", "property class or grade, such as \"10.9\" or \"grade 8\"", ask("Class or grade (10.9, grade 8)?"), identity),
		measure("length", q.Length, "length under the head; one of grade 2 is weaker above 6 in", ask("Length under the head?"), within("3 mm", "1 m"), identity, vouched("fitted", "")),
		preset(count("needed", "how many of them; 1 unless it says otherwise", own, ask("How many should there be?"), within("1", "500"), identity, unsaid("1")), int64(1)),
		counted(),
		measure("spread", q.Length, "distance between the outer ones of a group across its narrower side, or between the tabs of a lone hinge pin; it turns a moment into forces", ask("Distance between the outer bolts, narrow way?"), within("2 mm", "2 m")),
		count("shear_planes", "planes in which the joint shears it", ask("In how many planes is it sheared (1 or 2)?"), within("1", "2")),
		yes("thread_in_shear", "a shear plane passes through the thread", ask("Does the thread lie in a shear plane?")),
		measure("torque", q.Torque, "torque it is to have", ask("Torque asked for by its maker or table?"), within("0.5 N·m", "1500 N·m"), identity),
		word("surface", []string{"plain", "dry", "lubricated"}, "state of the thread, for the nut factor", ask("Thread: plain, dry or lubricated?"), short("State of the thread?"), identity),
		word("lock", locks, "how it is kept from turning back", ask("What locks it: split pin, lock nut, wire, ...?"), short("What locks it?"), identity),
		yes("turns", "the joint turns or works in this move or in service", ask("Does this joint turn or work?")),
		word("tapped_into", []string{"nothing", "steel", "aluminium", "cast iron"}, "material of the tapped hole; nothing when it has a nut", ask("Screwed into what: nothing (has a nut), steel, ...?"), short("Screwed into what?"), identity),
		measure("tapped_wall", q.Length, "wall of the casting round the tapped hole; iron is weaker where it is thick", ask("Wall of the casting round the tapped hole?"), within("2 mm", "40 mm"), identity),
		yes("stand_in", "not the final bolt: a stand-in until that arrives", ask("A temporary bolt?")),
		yes("critical", "suspension, steering or brake fastener", ask("Holds suspension, steering or brakes?")),
		measure("hole", q.Length, "diameter of the hole", ask("Hole diameter?"), within("2 mm", "120 mm")),
		yes("hollow_section", "it clamps through a hollow section", ask("Does it clamp through a hollow section?")),
		yes("crush_tube", "a crush tube lines the hollow section", ask("Crush tube in the hollow section?")),
		block("pin", "a plain clevis pin in place of a bolt, through an eye between the two plates of a fork; its lock keeps it",
			measure("diameter", q.Length, "its diameter", ask("Clevis pin: diameter?"), within("2 mm", "120 mm"), identity),
			measure("eye", q.Length, "thickness of the eye in the middle", ask("Clevis pin: thickness of the eye?"), within("1 mm", "300 mm"), identity),
			measure("gap", q.Length, "gap between the eye and one plate of the fork", ask("Clevis pin: gap between eye and fork, one side?"), within("0 mm", "50 mm"), identity),
			materials(ask("Clevis pin: material (11SMn30, C45, ...)?"), identity),
		),
		block("tab", "the bracket or tab it bears in",
			measure("thickness", q.Length, "thickness of one tab", ask("Tab: thickness of one?"), within("0.5 mm", "80 mm")),
			measure("edge", q.Length, "hole centre to edge along the load", ask("Tab: hole centre to edge, along the load?"), within("1 mm", "300 mm")),
			measure("width", q.Length, "width across the hole", ask("Tab: width across the hole?"), within("4 mm", "1 m")),
			materials(ask("Tab: material?")),
			yes("integral", "it is no bracket: cast, forged or machined in one with its part", ask("Tab: one piece with its part, not welded on?")),
			yes("cracked", "a crack was seen", ask("Tab: any crack?"), good(is(false)), event("a crack in a tab is written down when it is seen: the look at its weld is a look at the tab")),
			measure("bend_radius", q.Length, "inside radius of its bend", ask("Tab: inside radius of its bend?"), within("0 mm", "200 mm")),
		),
		found(
			yes("fitted", "it is there", ask("In place?"), good(is(true)), seen, remakes()),
			count("count", "how many of them are there", ask("How many are in place?"), good(atLeast(1, "needed")), seen, round, remakes()),
			tightness(ask("How tight: loose, finger, snug or torqued?"), short("How tight?"), good(is("torqued")), good(is("snug"), when("clamps_bonded_bush", true)), seen, remakes("marked", "mark_broken", "lock_fitted"), undoes("torqued")),
			measure("torqued", q.Torque, "torque reached, by wrench", ask("Torque reached, with a wrench?"), within("0 N·m", "1500 N·m"), good(atLeast(0.9, "torque"), atMost(1.5, "torque")), made, onlyFor(when("threaded", true)), critical, says("tightness", "torqued"), remakes("marked", "mark_broken", "lock_fitted")),
			yes("marked", "a witness mark is on it and unbroken", ask("Paint mark on it, unbroken?"), good(is(true)), seen, round, witness("tightness", "torqued")),
			yes("mark_broken", "the witness mark is broken", ask("Paint mark broken?"), good(is(false)), seen, event("a broken mark is written down when it is seen"), toldBy("marked"), undoes("tightness", "torqued", "marked", "lock_fitted")),
			measure("protruding", q.Length, "bolt past the nut", ask("How much bolt shows past the nut?"), within("0 mm", "500 mm"), noGood("two full threads past the nut are asked for; how much bolt that is depends on the nut"), seen),
			count("threads_past", "full threads past the nut", ask("Full threads showing past the nut?"), within("0", "100"), good(least(2)), seen, round, onlyFor(when("tapped_into", "nothing")), undoes("tightness", "torqued", "marked", "lock_fitted")),
			measure("engaged", q.Length, "thread engaged in the tapped hole", ask("Thread inside the tapped hole?"), within("0 mm", "300 mm"), good(atLeast(1, "thread.diameter"), when("tapped_into", "steel")), good(atLeast(1.5, "thread.diameter"), when("tapped_into", "cast iron")), good(atLeast(2, "thread.diameter")), made, onlyFor(when("tapped_into", "steel", "aluminium", "cast iron")), undoes("tightness", "torqued", "marked", "lock_fitted"), parts),
			text("class_mark", "class or grade read on the head; of a U-bolt on its maker's paper", ask("Class or grade read on the head?"), good(same("class")), made, undoes(), reopens),
			thread("thread_read", "thread of the bolt, gauged", ask("Bolt thread, gauged?"), good(same("thread")), made, event("nobody has to gauge it; a thread that does not mate counts"), undoes(), reopens, parts),
			thread("nut_thread", "thread of the nut, gauged", ask("Nut thread, gauged?"), good(same("thread")), made, onlyFor(when("tapped_into", "nothing")), event("nobody has to gauge it; a thread that does not mate counts"), undoes(), parts),
			yes("forced", "the nut or bolt had to be forced", ask("Did nut or bolt have to be forced?"), good(is(false)), made, event("force that was needed is written down"), undoes()),
			yes("lock_fitted", "the lock is on and works", ask("Lock on and working?"), good(is(true)), seen, round, critical, inTheNut, undoes("tightness", "torqued")),
			yes("lock_reused", "the lock nut or pin was used before, or welded near", ask("Lock used before, or welded near?"), good(is(false)), made, inTheNut, undoes("lock_fitted")),
			yes("hole_egged", "the hole is worn out of round", ask("Hole worn out of round?"), good(is(false)), seen, round, event("a worn hole is written down when it is seen"), undoes(), reopens),
			yes("in_groove", "the pinch bolt passes through its groove", ask("Pinch bolt through its groove?"), good(is(true)), made, onlyFor(when("role", "pinch bolt")), event("a bolt beside its groove is written down when it is seen"), undoes(), reopens, parts),
		),
	}},
	{Name: "stud_nuts", Also: "ball_joints", Item: "stud nut", Doc: "the nuts that hold tapered studs", Fields: []Field{
		holds(ask("Which ball joint does it fasten?")),
		several(ask("How many stud nuts should there be?")),
		counted(),
		place(ask("Which corner or place of the vehicle?")),
		fastens(),
		thread("thread", "thread of the stud", ask("Thread of the stud?"), identity),
		measure("torque", q.Torque, "torque it is to have, by the joint's maker", ask("Torque asked for by the joint's maker?"), within("0.5 N·m", "1500 N·m"), identity),
		measure("torque_max", q.Torque, "the most it may have to line up the pin", ask("Most torque allowed to line up the pin?"), within("0.5 N·m", "1500 N·m"), identity),
		word("lock", locks, "how it is kept from turning back", ask("What locks it: split pin, lock nut, wire, ...?"), short("What locks it?"), identity),
		yes("steering", "it belongs to the steering", ask("Part of the steering?")),
		found(
			yes("fitted", "the nut is on", ask("Stud nut in place?"), good(is(true)), seen, round, remakes()),
			tightness(ask("How tight: loose, finger, snug or torqued?"), short("How tight?"), good(is("torqued")), seen, remakes("marked", "mark_broken", "lock_fitted", "lined_up"), undoes("torqued")),
			measure("torqued", q.Torque, "torque reached, by wrench", ask("Torque reached, with a wrench?"), within("0 N·m", "1500 N·m"), good(atLeast(0.9, "torque"), atMost(1.5, "torque")), made, critical, says("tightness", "torqued"), remakes("marked", "mark_broken", "lock_fitted", "lined_up")),
			yes("lock_fitted", "the pin or lock is in and its legs are bent", ask("Split pin or lock in, legs bent?"), good(is(true)), seen, round, critical, inTheNut, undoes("tightness", "torqued")),
			word("lined_up", []string{"as torqued", "tightened on", "backed off"}, "how the slot was brought to the hole", ask("Slot lined up: as torqued, tightened on, backed off?"), short("How was the slot lined up?"), good(is("as torqued", "tightened on")), made, undoes("tightness", "torqued", "lock_fitted")),
			yes("stud_turns", "the stud turns with the nut", ask("Does the stud turn with the nut?"), good(is(false)), made, undoes(), reopens),
			yes("seated", "the taper sits home: no step or gap, pin hole level with the slots", ask("Taper fully home, pin hole level with the slots?"), good(is(true)), made, undoes(), reopens),
			yes("large_end_right", "the large end of the taper faces the joint", ask("Hole reamed from the right side?"), good(is(true)), made, undoes(), reopens),
			yes("body_held", "the joint body is held in its arm, flat and with its ring", ask("Joint body seated flat and secured in its arm?"), good(is(true)), seen, round, undoes(), reopens, parts),
			yes("marked", "a witness mark is on it and unbroken", ask("Paint mark on it, unbroken?"), good(is(true)), seen, round, witness("tightness", "torqued")),
			yes("mark_broken", "the witness mark is broken", ask("Paint mark broken?"), good(is(false)), seen, event("a broken mark is written down when it is seen"), toldBy("marked"), undoes("tightness", "torqued", "marked", "lock_fitted", "lined_up")),
		),
	}},
	{Name: "spacers", Item: "spacer set", Doc: "spacers and sleeves that fill a bracket's gap", Fields: []Field{
		holds(ask("Which joint do they sit in?")),
		place(ask("Which corner or place of the vehicle?")),
		fastens(),
		count("needed", "how many", own, ask("How many spacers should there be?"), within("1", "50"), identity),
		block("stack", "does it fill the gap?",
			measure("bracket_gap", q.Length, "clear width between the tabs", ask("Clear width between the tabs?"), within("2 mm", "1 m"), identity),
			measure("ball_width", q.Length, "width of the ball or sleeve", ask("Width of the ball or sleeve?"), within("2 mm", "500 mm"), identity),
			measure("each", q.Length, "height of one spacer", ask("Height of one spacer?"), within("0.05 mm", "500 mm"), identity),
		),
		block("bore", "does it fit across?",
			measure("bearing", q.Length, "bore of the bearing", ask("Bore of the bearing?"), within("2 mm", "120 mm"), identity),
			measure("spacer_outside", q.Length, "outside diameter of the spacer's spigot or sleeve", ask("Spacer: outside diameter where it fits the bore?"), within("2 mm", "120 mm"), identity),
			measure("spacer_inside", q.Length, "bore of the spacer or sleeve", ask("Spacer: bore?"), within("2 mm", "120 mm"), identity),
			measure("bolt", q.Length, "diameter of the bolt", ask("Bolt diameter?"), within("2 mm", "120 mm"), identity),
		),
		found(
			count("fitted", "how many are in", ask("How many spacers are in?"), good(atLeast(1, "needed")), seen, round, remakes(), undoes(), reopens),
			measure("gap_left", q.Length, "gap left with the bolt loose, by feeler", ask("Gap left, bolt loose, by feeler gauge?"), within("0 mm", "200 mm"), good(upTo("0.1 mm", q.Length)), made, event("nobody has to measure it; a gap counts"), undoes(), reopens),
			yes("tabs_drawn_in", "the tabs are visibly drawn together", ask("Tabs pulled together by the bolt?"), good(is(false)), made, event("tabs that are pulled in are written down when it is seen"), undoes(), reopens),
		),
	}},
	{Name: "welds", Item: "weld", Doc: "welds that hold joints, or hold the frame together", Fields: []Field{
		holds(ask("Which joints or link ends does it fasten?")),
		several(ask("How many welds should there be?")),
		counted(),
		place(ask("Which corner or place of the vehicle?")),
		fastens(),
		word("role", []string{"bracket", "spring mount", "track rod", "frame node", "perch", "adapter", "support point", "mount"}, "what it joins; a spring mount and a track rod are brackets that hold no more than that: a strut, damper or coil, never a leaf, which holds its axle; a frame node carries whenever the frame does", ask("What does it join: bracket, frame node, perch, ...?"), short("What does it join?"),
			sort(Bracket, "bracket", "spring mount", "track rod"), sort(Outboard, "bracket", "spring mount", "track rod", "perch", "adapter"), sort(OfFrame, "frame node"), sort(Spare, "spring mount", "track rod")),
		yes("locates", "it keeps a link that locates a wheel: toe, track or lateral", ask("On a link that sets toe, track or lateral place?")),
		block("fillet", "the fillet as drawn",
			measure("leg", q.Length, "leg", ask("Drawn: leg length?"), within("0.5 mm", "40 mm"), identity, vouched("made", "leg")),
			measure("length", q.Length, "total length as drawn", ask("Drawn: total weld length?"), within("2 mm", "20 m"), identity, vouched("made", "made_length")),
			text("filler", "filler by its designation, such as ER70S-6", ask("Filler (ER70S-6, ...)?"), identity),
			count("sides", "sides welded as drawn", ask("Drawn: how many sides welded?"), within("1", "4"), identity, vouched("made", "sides")),
			word("layout", []string{"one line", "two lines", "rectangle", "circle"}, "the lines it is made of", ask("Drawn: one line, two lines, rectangle or circle?"), short("Drawn: layout of the weld lines?"), identity, vouched("made", "")),
			measure("width", q.Length, "distance between two lines, or short side of a rectangle", ask("Drawn: distance between the two lines?"), within("1 mm", "5 m"), identity, vouched("made", "")),
			vector("along", "direction of the lines", ask("Drawn: which way do the lines run?")),
			vector("normal", "direction at right angles to the face that the weld lies on", ask("Drawn: which way does the welded face look?")),
			point("centre", "middle of the weld group", own, ask("Drawn: middle of the weld, x, y, z?")),
		),
		Field{Name: "base", Type: Object, Shorthand: "plate", Doc: "the thinner of the two pieces, such as '4 mm S355 plate'", Fields: []Field{
			measure("thickness", q.Length, "its thickness", ask("Thinner piece: thickness?"), within("0.4 mm", "80 mm"), identity),
			materials(ask("Thinner piece: material?"), identity),
		}},
		word("parent", []string{"mild steel", "alloy tube", "stainless", "aluminium", "cast", "forged", "heat-treated", "plated", "spring steel"}, "what the pieces are made of", ask("What is it welded on: mild steel, cast, ...?"), short("What is it welded on?"), identity),
		yes("bears_by_contact", "the load passes by contact; the weld only places the piece", ask("Does the load pass by contact, not by the weld?")),
		text("waits_for", "what must be known before it is finished", own, ask("What is it waiting for?")),
		found(
			word("made", []string{"none", "tack", "part", "full"}, "how far it is made", ask("How far welded: none, tack, part or full?"), short("How far welded?"), good(is("full")), made, critical, remakes("inspected", "cold", "crack", "undercut", "leg", "toes", "tacks", "tack_length", "made_length", "sides", "surface", "dressed")),
			count("tacks", "number of tacks", ask("How many tacks?"), noGood("tacks are judged by how far the weld is made"), made, says("made", "tack")),
			measure("tack_length", q.Length, "length of one tack", ask("Length of one tack?"), within("1 mm", "200 mm"), noGood("tacks are judged by how far the weld is made"), made, says("made", "tack")),
			measure("made_length", q.Length, "length made so far", ask("Length welded so far?"), within("0 mm", "20 m"), good(atLeast(1, "fillet.length")), made, remakes("inspected", "cold", "crack", "undercut", "leg", "toes")),
			count("sides", "sides made", ask("Sides welded so far?"), good(atLeast(1, "fillet.sides")), made, remakes("inspected", "cold", "crack", "undercut", "leg", "toes")),
			yes("inspected", "looked at, clean and with a light", ask("Inspected: clean and with a light?"), good(is(true)), made),
			yes("cold", "it was cold when it was looked at", ask("Was it cold when inspected?"), good(is(true)), made, undoes("inspected", "crack")),
			yes("crack", "a crack was seen, in a tack too or in the tab that it holds", ask("Any crack: weld, tack or tab?"), good(is(false)), seen, round, undoes()),
			measure("undercut", q.Length, "depth of undercut", ask("Depth of undercut?"), within("0 mm", "20 mm"), good(upTo("1 mm", q.Length)), made, undoes("inspected", "cold", "crack", "leg", "toes")),
			measure("leg", q.Length, "leg as measured", ask("Leg length measured?"), within("0 mm", "40 mm"), good(atLeast(1, "fillet.leg")), made, undoes("inspected", "cold", "crack", "undercut", "toes")),
			word("toes", []string{"wetted in", "rolled over"}, "how the toes run out", ask("Toes: wetted in or rolled over?"), short("Weld toes?"), good(is("wetted in")), made, undoes("inspected", "cold", "crack", "undercut", "leg")),
			word("surface", []string{"bright", "scale", "painted", "zinc", "rust"}, "surface before welding", ask("Surface before welding: bright, scale, paint, ...?"), short("Surface before welding?"), good(is("bright")), made, undoes()),
			yes("dressed", "ground flush", ask("Ground flush?"), good(is(false)), made, event("grinding flush is written down when it is done"), remakes("inspected", "cold", "crack", "undercut", "leg", "toes")),
		),
	}},
	{Name: "wheels", Item: "wheel", Doc: "wheels, their nuts and hubs", Fields: []Field{
		holds(ask("Which joint does it fasten?")),
		place(ask("Which corner or place of the vehicle?")),
		fastens(),
		ref("on", "the part it is bolted to", of("parts"), own, ask("Which part is it bolted to?")),
		count("nuts", "how many nuts or bolts it has", ask("How many nuts or bolts should it have?"), within("1", "20"), identity),
		measure("torque", q.Torque, "torque of each", ask("Torque asked for, each nut?"), within("5 N·m", "1500 N·m"), identity),
		measure("hub_torque", q.Torque, "torque of the hub nut, by its maker", ask("Hub nut: torque asked for by its maker?"), within("5 N·m", "1500 N·m"), identity),
		thread("stud", "thread of the studs", ask("Thread of the studs or bolts?"), identity),
		word("seat", []string{"cone", "ball", "flat"}, "seat of the wheel", ask("Seat of the wheel: cone, ball or flat?"), short("Seat of the wheel?"), identity),
		yes("shaft_clamps_bearing", "the drive shaft and its nut hold the bearing together", ask("Does the drive shaft clamp the bearing together?")),
		found(
			count("nuts", "how many are on", ask("How many nuts are on?"), good(atLeast(1, "nuts")), seen, round, remakes()),
			tightness(ask("How tight: loose, finger, snug or torqued?"), short("How tight?"), good(is("torqued")), seen, undoes("torqued")),
			measure("torqued", q.Torque, "torque reached, by wrench", ask("Torque reached, with a wrench?"), within("0 N·m", "1500 N·m"), good(atLeast(0.9, "torque"), atMost(1.5, "torque")), made, says("tightness", "torqued")),
			measure("turns", q.Number, "turns from the first thread to the seat", ask("Turns from first thread to seat?"), within("0", "40"), good(per("stud.pitch", "stud.diameter")), made, undoes("nuts", "tightness", "torqued", "seats_match")),
			yes("seats_match", "nut and wheel have the same seat", ask("Nuts and wheel with the same seat?"), good(is(true)), made, undoes("nuts", "tightness", "torqued", "turns")),
			yes("shaft_in", "the drive shaft or a stub is in", ask("Drive shaft or stub in?"), good(is(true)), seen, round, onlyFor(when("shaft_clamps_bearing", true)), undoes("hub_nut", "hub_torqued"), parts),
			measure("hub_torqued", q.Torque, "torque reached on the hub nut", ask("Hub nut: torque reached?"), within("0 N·m", "1500 N·m"), good(atLeast(0.9, "hub_torque"), atMost(1.5, "hub_torque")), made, event("nobody has to know it where the hub nut is on and locked; too little or far too much counts"), undoes("hub_nut")),
			yes("hub_nut", "the hub nut is on, torqued or set to its end float as its maker says, and locked", ask("Hub nut on, set to its maker's figure, locked?"), good(is(true)), seen, round, undoes(), reopens, parts),
			yes("clear", "it touches nothing at rest and on lock", ask("Clear of everything, straight and on lock?"), good(is(true)), seen, round),
			with(Field{Name: "toe", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "toe angle by string; in is positive"}, []column{ask("Toe angle by string (toe-in is +)?"), within("-45 deg", "45 deg"), good(from("-1 deg", q.Angle), upTo("1 deg", q.Angle)), made}),
		),
	}},
	{Name: "springs", Item: "spring", Doc: "springs that store energy or carry the vehicle", Fields: []Field{
		holds(ask("Which joints or link ends does it carry?")),
		place(ask("Which corner or place of the vehicle?")),
		word("kind", []string{"coil-over", "coil", "leaf", "torsion bar"}, "what it is: a coil over its damper, a coil between seats of its own, which only pushes, a leaf or a torsion bar, which holds a bearing of its arm and the face by which the socket of its far end is joined to its part; the link that it holds is then no bar and has no column", ask("Coil-over, coil, leaf or torsion bar?"), short("What kind of spring?"), identity),
		measure("rate", q.Rate, "force for each length that it is pressed together", ask("Spring rate, from its maker?"), within("0.5 N/mm", "5000 N/mm"), identity),
		measure("free_length", q.Length, "length of the coil by itself, without load", ask("Length of the coil by itself, without load?"), within("30 mm", "1.5 m"), identity),
		measure("solid_length", q.Length, "length at which its coils touch", ask("Length when its coils touch?"), within("10 mm", "1 m"), identity),
		measure("rated", q.Load, "most load by its maker; of a coil what shuts it, where nothing is written", ask("Most load, by its maker?"), within("10 kg", "20 t"), identity),
		measure("rated_torque", q.Torque, "most torque of a torsion bar, by its maker", ask("Torsion bar: most torque, by its maker?"), within("20 N·m", "20 kN·m"), identity),
		yes("integral", "of a torsion bar: the socket of its far end is one piece with the frame or with the beam of a production vehicle, not welded or bolted on", ask("Torsion bar: socket of its far end one piece with its part?"), identity),
		measure("open_length", q.Length, "between the centres of its ends at full droop: its damper fully out, or held by its strap", ask("Centre to centre at full droop?"), within("50 mm", "2 m"), identity),
		measure("closed_length", q.Length, "between the centres of its ends where its bump stop or closed damper is met", ask("Centre to centre where the bump stop is met?"), within("30 mm", "2 m"), identity),
		measure("collar_pitch", q.Length, "by how much one turn of its collar moves its seat", ask("How far does a turn of its collar move the seat?"), within("0.5 mm", "10 mm"), identity),
		found(
			yes("fitted", "it is in", ask("Spring in place?"), good(is(true)), seen, round, remakes(), comesOff),
			measure("seats", q.Length, "how much longer it is between the centres of its ends than its coil is, with the collar as it is", ask("How much longer is it, centre to centre, than its coil?"), within("0 mm", "1 m"), noGood("it is set for a ride height"), made, remakes("seated")),
			hangsFree(),
			yes("seated", "it stays seated at both ends through the whole travel", ask("Seated at both ends, even at full droop?"), good(is(true)), seen, round, undoes()),
			word("kept_by", []string{"its damper", "captive plates", "a strap", "a tack", "nothing"}, "what holds it and its preload", ask("What keeps it in: damper, plates, strap, nothing?"), short("What keeps it in?"), good(is("its damper", "captive plates", "a strap")), seen, round),
			tightness(ask("Mounting bolts: loose, finger, snug or torqued?"), short("How tight are its mounting bolts?"), good(is("torqued")), seen, round, critical),
		),
	}},
	{Name: "brakes", Item: "brake", Doc: "brakes by wheel", Fields: []Field{
		place(ask("Which corner or place of the vehicle?")),
		ref("on", "the part it is bolted to", of("parts"), own, ask("Which part is it bolted to?")),
		found(
			yes("fitted", "it is on", ask("Brake in place?"), noGood("a brake may be off; one that is there is tight or tied up"), seen, remakes()),
			tightness(ask("Mounting bolts: loose, finger, snug or torqued?"), short("How tight are its mounting bolts?"), good(is("torqued")), good(when("found.tied", true)), seen, round),
			yes("tied", "what is not bolted is tied up, no weight on the hose", ask("Tied up, no weight on the hose?"), good(is(true)), good(when("found.tightness", "torqued")), seen, round, last),
			yes("holds", "it holds the wheel when tried", ask("Tried: does it hold the wheel?"), good(is(true)), seen, round),
		),
	}},
	{Name: "supports", Item: "support", Doc: "what the vehicle rests on", Fields: []Field{
		needed(word("kind", []string{"stand", "crib", "trestle", "hoist pad", "jack", "dolly", "table", "wheel", "crane"}, "what it is", ask("What is it: stand, crib, jack, hoist pad, ...?"), short("What is it?"), identity)),
		several(ask("How many of them are there?")),
		counted(),
		ref("under", "the part it bears on", of("parts"), own, ask("Which part is it under?")),
		point("at", "where it bears", own, ask("Where does it bear: x, y, z?")),
		place(ask("Which corner or place of the vehicle?")),
		word("bears_on", []string{"frame node", "lifting point", "axle", "arm", "upright", "tyre", "round tube", "sheet", "pan", "overhang", "moving arm"}, "what it touches; a moving arm is one that tilts, a fork, a ram: what holds it still may let go", ask("What does it touch: frame node, axle, sheet, ...?"), short("What does it touch?")),
		measure("rated", q.Load, "rated load by its plate", ask("Rated load, from its plate?"), within("20 kg", "25 t"), identity),
		word("rated_per", []string{"each", "pair"}, "whether the plate counts one or two of them", ask("Is that rating for each, or for a pair?"), identity),
		measure("height", q.Length, "height it is set to", ask("Height it is set to?"), within("10 mm", "3 m"), band),
		measure("base", q.Length, "width across the feet of a stand or trestle", ask("Width across its feet?"), within("100 mm", "2 m"), identity),
		count("feet", "how many feet a stand has; three tip sooner than four", ask("How many feet has it?"), within("3", "4"), identity),
		word("along", []string{"x", "y", "none"}, "the way a trolley jack or a table rolls: x along the vehicle, y across it; none of one that stands on its base or feet", ask("Rolls along x, across (y), or none?"), short("Which way can it roll?")),
		measure("block_length", q.Length, "length of the blocks of a crib", ask("Crib: length of its blocks?"), within("50 mm", "4 m")),
		measure("closed_height", q.Length, "lowest height of a jack", ask("Jack: lowest height?"), within("10 mm", "2 m")),
		measure("clearance_after", q.Length, "height left for a jack once the vehicle is down", ask("Room left for the jack once it is down?"), within("0 mm", "1 m")),
		ref("wheel", "the wheel it is", of("wheels"), own, ask("Which wheel is it?")),
		ref("dolly", "the dolly it belongs to; of a table on its feet, without castors, write along: none instead", of("dollies"), ask("Which dolly is it part of? (on feet: along: none)")),
		ref("hoist", "the hoist it belongs to", of("hoists"), ask("Which hoist is it part of?")),
		found(
			yes("locked", "pawl or pin fully home; arm lock in", ask("Pawl or pin fully home, arm lock in?"), good(is(true)), setting, round, critical, onlyFor(when("kind", "stand", "hoist pad"))),
			yes("own_pin", "the pin is the maker's own", ask("Locked by the maker's own pin or pawl?"), good(is(true)), seen, onlyFor(when("kind", "stand")), undoes("locked")),
			word("floor", []string{"concrete", "steel plate", "timber", "paving", "asphalt", "gravel", "earth"}, "what it stands on", ask("What does it stand on: concrete, asphalt, ...?"), short("What does it stand on?"), good(is("concrete", "steel plate")), setting, onlyFor(onFloor)),
			yes("level", "it stands upright and level, all feet down", ask("Upright, all feet down?"), good(is(true)), setting, round, onlyFor(onFeet)),
			word("condition", []string{"good", "bent", "cracked", "repaired", "worn", "recalled"}, "state of the support", ask("Condition: good, bent, cracked, repaired, worn?"), short("Condition?"), good(is("good")), seen, round, undoes("locked", "own_pin", "level", "stacked", "contact", "oily", "padded", "examined")),
			yes("stacked", "something lies under its foot, or more than one thin pad on its saddle", ask("Anything under its foot or stacked on top?"), good(is(false)), setting),
			yes("contact", "it touches with its whole saddle or pad", ask("Touching with its whole saddle or pad?"), good(is(true)), setting, round, onlyFor(withSaddle)),
			yes("oily", "oil or grease lies between its saddle and the part", ask("Oil or grease between saddle and part?"), good(is(false)), setting, onlyFor(withSaddle), event("oil on a saddle is written down when it is seen")),
			yes("padded", "a pad or block keeps the saddle from slipping", ask("Pad or cradle so that it cannot slip?"), good(is(true)), setting, round, onlyFor(withSaddle)),
			word("stack", []string{"criss-cross", "column", "bricks", "logs", "wheels"}, "how a crib is built", ask("Crib built: criss-cross, column, bricks, ...?"), short("How is the crib built?"), good(is("criss-cross")), setting, onlyFor(when("kind", "crib"))),
			yes("grain_flat", "the grain of a crib's blocks lies flat", ask("Crib: grain of the blocks lying flat?"), good(is(true)), setting, onlyFor(when("kind", "crib"))),
			yes("leaks", "a jack leaks or creeps", ask("Jack: does it leak or creep?"), good(is(false)), setting, onlyFor(when("kind", "jack")), event("a jack that leaks is written down when it is seen")),
			yes("rolls_free", "a trolley jack can roll along its whole path", ask("Jack: can it roll along its whole path?"), good(is(true)), setting, onlyFor(when("kind", "jack"), when("along", "x", "y"))),
			measure("scale", q.Load, "what the scale under the wheel reads", ask("What does the scale under the wheel read?"), within("0 kg", "20 t"), noGood("it is held against the masses of the file"), setting, onlyFor(when("kind", "wheel")), event("nobody has to weigh it; a weight that the masses do not give counts")),
			yes("chocked", "the wheel is chocked on both sides", ask("Wheel chocked on both sides?"), good(is(true)), setting, onlyFor(when("kind", "wheel")), notWhile("roll")),
			lastExamined(onlyFor(when("kind", "stand", "trestle", "jack"))),
		),
	}},
	{Name: "hoists", Item: "hoist", Doc: "vehicle hoists", Fields: []Field{
		measure("rated", q.Load, "rated load by its plate", ask("Rated load, from its plate?"), within("200 kg", "40 t"), identity),
		measure("arm_rated", q.Load, "rated load of one arm", ask("Rated load of one arm, from its plate?"), within("50 kg", "20 t"), identity),
		found(
			yes("arm_locks", "every arm's lock engages", ask("Every arm lock engaged?"), good(is(true)), setting, round, critical),
			yes("locks_down", "the mechanical locks are down before anyone goes under", ask("Resting on its mechanical locks?"), good(is(true)), setting, round, critical),
			date("examined", "day of its last examination", ask("Date of its last examination?"), noGood("how long an examination counts is set by law and maker"), made),
		),
	}},
	{Name: "dollies", Item: "dolly", Doc: "build tables and dollies on castors", Fields: []Field{
		count("castors", "how many castors", ask("How many castors?"), within("3", "16"), identity),
		measure("castor_rated", q.Load, "rating of one castor", ask("Rating of one castor?"), within("5 kg", "10 t"), identity),
		measure("mass", q.Mass, "its own mass", ask("Mass of the table or dolly?"), within("0 kg", "10 t"), band, weighs),
		list("castors_at", Field{Type: Point}, "where the castors stand", own, ask("Where do the castors stand: x, y, z?")),
		point("cg", "its own centre of gravity", own, ask("Where is its own centre of gravity?"), weighs),
		found(
			count("ties_left", "clamps, pins and tacks still holding the vehicle to it", ask("Clamps, pins and tacks still tying it down?"), good(is(0)), setting),
			yes("held", "braked or chocked so that it cannot roll away", ask("Braked or chocked so that it cannot roll?"), good(is(true)), setting, round),
			yes("strapped", "the vehicle is strapped or pinned to it", ask("Vehicle strapped or pinned to it?"), noGood("what is rolled on it is strapped down, and what is lifted off it is not"), setting, round),
		),
	}},
	{Name: "cranes", Item: "crane", Doc: "engine cranes and slings", Fields: []Field{
		measure("rated", q.Load, "rating at the reach in use", ask("Rating at the reach in use?"), within("20 kg", "25 t"), identity),
		ref("lifts", "the part it lifts", of("parts"), ask("Which part does it lift?")),
		block("sling", "how the load hangs in its hook",
			count("legs", "how many legs, 1 to 4", ask("Sling: how many legs?"), within("1", "4"), identity),
			measure("rated", q.Load, "rated load of one leg, straight, by its label", ask("Sling: rated load of one straight leg, by its label?"), within("20 kg", "25 t"), identity),
			measure("angle", q.Angle, "angle of the flattest leg from the plumb line", ask("Sling: angle of its flattest leg from the plumb line?"), within("0 deg", "90 deg")),
			yes("choked", "a leg is looped through itself round the load", ask("Sling: looped through itself round the load?")),
		),
		found(
			yes("legs_locked", "legs out and locked", ask("Legs out and locked?"), good(is(true)), setting, round),
			yes("slings_rated", "slings, shackles and eyes carry a rating and are sound", ask("Slings, shackles, eyes: rated and sound?"), good(is(true)), seen, round),
			yes("eye_sound", "the eye or tube it lifts on is fully welded or bolted", ask("Lifting eye fully welded or bolted?"), good(is(true)), seen, round),
			lastExamined(),
		),
	}},
	{Name: "restraints", Item: "restraint", Doc: "straps and blocks that hold hanging parts to others", Fields: []Field{
		needed(refs("ties", "the parts it holds", of("parts"), own, ask("Which parts does it tie up?"))),
		needed(ref("to", "what they are held to", of("parts"), own, ask("What are they tied to?"))),
		point("at", "where it is attached to what it holds", own, ask("Where is it attached to the part: x, y, z?")),
		point("to_at", "where it is attached to what they are held to", own, ask("Where is its other end: x, y, z?")),
		several(ask("How many of them are there?")),
		counted(),
		place(ask("Which corner or place of the vehicle?")),
		word("kind", []string{"ratchet strap", "strap", "block", "wire", "chain", "rope", "droop strap", "stop"}, "what it is; a droop strap and a stop belong to the vehicle: what hangs rests in one or against the other, along the line from to_at to at", ask("What is it: ratchet strap, chain, block, stop, ...?"), short("What is it?"), identity),
		measure("rated", q.Load, "rated load by its label", ask("Rated load, from its label?"), within("10 kg", "20 t"), identity),
		measure("mass", q.Mass, "mass that hangs on each of them, where it ties up a place whose parts have no mass", ask("Mass that hangs on each of them?"), within("1 kg", "2 t"), band, second, share),
		found(
			yes("fitted", "it is on and tight", ask("On and tight?"), good(is(true)), setting, round, remakes()),
			yes("sound", "no cut, kink or damage", ask("Sound: no cut, kink or damage?"), good(is(true)), seen, round, undoes("fitted")),
			yes("each_piece", "where it ties up a place of a checklist: each arm, strut and upright that hangs there has a strap round it, or is bolted to one that has", ask("Each arm, strut, upright: in a strap, or bolted to one?"), noGood("where enough joins them a strap of its own for each is needless"), setting),
			measure("length", q.Length, "of a droop strap, between its two ends, pulled taut", ask("Droop strap: length pulled taut, end to end?"), within("10 mm", "3 m"), noGood("it is held against the drawing, not against a figure"), made, onlyFor(when("kind", "droop strap"))),
		),
	}},
	{Name: "moves", Item: "move", Doc: "transfers of weight", Fields: []Field{
		needed(word("kind", []string{"lower", "lift", "rest", "roll"}, "what is done: lowered, lifted, left standing, rolled", ask("What is done: lower, lift, rest or roll?"), short("What is done?"))),
		text("title", "the move in a few words", ask("The move in a few words?")),
		{Name: "steps", Type: List, Need: true, Doc: "the steps in order", Elem: &Field{Type: Object, Fields: []Field{
			needed(text("name", "the step in a few words", ask("The step in a few words?"))),
			needed(refs("supports", "what the vehicle rests on", of("supports"), ask("What does the vehicle rest on?"))),
			refs("restraints", "what ties hanging parts up", of("restraints"), ask("What ties up the hanging parts?")),
			refs("off", "parts that are off the vehicle in this step", of("parts"), ask("Which parts are off the vehicle?")),
			with(Field{Name: "pitch", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "nose-up angle while it stands so"}, []column{ask("Nose-up angle in this step?"), within("-45 deg", "45 deg")}),
			with(Field{Name: "roll", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "left-side-up angle while it stands so"}, []column{ask("Left-side-up angle in this step?"), within("-45 deg", "45 deg")}),
			measure("stage", q.Length, "height gained or lost in one go", ask("Height raised or lowered in one go?"), within("0 mm", "3 m")),
			count("people", "people needed at one time", ask("People needed at one time in this step?"), within("1", "50")),
			text("watch", "what to look at", ask("What should people watch?")),
			block("found", "what a level laid on the frame both ways said while it stood so; it counts on its day, in place of heights and slope",
				with(Field{Name: "pitch", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "nose-up angle as read, within 0.3°"}, []column{ask("Nose-up angle by a level on the frame?"), within("-45 deg", "45 deg")}),
				with(Field{Name: "roll", Type: Quantity, Dim: q.Angle, Signed: true, Doc: "left-side-up angle as read, within 0.3°"}, []column{ask("Left-side-up angle by a level on the frame?"), within("-45 deg", "45 deg")}),
				date("on", "the day it was read", also("day"), ask("Date it was read?")),
				text("by", "who read it", ask("Who read it?")),
			),
		}}},
		refs("restraints", "what ties hanging parts up in every step that does not say otherwise", of("restraints"), second, ask("What ties up the hanging parts?")),
		refs("off", "parts that are off the vehicle in every step that does not say otherwise", of("parts"), second, ask("Which parts are off the vehicle?")),
		measure("stage", q.Length, "height gained or lost in one go in every step that does not say otherwise", within("0 mm", "3 m"), second, ask("Height raised or lowered in one go?")),
		count("people_needed", "people needed at one time", ask("People needed at one time?"), within("1", "50")),
		yes("people_under", "someone works under the vehicle afterwards", ask("Will anyone work under it afterwards?")),
		yes("hard_pull", "somebody pulls hard on a bar or spanner, or hammers at it, while it stands so", ask("Hard pulls on a bar, or blows, while it stands?")),
		measure("bar", q.Length, "longest bar or spanner that somebody pulls on while it stands so; 600 mm (2 ft) unless it says otherwise, none where nobody pulls hard", ask("Longest bar or spanner used on it?"), within("100 mm", "2 m")),
		yes("loosens", "something that carries is slackened or taken off while it stands so", ask("Anything that carries slackened while it stands?")),
		yes("first_time", "the first such move since anything changed", ask("First such move since anything changed?")),
		measure("stop_at", q.Length, "height of the stop to look again", ask("Height of the stop to check again?"), within("5 mm", "2 m")),
		yes("hand_push", "rolled slowly by hand on a smooth floor, and no further", ask("Only a slow push by hand on a smooth floor?")),
		yes("by_hand", "the vehicle is lifted by people", ask("Do people lift the vehicle?")),
		measure("lifted_mass", q.Mass, "mass at the end that people lift", ask("Mass at the end that people lift?"), within("0 kg", "10 t"), share),
		found(
			yes("area_clear", "nobody under, inside or in the fall line, and it stays so", ask("Nobody under it, in it or where it could fall?"), good(is(true)), moment, round),
			count("people", "people there", ask("People here?"), good(atLeast(1, "people_needed")), moment, round),
			text("in_charge", "the one person who gives the word", ask("Who gives the word?"), noGood("a name"), moment, round),
			yes("stop_word", "everyone knows the stop word", ask("Does everyone know the stop word?"), good(is(true)), moment, round),
			yes("phone", "someone within call, or a phone and someone who expects you", ask("Someone within call, or expecting your call?"), good(is(true)), moment),
			yes("chocked", "every wheel that stays on the floor is chocked both sides", ask("Wheels on the floor chocked both sides, or none on it?"), good(is(true)), setting, round, notWhile("roll")),
			yes("way_back", "the old supports stay at hand and each stage can be undone", ask("Can each stage be undone, old supports at hand?"), good(is(true)), moment),
			yes("catch", "cribs or wheels lie within 50 mm below", ask("Cribs or spare wheels within 50 mm (2 in) below?"), good(is(true)), setting),
			yes("stop_means", "a working brake, a chock carried at a wheel, or a rope round a post", ask("Means to stop: brake, chock man or rope on post?"), good(is(true)), moment),
			yes("order_read", "the order was read aloud", ask("Steps read aloud to everyone?"), good(is(true)), moment),
			yes("strapped_on_frame", "straps pull the frame down on rigid bars", ask("Straps pulling the frame down onto rigid bars?"), good(is(false)), setting, event("a strap that pulls the frame down is written down when it is seen")),
		),
	}},
	{Name: "mirror", Item: "mirror entry", Listed: true, Doc: "copies the design of one side to the other, never what was found", Fields: []Field{
		needed(text("from", "prefix of the ids to copy", ask("Ids to copy begin with?"))),
		needed(text("to", "prefix of the ids to make", ask("New ids begin with?"))),
		needed(word("across", []string{"x", "y", "z"}, "the coordinate that changes its sign", ask("Which coordinate changes sign: x, y or z?"), short("Which coordinate changes sign?"))),
	}},
	{Name: "waivers", Item: "waiver", Listed: true, Doc: "stops that somebody answers for", Fields: []Field{
		needed(text("rule", "id of the rule", ask("Which rule?"))),
		needed(text("item", "id of the item, or of the move for rules about a move", ask("Which item (or move)?"))),
		ref("move", "the move it is for; all when absent", of("moves"), ask("For which move? (all, if left out)")),
		needed(text("reason", "why it may be let pass", ask("Why may it pass?"))),
		needed(text("by", "who answers for it", ask("Who answers for it?"))),
		needed(date("until", "the last day it counts", ask("Last day it counts?"))),
	}},
}

// Orders is the heading of the second format for what is still to come. It holds
// no facts of the vehicle.
var Orders = &Kind{Name: "orders", Item: "order", Doc: "parts that are ordered, and which of them came", Fields: []Field{
	text("what", "what was ordered", ask("What was ordered?")),
	list("for", Field{Type: Text}, "the items that wait for it", ask("Which items wait for it?")),
	count("ordered", "how many were ordered", ask("How many were ordered?"), within("1", "1000")),
	date("expected", "the day before which nobody expects it", ask("Not before which day?")),
	count("arrived", "how many came", ask("How many came?")),
	yes("checked", "what came is what was ordered: right thread, right taper", ask("Right thread, right taper?")),
}}
