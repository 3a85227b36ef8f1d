package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/rules/verdict"
)

// TestLayoutsStand gives the vehicles that 'new' writes invented masses and places, and
// has them set down: every step is in equilibrium, so no member is missing that
// locates something, and none of the layouts falls for want of one.
func TestLayoutsStand(t *testing.T) {
	e := rules(t)
	front, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	rear, err := layouts.Find("leaves")
	require.NoError(t, err)
	for _, layout := range layouts.All() {
		ends := [][2]*layouts.Layout{{front, layout}, {layout, rear}}
		for i, pair := range ends {
			if layout.Only == "front" && i == 0 || layout.Only == "rear" && i == 1 {
				continue
			}
			name := pair[0].Name + ", " + pair[1].Name
			t.Run(name, func(t *testing.T) {
				car, table := layouts.Write(pair[0], pair[1], "points.csv")
				b, err := model.ReadWith("car.yaml", weighed(car), model.Companions{Table: func(string) ([]byte, error) { return placed(table, pair), nil }})
				require.NoError(t, err)
				for _, id := range []string{"frame-tied", "onto-hubs", "onto-wheels"} {
					for _, m := range judge(t, e, b, id).Moves {
						for _, step := range m.Steps {
							if step.Solved != verdict.Solved {
								t.Errorf("%s, %s: %s %s %v", m.ID, step.Name, step.Solved, step.Reason, step.Lacks)
							}
						}
					}
				}
			})
		}
	}
}

// weighed writes an invented mass to the first part of every role, and the one
// direction that no layout knows.
func weighed(car []byte) []byte {
	text := string(car)
	for role, mass := range map[string]string{"frame": "118 kg", "drivetrain": "128 kg", "arm": "3 kg", "upright": "15 kg", "wheel": "14 kg", "axle": "40 kg", "other": "5 kg"} {
		text = strings.Replace(text, "{role: "+role+",", "{mass: "+mass+", role: "+role+",", 1)
	}
	// The pin of a kingpin or pillar leans as the builder makes it.
	text = strings.ReplaceAll(text, "{kind: pivot, between", "{kind: pivot, axis: [0, 0.1, 1], between")
	return []byte(text)
}

// placed gives every row of a table of points a place.
func placed(table []byte, pair [2]*layouts.Layout) []byte {
	lines := strings.Split(strings.TrimSpace(string(table)), "\n")
	for i, line := range lines[1:] {
		name, _, _ := strings.Cut(line, ",")
		at := place(name, pair)
		lines[i+1] = fmt.Sprintf("%s,%g,%g,%g,,,,", name, at[0], at[1], at[2])
	}
	return []byte(strings.Join(lines, "\n") + "\n")
}

// places are invented, in mm from the middle of the axle on the floor; the names of
// one layout go before those that several share.
var places = map[string][3]float64{
	"lower-front": {140, 215, 150}, "lower-rear": {-140, 230, 150}, "upper-front": {110, 280, 340}, "upper-rear": {-110, 285, 340},
	"lower-ball": {5, 600, 158}, "upper-ball": {-8, 570, 370}, "wheel-face": {0, 650, 280}, "strut/bottom": {10, 480, 170}, "strut/top": {5, 265, 480},
	"track-rod/inner": {-120, 245, 195}, "track-rod/outer": {-125, 592, 203}, "toe-link/inner": {-120, 245, 195}, "toe-link/outer": {-125, 592, 203},
	"rocker-pivot": {0, 300, 420}, "pushrod/bottom": {0, 520, 175}, "pushrod/top": {0, 360, 430},
	"strut-clamp": {0, 590, 350}, "strut-top": {5, 520, 600},
	"arm-inner": {350, 250, 300}, "arm-outer": {350, 500, 300},
	"lower-front-link/inner": {150, 240, 160}, "lower-front-link/outer": {30, 600, 160}, "lower-rear-link/inner": {-150, 240, 160}, "lower-rear-link/outer": {-30, 600, 160},
	"upper-front-link/inner": {120, 280, 350}, "upper-front-link/outer": {25, 580, 370}, "upper-rear-link/inner": {-120, 280, 350}, "upper-rear-link/outer": {-25, 580, 370},
	"axle-ball": {0, 120, 290}, "radius-arm-front": {500, 350, 300}, "radius-arm-flange": {20, 500, 285}, "axle-front": {60, 120, 290}, "axle-rear": {-60, 120, 290},
	"spring-eye": {600, 430, 300}, "perch": {0, 430, 330}, "shackle/top": {-620, 430, 360}, "shackle/bottom": {-600, 430, 300}, "shackle-top": {-620, 430, 360}, "shackle-bottom": {-600, 430, 300},
	"panhard-rod/frame": {-120, 400, 330}, "panhard-rod/axle": {-120, -420, 320}, "lower-link/front": {600, 380, 200}, "lower-link/rear": {30, 440, 210},
	"upper-link/front": {450, 380, 420}, "upper-link/rear": {-20, 430, 410}, "a-arm-ball": {-10, 0, 420}, "a-arm-front": {450, 300, 430},
	"watt-pivot": {-120, 0, 300}, "watt-upper/frame": {-120, 400, 350}, "watt-upper/crank": {-120, 0, 350}, "watt-lower/frame": {-120, -400, 250}, "watt-lower/crank": {-120, 0, 250},
	"carrier-face": {0, 600, 290}, "lower-rod/front": {550, 560, 180}, "lower-rod/rear": {30, 580, 180}, "upper-rod/front": {550, 560, 400}, "upper-rod/rear": {20, 580, 400},
	"track-rod/left": {-130, 560, 260}, "track-rod/right": {-130, -560, 260}, "drag-link/drop-arm": {500, 400, 330}, "drag-link/steering-arm": {100, 520, 330},
	"kingpin": {0, 560, 290}, "pillar": {0, 580, 300}, "pivot-left": {450, 150, 300}, "pivot-right": {450, -150, 300}, "spindle": {0, 0, 290},
	"upright/cg": {0, 620, 280}, "wheel/cg": {0, 680, 280}, "axle/cg": {0, 0, 290}, "spring/cg": {0, 430, 320}, "half-axle/cg": {0, 350, 290}, "strut/cg": {0, 540, 450},
	"dedion-tube/cg": {0, 0, 300}, "hub-carrier/cg": {0, 620, 290}, "stub-axle/cg": {0, 600, 290}, "shackle/cg": {-610, 430, 330},
	"bearer": {-500, 240, 110}, "stand": {-650, 240, 110}, "hub-stand": {0, 595, 130}, "contact": {0, 680, 0},

	"double wishbone with pushrods strut/bottom": {0, 300, 500}, "double wishbone with pushrods strut/top": {0, 80, 500}, "five links strut/bottom": {0, 560, 250},
	"four splayed links upper-link/front": {450, 430, 420}, "four splayed links upper-link/rear": {-10, 120, 410},
	"three links and Watt linkage upper-link/front": {450, 0, 430}, "three links and Watt linkage upper-link/rear": {-10, 0, 420},
	"swinging arm with one wheel strut/bottom": {100, 0, 340}, "swinging arm with one wheel strut/top": {150, 0, 600}, "swinging arm with one wheel wheel/cg": {0, 0, 290},
	"swinging arm with one wheel hub-stand": {0, 0, 130}, "swinging arm with one wheel contact": {0, 0, 0},
}

// place is where a point is on a vehicle with those layouts.
func place(name string, pair [2]*layouts.Layout) [3]float64 {
	whole := map[string][3]float64{"frame/cg": {1180, 0, 330}, "engine/cg": {800, 10, 330}, "engine-mounts": {800, 0, 260}, "jack-front": {1900, 0, 110}, "jack-rear": {60, 0, 110}}
	if at, ok := whole[name]; ok {
		return at
	}
	end, x := 0, 2400.0
	if name[0] == 'r' {
		end, x = 1, 0
	}
	_, member, _ := strings.Cut(name, "-")
	at, ok := places[pair[end].Name+" "+member]
	if !ok {
		at, ok = places[member]
	}
	if !ok {
		panic("no place is invented for " + name)
	}
	if end == 1 && (member == "bearer" || member == "stand") {
		at[0] = -at[0] / 3 // inside the wheelbase
	}
	at[0] += x
	return at
}
