package linkage_test

import (
	"math"

	"setdown/model/linkage"
)

type vec = linkage.Vec

const deg = math.Pi / 180

func mm(x, y, z float64) vec { return vec{X: x / 1000, Y: y / 1000, Z: z / 1000} }

// wishbones is a corner of two arms, an upright and a toe link: lower front and
// rear pivot, lower ball, upper front and rear pivot, upper ball, toe link inner
// and outer, strut top and bottom on the lower arm, wheel centre.
func wishbones(p ...vec) linkage.System {
	const lower, upper, upright = 0, 1, 2
	return linkage.System{
		Bodies: []string{"lower arm", "upper arm", "upright"},
		Joints: []linkage.Joint{
			{Name: "lower-front", A: lower, B: linkage.Ground, At: p[0]},
			{Name: "lower-rear", A: lower, B: linkage.Ground, At: p[1]},
			{Name: "lower-ball", A: upright, B: lower, At: p[2]},
			{Name: "upper-front", A: upper, B: linkage.Ground, At: p[3]},
			{Name: "upper-rear", A: upper, B: linkage.Ground, At: p[4]},
			{Name: "upper-ball", A: upright, B: upper, At: p[5]},
		},
		Bars:   []linkage.Bar{{Name: "toe", Ends: [2]string{"inner", "outer"}, A: linkage.Ground, B: upright, PA: p[6], PB: p[7]}},
		Struts: []linkage.Bar{{Name: "strut", A: linkage.Ground, B: lower, PA: p[8], PB: p[9]}},
		Wheels: []linkage.Wheel{{Name: "wheel", Body: upright, Centre: p[10], Tyre: p[10], Axis: vec{Y: math.Copysign(1, p[10].Y)}}},
	}
}

// The corners of testdata/builds/special-asfound.yaml.
func rearLeft() linkage.System {
	return wishbones(mm(130, 215, 160), mm(-130, 215, 160), mm(10, 590, 155), mm(110, 285, 345), mm(-110, 285, 345), mm(-8, 560, 375),
		mm(-165, 225, 190), mm(-160, 588, 190), mm(50, 250, 520), mm(45, 475, 172), mm(0, 650, 280))
}

func frontLeft() linkage.System {
	return wishbones(mm(2420, 215, 150), mm(2140, 235, 150), mm(2308, 600, 160), mm(2390, 270, 330), mm(2150, 285, 330), mm(2284, 570, 365),
		mm(2190, 245, 195), mm(2180, 592, 203), mm(2300, 265, 470), mm(2305, 480, 172), mm(2300, 660, 270))
}
