package plain

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// Fixed prints a figure with so many places, and no minus before a zero.
func Fixed(v float64, places int) string {
	text := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// Optional prints a figure that may not be there.
func Optional(v *float64, places int) string {
	if v == nil {
		return "-"
	}
	return Fixed(*v, places)
}

// TravelHeads are the heads of a table of travel, TravelCells the cells of a row.
var TravelHeads = []string{"travel", "toe", "±", "camber", "±", "track/2", "back", "caster", "incl", "ratio"}

// TravelCells prints a table of travel.
func (u Figures) TravelCells(rows []verdict.TravelRow) [][]string {
	var cells [][]string
	for _, r := range rows {
		cells = append(cells, []string{
			u.Cell(&r.Travel, "mm", 0), Fixed(r.Toe, 2), Fixed(r.ToeBand, 2), Fixed(r.Camber, 2), Fixed(r.CamberBand, 2),
			u.Cell(&r.HalfTrack, "mm", 1), u.Cell(&r.Recession, "mm", 1), Optional(r.Caster, 1), Optional(r.Inclination, 1), Optional(r.MotionRatio, 3),
		})
	}
	return cells
}

// EndHeads are the heads of a table of the ends of travel, EndCells its cells.
var EndHeads = []string{"travel", "toe", "±", "camber", "±", "caster"}

// EndCells prints where travel begins and ends.
func (u Figures) EndCells(rows []verdict.TravelRow) [][]string {
	var cells [][]string
	for _, r := range ends(rows) {
		cells = append(cells, []string{u.Cell(&r.Travel, "mm", 0), Fixed(r.Toe, 2), Fixed(r.ToeBand, 2), Fixed(r.Camber, 2), Fixed(r.CamberBand, 2), Optional(r.Caster, 1)})
	}
	return cells
}

// Ends says in a sentence what toe and camber are at the ends of travel.
func Ends(rows []verdict.TravelRow) string {
	var toe, camber []string
	for _, r := range ends(rows) {
		toe, camber = append(toe, Fixed(r.Toe, 2)+"°"), append(camber, Fixed(r.Camber, 2)+"°")
	}
	return "toe " + strings.Join(toe, " to ") + ", camber " + strings.Join(camber, " to ") + ", from droop to bump"
}

// ends are the first and the last height.
func ends(rows []verdict.TravelRow) []verdict.TravelRow {
	if len(rows) < 2 {
		return rows
	}
	return []verdict.TravelRow{rows[0], rows[len(rows)-1]}
}

// Millimetres prints a length that is known in mm, with its unit.
func (u Figures) Millimetres(v float64, places int) string { return u.of(v, "mm", places) }

// Kilograms prints a mass that is known in kg, with its unit.
func (u Figures) Kilograms(v float64) string { return u.of(v, "kg", 1) }

func (u Figures) of(v float64, unit string, places int) string {
	text, in := quantity.System(u).Fixed(v, unit, places)
	return text + " " + in
}

// Cell prints a figure in a table whose unit stands beside it, and a dash for one that is not
// there.
func (u Figures) Cell(v *float64, unit string, places int) string {
	if v == nil {
		return "-"
	}
	text, _ := quantity.System(u).Fixed(*v, unit, places)
	return text
}

// In is the unit in which figures of a unit are printed.
func (u Figures) In(unit string) string {
	_, in := quantity.System(u).Of(1, unit)
	return in
}

// TravelNote says what the figures of travel are.
func (u Figures) TravelNote(t *verdict.Travel) string {
	return "Lengths in " + u.Lengths() + ", angles in degrees. Springs, dampers and their stand-ins are out, parts do not bend. By ISO 8855: toe in is positive, camber with the top of the wheel outward, caster with the top of the axis rearward. " +
		"track/2 is where the wheel meets the ground, outward; back is how far it moves rearward; incl is the steering axis, top inward; ratio is how much the strut shortens for as much bump; ± is what measuring the points leaves open, " + u.Millimetres(t.GuessedPlusMinus, 0) + " each where the file has no ±."
}

// TravelBrief says the least of that: what the figures at the ends of travel are.
func (u Figures) TravelBrief(t *verdict.Travel) string {
	return "Lengths in " + u.Lengths() + ", angles in degrees, against the drawing. Springs, dampers and stand-ins are out. Toe in is positive, camber with the top of the wheel outward; ± is what measuring the points leaves open, " +
		u.Millimetres(t.GuessedPlusMinus, 0) + " each where the file has no ±."
}

// Lengths names the unit of lengths in a sentence.
func (u Figures) Lengths() string {
	if quantity.System(u) == quantity.Inch {
		return "inches"
	}
	return "mm"
}

// TravelCaution stands under every answer about travel and heights.
const TravelCaution = "These are figures of the points in the file. Measure on the vehicle before anything is welded by them; steering is controlled work in some places: have it looked at by somebody qualified."

// Trouble says why a suspension was not moved.
func Trouble(t *verdict.TravelTrouble) string {
	switch t.Kind {
	case verdict.TravelNotRecorded:
		return "not computed, for these are not recorded: " + unrecorded(t.Fields)
	case verdict.TravelFree:
		return "not computed: " + Line(t.Parts[0]) + " moves by itself. A link or joint that holds it is missing from the file"
	case verdict.TravelUnlocated:
		return "not computed: it is not located. Only how little its links are out of parallel holds it sideways, and that is within the ± of the points. A member that holds it is missing from the file"
	case verdict.TravelLocked:
		return "not computed: the rigid parts of the file hold it, so nothing is left to move. A damper leg moves where its rod and its body are two parts with a slider between them; a leaf spring bends, and that is not worked out"
	case verdict.TravelTogether:
		return "not computed: " + Together
	default:
		return "not computed: " + Line(t.Words)
	}
}

// Together says of an axle that it cannot lean.
const Together = "with rigid links its wheels go up only together, and it leans by what bushes give"

// TravelEnd says where travel ends before what was asked for.
func (u Figures) TravelEnd(e verdict.TravelEnd) string {
	at := "at " + u.Millimetres(e.At, 1) + " of travel"
	if e.Rack != 0 {
		at = "at " + u.Millimetres(e.Rack, 1) + " of the rack"
	}
	switch e.Kind {
	case verdict.TwoWays:
		return at + " its parts stand in one line and may go on in two ways: keep it from getting there"
	case verdict.OverCentre:
		return at + " its strut goes over centre: past that it works the other way and does not come back by itself"
	case verdict.WorkAgainst:
		return at + " its members work against each other: further, bushes would have to give"
	default:
		return at + " it binds: its parts stand in one line and go no further"
	}
}

// ToeLink says what a toe link does to the toe, and what would better it; all of it, or what
// somebody needs who moves a bracket with a rule.
func (u Figures) ToeLink(t verdict.ToeLink, good float64, all bool) []string {
	head := Line(t.Link) + ": " + t.Stands(quantity.System(u))
	switch {
	case t.Enough:
		head += ", within " + Fixed(good, 2) + "°"
	default:
		head += ", more than " + Fixed(good, 2) + "°"
	}
	if len(t.Welds) > 0 {
		head += "; " + lineAll(t.Welds) + " is not made full"
	}
	lines := []string{head}
	if t.Place == nil {
		return append(lines, "no place of "+Line(t.End)+" was found: "+Line(t.Nowhere))
	}
	p := t.Place
	if !all {
		return append(lines, fmt.Sprintf("no toe change: %s, to within %s any way, with the link %s centre to centre", u.move(t), u.Millimetres(p.Within, 1), u.Millimetres(p.Length, 1)))
	}
	lines = append(lines, fmt.Sprintf("no toe change: %s, that is x %s, y %s, z %s with the link %s centre to centre; %s° is left. Within %s of that, any way, it stays within %s°; any place along (%s, %s, %s) from there does the same",
		u.move(t), u.Cell(&p.At.X, "mm", 1), u.Cell(&p.At.Y, "mm", 1), u.Cell(&p.At.Z, "mm", 1), u.Millimetres(p.Length, 1), Fixed(p.Left, 3),
		u.Millimetres(p.Within, 1), Fixed(good, 2), Fixed(p.Line[0], 2), Fixed(p.Line[1], 2), Fixed(p.Line[2], 2)))
	by, step := "a millimetre", 1.0
	if quantity.System(u) == quantity.Inch {
		by, step = "a tenth of an inch", 2.54
	}
	return append(lines, fmt.Sprintf("%s of %s changes it by up to %s° fore and aft, %s° in and out, %s° up and down",
		by, Line(t.End), Fixed(step*t.PerMM[0], 3), Fixed(step*t.PerMM[1], 3), Fixed(step*t.PerMM[2], 3)))
}

// move says how the end of a toe link is to be moved.
func (u Figures) move(t verdict.ToeLink) string {
	if way := t.Way(quantity.System(u)); way != "" {
		return "move it " + way
	}
	return "leave it where it is"
}

// Unsure says which point the toe hangs on most, where measuring leaves more open
// than what is good enough.
func Unsure(w *verdict.WheelTravel, good float64) string {
	most, point := 0.0, ""
	for _, r := range w.Rows {
		if r.ToeBand > most {
			most, point = r.ToeBand, r.Worst
		}
	}
	if most <= good {
		return ""
	}
	return fmt.Sprintf("the ± of the points leaves %s° of toe open, most of it at %s: measure again before anything is welded by these figures", Fixed(most, 2), Line(point))
}

// Angle says how far a joint goes out of square.
func Angle(a verdict.JointAngle) string {
	text := fmt.Sprintf("%s goes %s° out of square", Line(a.Joint), Fixed(a.Most, 1))
	switch {
	case a.Limit == nil:
		return text + ", its limit is not recorded"
	case a.Over:
		return text + ", and fouls at " + Fixed(*a.Limit, 1) + "°"
	}
	return text + " of " + Fixed(*a.Limit, 1) + "°"
}

// Adjust says what brings a wheel where it is wanted.
func (u Figures) Adjust(a *verdict.Adjustment) []string {
	by := u.Millimetres(math.Abs(a.Longer), 1) + " longer"
	if a.Longer < 0 {
		by = u.Millimetres(math.Abs(a.Longer), 1) + " shorter"
	}
	set := fmt.Sprintf("set %s to %s, %s", Line(a.Link), u.Millimetres(a.Length, 1), by)
	if math.Abs(a.Longer) < 0.05 {
		set = fmt.Sprintf("leave %s at %s", Line(a.Link), u.Millimetres(a.Length, 1))
	}
	var lines []string
	switch a.Kind {
	case verdict.ByCollar:
		return u.byCollar(a)
	case verdict.NoThread:
		return append(lines, set+"; how it is set is not recorded: "+lineAll(a.Fields))
	case verdict.ByNuts:
		return append(lines, set+", by its nuts")
	case verdict.OneEndOff:
		set += "; its threads are of one hand: take an end off and turn it by half turns of " + u.Millimetres(a.PerTurn/2, 2)
	}
	if a.Turns != nil && math.Abs(a.Longer) >= 0.05 {
		set += fmt.Sprintf(": %s turns of %s; loosen its jam nuts, and tighten and look at them again after", Fixed(math.Abs(*a.Turns), 2), u.Millimetres(a.PerTurn, 2))
	}
	lines = append(lines, set)
	var more []string
	if a.UpLonger != nil && a.UpShorter != nil {
		more = append(more, fmt.Sprintf("the next turn longer moves the wheel %s down, shorter %s up", u.Millimetres(-*a.UpLonger, 1), u.Millimetres(*a.UpShorter, 1)))
	}
	switch {
	case a.Short:
		more = append(more, fmt.Sprintf("it is then %s turns short of the engagement it needs", Fixed(-*a.OutLeft, 1)))
	case a.OutLeft != nil:
		more = append(more, fmt.Sprintf("%s turns longer are left with the engagement it needs", Fixed(*a.OutLeft, 1)))
	case len(a.Fields) > 0:
		more = append(more, "how far it may be wound out is not recorded: "+lineAll(a.Fields))
	}
	if len(more) > 0 {
		lines = append(lines, strings.Join(more, "; "))
	}
	return lines
}

// byCollar says how far the collar of a spring is turned.
func (u Figures) byCollar(a *verdict.Adjustment) []string {
	if a.OnStop {
		stop := Line(a.Link) + " is on its stop: its damper is at its closed length, and its collar moves nothing until it is off it"
		if a.Longer >= 0.05 {
			stop += "; for the height that is wanted its seat is " + u.Millimetres(a.Longer, 1) + " too low"
		}
		return []string{stop}
	}
	way := "up, against the spring"
	if a.Longer < 0 {
		way = "down"
	}
	set := "leave the collar of " + Line(a.Link) + " where it is"
	if math.Abs(a.Longer) >= 0.05 {
		set = fmt.Sprintf("move the seat of %s by %s, %s", Line(a.Link), u.Millimetres(math.Abs(a.Longer), 1), way)
	}
	switch {
	case a.Turns == nil:
		return []string{set + "; what a turn of its collar does is not recorded: " + lineAll(a.Fields)}
	case math.Abs(a.Longer) >= 0.05:
		set += fmt.Sprintf(": %s turns of %s; take the weight off it, and lock it again after", Fixed(math.Abs(*a.Turns), 2), u.Millimetres(a.PerTurn, 2))
	}
	lines := []string{set}
	if a.FrameUp != nil {
		lines = append(lines, fmt.Sprintf("a turn up raises the frame here by %s and puts %s more on this wheel", u.Millimetres(*a.FrameUp, 1), u.Kilograms(*a.LoadMore)))
	}
	return lines
}

// CrossWeight says what front right and rear left carry together, and of what.
func (u Figures) CrossWeight(h *verdict.Height) string {
	total := 0.0
	for _, w := range h.Wheels {
		total += *w.Load
	}
	text := fmt.Sprintf("front right and rear left carry %s of %s together: a cross weight of %s %%", u.Kilograms(*h.Cross*total), u.Kilograms(total), Fixed(*h.Cross*100, 1))
	if h.WantedCross != nil && math.Abs(*h.WantedCross-*h.Cross) >= 0.0005 {
		text += ", wanted " + Fixed(*h.WantedCross*100, 1) + " %"
	}
	return text
}

// unrecorded says what is not recorded: a fact of several springs once.
func unrecorded(paths []string) string {
	var facts []string
	of := map[string][]string{}
	for _, path := range paths {
		fact := path
		if parts := strings.SplitN(path, ".", 3); parts[0] == "springs" && len(parts) == 3 {
			fact = strings.ReplaceAll(Spoken(strings.TrimPrefix(parts[2], "found.")), ".", " ")
			of[fact] = append(of[fact], parts[1])
		}
		if !slices.Contains(facts, fact) {
			facts = append(facts, fact)
		}
	}
	for i, fact := range facts {
		if items := of[fact]; items != nil {
			facts[i] += " of " + strings.Join(items, ", ")
		}
	}
	return lineAll(facts)
}

func lineAll(list []string) string {
	var parts []string
	for _, s := range list {
		parts = append(parts, Line(s))
	}
	return strings.Join(parts, ", ")
}
