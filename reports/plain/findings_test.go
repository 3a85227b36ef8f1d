package plain

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/punch"
	"setdown/rules/verdict"
)

var (
	leg    = verdict.Missing{Path: "welds.w.fillet.leg", Doc: "leg"}
	layout = verdict.Missing{Path: "welds.w.fillet.layout", Doc: "the lines it is made of", Words: "one line or circle"}
	role   = verdict.Missing{Path: "welds.w.role", Doc: "what it joins; a frame node carries whenever the frame does"}
	loads  = verdict.Missing{Reason: "no masses", Fact: "welds.w.load"}
)

func finding(rule string, o verdict.Outcome, item string, missing ...verdict.Missing) verdict.Finding {
	return verdict.Finding{Rule: rule, Outcome: o, Item: item, Kind: "welds", Say: item + ": it is so", Missing: missing,
		Blocking: o == verdict.Stop || o == verdict.NotRecorded}
}

// A fact that two rules miss is one fact, and is not counted by findings.
func TestTally(t *testing.T) {
	m := &verdict.Move{}
	assert.Empty(t, Tally(m))
	m.Findings = []verdict.Finding{
		finding("a", verdict.Stop, "v"),
		finding("b", verdict.NotRecorded, "w", leg, loads), finding("c", verdict.NotRecorded, "w", leg, layout),
		finding("d", verdict.Caution, "w", role),
	}
	assert.Equal(t, "1 finding stops this move, 3 facts are not recorded", Tally(m))
	m.Findings = m.Findings[1:2]
	m.Findings[0].Missing = nil
	assert.Equal(t, "1 fact is not recorded", Tally(m), "a finding that names none is not nothing")
}

func TestFacts(t *testing.T) {
	assert.Equal(t, []string{"leg (welds.w.fillet.leg)", "the lines it is made of (welds.w.fillet.layout: one line or circle)", "no masses"}, Facts([]verdict.Missing{leg, layout, leg, loads}, 3))
	assert.Equal(t, []string{"leg (welds.w.fillet.leg)", "and 1 more fact"}, Facts([]verdict.Missing{leg, loads}, 1))
	assert.Equal(t, "welds.w.x: a or b", Fact(verdict.Missing{Path: "welds.w.x", Words: "a or b"}))
}

// What nobody knows is not stated.
func TestSay(t *testing.T) {
	for want, f := range map[string]verdict.Finding{
		"w: it is so": finding("a", verdict.Stop, "w"),
		"w: it is so (it counts as long as this is not written down: what it joins (role))": finding("a", verdict.Stop, "w", role),
		"w: it is so (it counts as long as this is not known yet: no masses)":               finding("a", verdict.Stop, "w", loads),
		"w: not recorded: leg (welds.w.fillet.leg)":                                         finding("a", verdict.NotRecorded, "w", leg),
		"w: it is so (it counts as long as this is not written down: leg (fillet.leg))":     finding("a", verdict.Caution, "w", leg),
		"u: it is so (it counts as long as this is not known yet: no masses)":               finding("a", verdict.Note, "u", loads),
		"v: it is so": finding("a", verdict.Caution, "v"),
	} {
		assert.Equal(t, want, Say(&f))
	}
}

// On a sheet the reason for which a rule was asked is said in few words, and of other items
// not one by one.
func TestFaultSaysBrieflyWhyItWasAsked(t *testing.T) {
	f := finding("a", verdict.Stop, "w", role)
	assert.Equal(t, "it is so (it counts as long as nobody writes down: role)", Fault(&f))
	f.Missing = []verdict.Missing{{Path: "parts.engine.cg", Doc: "where its centre of gravity is"}, {Path: "parts.frame.mass", Doc: "mass"}}
	assert.Equal(t, "it is so (it counts as long as nobody can say what it carries)", Fault(&f))
	f.Missing = []verdict.Missing{loads}
	assert.Equal(t, "it is so (it counts as long as nobody can say whether it matters here)", Fault(&f))
}

// What is so comes before what is only not recorded, and neither says 'likewise'
// of the other.
func TestBriefly(t *testing.T) {
	briefs := Briefly([]verdict.Finding{
		finding("a", verdict.NotRecorded, "u", verdict.Missing{Path: "welds.u.fillet.leg", Doc: "leg"}), finding("a", verdict.Caution, "v"), finding("b", verdict.Caution, "w", role),
		finding("a", verdict.NotRecorded, "w", leg), finding("c", verdict.Caution, "u"), finding("a", verdict.Caution, "w"),
	})
	assert.Equal(t, []Brief{
		{Outcome: verdict.Caution, Kind: "welds", Text: "it is so", Rule: "a", Items: []string{"v", "w"}},
		{Outcome: verdict.Caution, Kind: "welds", Text: "it is so (it counts as long as this is not written down: what it joins (role))", Rule: "b", Items: []string{"w"}},
		{Outcome: verdict.Caution, Kind: "welds", Text: "it is so", Rule: "c", Items: []string{"u"}},
		{Outcome: verdict.NotRecorded, Kind: "welds", Text: "not recorded: leg (fillet.leg)", Rule: "a", Items: []string{"u", "w"}},
	}, briefs)
}

// A figure belongs to the item that it was found on: of several the range is said, and what
// else differs is not said of all.
func TestBrieflySaysEachFigure(t *testing.T) {
	say := func(item, text string) verdict.Finding {
		return verdict.Finding{Rule: "a", Outcome: verdict.Caution, Item: item, Say: item + ": " + text}
	}
	var got []string
	for _, b := range Briefly([]verdict.Finding{
		say("b1", "a gap of 18 mm is left, 0.5 mm is the most; b1 is M10x1.5"), say("b2", "a gap of 12 mm is left, 0.5 mm is the most; b2 is M10x1.5"),
		say("b3", "a gap of 12.5 mm is left, 0.5 mm is the most; b3 is M8x1.25"), say("b4", "at 99 % of what it can take"), say("b5", "at 101 % of what it can take"),
		say("b6", "it stands 57.5 mm against the drawing"), say("b7", "it stands -57.5 mm against the drawing"), say("b8", "it stands -17.6 mm against the drawing"),
	}) {
		got = append(got, strings.Join(b.Items, " ")+": "+b.Text)
	}
	assert.Equal(t, []string{
		"b1 b2: a gap of 18 and 12 mm is left, 0.5 mm is the most; b1 is M10x1.5",
		"b3: a gap of 12.5 mm is left, 0.5 mm is the most; b3 is M8x1.25",
		"b4 b5: at 99 and 101 % of what it can take",
		"b6 b7 b8: it stands -57.5 to 57.5 mm against the drawing",
	}, got)
}

func TestToLook(t *testing.T) {
	items := ToLook([]verdict.Finding{finding("a", verdict.NotRecorded, "w", leg), finding("b", verdict.NotRecorded, "v", loads), finding("c", verdict.NotRecorded, "w", leg, layout)})
	assert.Len(t, items, 2)
	assert.Equal(t, []string{"a", "c"}, items[0].Rules)
	assert.Equal(t, []verdict.Missing{leg, layout}, items[0].Facts)
}

// A question stands with the item whose fact it is, whichever rule asks.
func TestLooksStandWithTheItemOfAFact(t *testing.T) {
	height := func(path string) verdict.Missing { return verdict.Missing{Path: path, Doc: "height it is set to"} }
	list := looks([]verdict.Finding{finding("a", verdict.NotRecorded, "down", height("supports.stand-fl.height"), height("supports.stand-fr.height"),
		verdict.Missing{Path: "moves.down.stage", Doc: "height gained in one go"}, verdict.Missing{Path: "site.found.level", Doc: "the floor is level"})}, Names)
	require.Len(t, list, 2)
	assert.Equal(t, []string{"stand-fl", "stand-fr"}, list[0].Items)
	assert.Equal(t, []string{"height it is set to"}, list[0].Questions)
	assert.Equal(t, []string{"down"}, list[1].Items)

	rated := finding("a", verdict.NotRecorded, "jack", verdict.Missing{Path: "supports.jack.rated", Doc: "rated load"}, verdict.Missing{Path: "parts.car.mass", Place: "body", Doc: "mass"})
	rated.Place = "front"
	items := ToLook([]verdict.Finding{rated})
	require.Len(t, items, 2)
	assert.Equal(t, "jack front, car body", items[0].ID+" "+items[0].Place+", "+items[1].ID+" "+items[1].Place)
	assert.Equal(t, []string{"height gained in one go", "the floor is level"}, list[1].Questions)
}

// Where loads are not computed the list does not look complete.
func TestKnownSoFar(t *testing.T) {
	moves := verdict.Finding{Rule: "balance", Outcome: verdict.Stop, Blocking: true, Item: "down", Fix: "stop it", RootRule: true}
	r := &verdict.Report{Moves: []verdict.Move{
		{ID: "down", Unsolved: true, Findings: []verdict.Finding{moves}},
		{ID: "up", Findings: []verdict.Finding{finding("a", verdict.Stop, "v")}},
	}}
	punch.Fill(r)
	assert.Equal(t, "1 job known so far; loads cannot be computed until this is put right: down", PunchHead(r.Moves[0].Punch))
	assert.Equal(t, "2 jobs known so far; loads cannot be computed until this is put right: down, up (not computed: down)", PunchHead(r.Punch))
	assert.Equal(t, "1 job for up", PunchHead(r.Moves[1].Punch))
	assert.Contains(t, PhaseHead(r.Punch.Jobs[0]), "first of all")
	r.Moves[0].Findings[0] = finding("a", verdict.NotRecorded, "w", leg)
	punch.Fill(r)
	assert.Equal(t, "1 job known so far; loads cannot be computed while facts are missing: down", PunchHead(r.Moves[0].Punch))
}

// Names alone tell nobody what is wrong with them.
func TestGistKeepsWhatIsSaid(t *testing.T) {
	for text, want := range map[string]string{
		"fl-bolt, fr-bolt: loose; tighten it":                                  "fl-bolt, fr-bolt: loose",
		"fl-, fr-bolt: a stop nut (it counts as long as this is not known: x)": "fl-, fr-bolt: a stop nut (it counts until more is written down)",
		"down, on the table: too few supports: 2; 3 is the least":              "down, on the table: too few supports",
		"the file lists not one weld":                                          "the file lists not one weld",
	} {
		assert.Equal(t, want, GistOf(text))
	}
	assert.Equal(t, "on the table: too few supports", Stop{Items: []string{"down"}, Fault: "on the table: too few supports: 2", step: true}.Gist())
	assert.Equal(t, "weld it full", Stop{Items: []string{"w"}, Fault: "weld it full: 6 mm"}.Gist())
}
