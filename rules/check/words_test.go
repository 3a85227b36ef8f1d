package check_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// shed is a checklist with struts and track rods at its front, whose bolts are each of their own sort.
const shed = `format: setdown/2
vehicle: {checklist: yes, frame: one piece}
places: [front, rear, body]
parts: {car: {role: frame, place: body, mass: 1100 kg}, fl-wheel: {role: wheel, place: front, mass: 10 kg}}
fasteners:
  strut-bolts: {place: front, role: spring mount, critical: yes, needed: 4}
  rod-bolts: {place: front, role: track rod, critical: yes, needed: 2}
  mount-bolts: {place: body, role: engine mount, needed: 4, thread: M12x1.75, tapped_into: nothing}
links:
  struts: {place: front, role: strut, needed: 2}
  rods: {place: front, role: track rod, needed: 2}
stud_nuts: {rod-nuts: {place: front, steering: yes, needed: 2}}
supports:
  fl: {kind: stand, under: car, place: front, rated: 2 t, rated_per: pair}
  fr: {like: fl, under: car, place: front}
  rl: {like: fl, under: car, place: rear}
  rr: {like: fl, under: car, place: rear}
  jack: {kind: jack, under: car, place: front, rated: 1 t}
moves:
  m: {kind: lower, steps: [{name: on stands, supports: [fl, fr, rl, rr], off: [fl-wheel]}]}
  up: {kind: lower, steps: [{name: jacked, supports: [jack, rl, rr]}]}
`

// TestNotCriedOver judges states of that checklist, each with the rule that must not stop it, or must, at the item.
func TestNotCriedOver(t *testing.T) {
	for _, c := range []struct {
		why, move string
		written   []string
		log       string
		rule, id  string
		stops     bool
	}{
		{"struts have their bolts, whatever the rods have", "m", nil, "", "link-held", "struts", false},
		{"and are short of one", "m", []string{"strut-bolts.needed=3"}, "", "link-held", "struts", true},
		{"the bolts of the rods hold no strut", "m", []string{"strut-bolts.role=track rod"}, "", "link-held", "struts", true},
		{"rods by bolt and ball joint", "m", nil, "", "link-held", "rods", false},
		// By statics a corner bears at most what its side weighs: two thirds of 1490 kg are 993 kg, of 1510 kg 1007 kg (arithmetic).
		{"a stand of four", "m", []string{"car.mass=1490 kg"}, "", "stand-rating", "fl", false},
		{"a little too heavy for it", "m", []string{"car.mass=1510 kg"}, "", "stand-rating", "fl", true},
		{"three of them, and any may be under the weight", "m", []string{"car.mass=1100 kg", "rr.place=?", "rr.place=body"}, "", "stand-rating", "fl", true},
		{"one of two beside a jack in the middle", "up", []string{"car.mass=1400 kg"}, "", "stand-rating", "rl", false},
		{"the jack has nothing across from it", "up", []string{"car.mass=1100 kg"}, "", "jack-rating", "jack", true},
		{"an engine mount of class 4.6 holds no suspension", "m", []string{"mount-bolts.found.class_mark=4.6", "mount-bolts.found.count=4"}, "", "fastener-class", "mount-bolts", false},
		{"unless somebody marks it", "m", []string{"mount-bolts.critical=yes", "mount-bolts.found.class_mark=4.6", "mount-bolts.found.count=4"}, "", "fastener-class", "mount-bolts", true},
		{"a bolt of which nobody says what it does", "m", []string{"mount-bolts.role=?", "mount-bolts.found.class_mark=4.6", "mount-bolts.found.count=4"}, "", "fastener-class", "mount-bolts", true},
		{"a bare head", "m", []string{"mount-bolts.found.class_mark=none", "mount-bolts.found.count=4"}, "", "head-unmarked", "mount-bolts", true},
		{"a wheel that is off", "m", nil, "- {day: 2026-11-24, by: TN, of: fl-wheel, good: no, note: rim bent}\n", "log", "fl-wheel", false},
		{"a wheel that is on", "up", nil, "- {day: 2026-11-24, by: TN, of: fl-wheel, good: no, note: rim bent}\n", "log", "fl-wheel", true},
		{"a cracked wheel that is off", "m", nil, "- {day: 2026-11-24, by: TN, of: fl-wheel, found: {damaged: yes}}\n", "part-damaged", "fl-wheel", false},
		{"a frame rusted through", "m", nil, "- {day: 2026-11-24, by: TN, of: car, found: {damaged: yes}}\n", "part-damaged", "car", true},
	} {
		t.Run(c.why, func(t *testing.T) {
			b, err := model.Read("shed.yaml", []byte(shed), model.Companions{Looks: []byte(c.log)}, assumed(t, c.written)...)
			require.NoError(t, err)
			found := judge(t, rules(t), b, c.move).Moves[0].Findings
			assert.Equal(t, c.stops, slices.ContainsFunc(found, func(f verdict.Finding) bool { return f.Rule == c.rule && f.Item == c.id && f.Blocks() }), "%v", said(found))
			if c.rule == "log" {
				assert.True(t, slices.ContainsFunc(found, func(f verdict.Finding) bool {
					return f.Rule == "log" && f.Say == "TN found it not good on 2026-11-24: rim bent"
				}))
			}
		})
	}
}
