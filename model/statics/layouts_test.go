package statics

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// axle builds one axle of a vehicle, both sides, about a frame.
type axle struct {
	sys  System
	body map[string]int
}

func newAxle() *axle {
	a := &axle{body: map[string]int{}}
	a.part("frame", 1.2, 0, .4)
	return a
}

func (a *axle) part(name string, x, y, z float64) {
	a.body[name] = len(a.sys.Bodies)
	a.sys.Bodies = append(a.sys.Bodies, Body{Name: name, Masses: []Mass{{Name: name, M: 10, CG: Vec{X: x, Y: y, Z: z}}}})
}

func (a *axle) joint(kind JointKind, from, to string, at, axis Vec) {
	a.sys.Joints = append(a.sys.Joints, Joint{Name: from + "-" + to, Kind: kind, A: a.body[from], B: a.body[to], At: at, Axis: axis})
}

func (a *axle) link(from, to string, at, end Vec) {
	a.sys.Links = append(a.sys.Links, Link{Name: from + "-" + to, A: a.body[from], B: a.body[to], PA: at, PB: end})
}

// sides calls f for left and right with a prefix and a mirror.
func sides(f func(p string, at func(x, y, z float64) Vec)) {
	for p, s := range map[string]float64{"l-": 1, "r-": -1} {
		f(p, func(x, y, z float64) Vec { return Vec{X: x, Y: s * y, Z: z} })
	}
}

// wheel bolts a wheel to a part of one side.
func (a *axle) wheel(p, to string, at func(x, y, z float64) Vec) {
	a.part(p+"wheel", 0, at(0, .7, 0).Y, .3)
	a.joint(Fixed, to, p+"wheel", at(0, .65, .3), Vec{})
}

// The layouts of axles with the count that was worked out for each by hand and by rank with
// another program: bodies without the frame, unknowns, what is free and what is
// self-stress. A bush is a ball; the rows marked long have lone bushes that are long
// bearings, five constraints.
func TestLayoutsAreDeterminate(t *testing.T) {
	wishbones := func(a *axle) {
		sides(func(p string, at func(x, y, z float64) Vec) {
			for part, z := range map[string]float64{"lower": .18, "upper": .36} {
				a.part(p+part, 0, at(0, .4, 0).Y, z)
				a.joint(Ball, "frame", p+part, at(.15, .25, z), Vec{})
				a.joint(Ball, "frame", p+part, at(-.14, .26, z+.01), Vec{})
			}
			a.part(p+"upright", 0, at(0, .6, 0).Y, .3)
			a.joint(Ball, p+"lower", p+"upright", at(.01, .58, .17), Vec{})
			a.joint(Ball, p+"upper", p+"upright", at(-.01, .56, .38), Vec{})
			a.wheel(p, p+"upright", at)
			a.link("frame", p+"upright", at(.12, .24, .22), at(.13, .57, .23))
		})
	}
	leaves := func(eye JointKind) func(*axle) {
		return func(a *axle) {
			a.part("axle", 0, 0, .3)
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"spring", 0, at(0, .45, 0).Y, .35)
				a.joint(eye, "frame", p+"spring", at(.55, .45, .4), Vec{Y: 1})
				a.joint(Fixed, p+"spring", "axle", at(0, .45, .33), Vec{})
				a.link("frame", p+"spring", at(-.58, .45, .5), at(-.6, .45, .42))
				a.wheel(p, "axle", at)
			})
		}
	}
	fourLinks := func(tube string, splay float64, rod bool) func(*axle) {
		return func(a *axle) {
			a.part(tube, 0, 0, .3)
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.wheel(p, tube, at)
				a.link("frame", tube, at(.6, .42, .22), at(0, .45, .24))
				a.link("frame", tube, at(.55, .3+splay, .42), at(0, .3-splay, .41))
				a.link("frame", tube, at(.05, .38, .75), at(0, .44, .3))
			})
			if rod {
				a.link("frame", tube, Vec{X: -.1, Y: .4, Z: .35}, Vec{X: -.1, Y: -.4, Z: .33})
			}
		}
	}
	threeLinks := func(a *axle) {
		a.part("axle", 0, 0, .3)
		sides(func(p string, at func(x, y, z float64) Vec) {
			a.wheel(p, "axle", at)
			a.link("frame", "axle", at(.6, .42, .22), at(0, .45, .24))
			a.link("frame", "axle", at(.05, .38, .75), at(0, .44, .3))
		})
	}
	for name, c := range map[string]struct {
		build                         func(*axle)
		parts, unknowns, free, stress int
	}{
		"double wishbone": {func(a *axle) {
			wishbones(a)
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.link("frame", p+"lower", at(0, .3, .6), at(0, .45, .19))
			})
		}, 8, 52, 0, 4},
		"pushrod": {func(a *axle) {
			wishbones(a)
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"rocker", 0, at(0, .28, 0).Y, .55)
				a.joint(Pivot, "frame", p+"rocker", at(0, .28, .5), Vec{X: 1})
				a.link("frame", p+"rocker", at(0, .1, .6), at(0, .26, .6))
				a.link(p+"lower", p+"rocker", at(0, .5, .2), at(0, .38, .56))
			})
		}, 10, 64, 0, 4},
		"strut": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"lower", 0, at(0, .4, 0).Y, .18)
				a.joint(Ball, "frame", p+"lower", at(.2, .28, .18), Vec{})
				a.joint(Ball, "frame", p+"lower", at(-.15, .28, .19), Vec{})
				a.part(p+"upright", 0, at(0, .6, 0).Y, .3)
				a.part(p+"strut", 0, at(0, .52, 0).Y, .6)
				a.joint(Ball, p+"lower", p+"upright", at(.01, .6, .17), Vec{})
				a.joint(Fixed, p+"upright", p+"strut", at(0, .56, .42), Vec{})
				a.joint(Ball, "frame", p+"strut", at(-.02, .48, .85), Vec{})
				a.wheel(p, p+"upright", at)
				a.link("frame", p+"upright", at(.12, .24, .22), at(.13, .57, .23))
			})
		}, 8, 50, 0, 2},
		// A damper in the strut: it slides and turns, its spring a link; the rod spins about
		// itself, which nothing hinders and nothing minds.
		"strut with its damper": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"lower", 0, at(0, .4, 0).Y, .18)
				a.joint(Ball, "frame", p+"lower", at(.2, .28, .18), Vec{})
				a.joint(Ball, "frame", p+"lower", at(-.15, .28, .19), Vec{})
				a.part(p+"upright", 0, at(0, .6, 0).Y, .3)
				a.part(p+"rod", -.02, at(0, .48, 0).Y, .7)
				a.joint(Ball, p+"lower", p+"upright", at(.01, .6, .17), Vec{})
				a.joint(Slider, p+"upright", p+"rod", at(-.02, .48, .5), Vec{Z: 1})
				a.joint(Ball, "frame", p+"rod", at(-.02, .48, .85), Vec{})
				a.wheel(p, p+"upright", at)
				a.link("frame", p+"upright", at(.12, .24, .22), at(.13, .57, .23))
				a.link("frame", p+"upright", at(.03, .48, .85), at(.03, .5, .45))
			})
		}, 8, 50, 0, 2}, // two of them the moments that stand for the rods' spin
		"trailing arm": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"arm", .2, at(0, .5, 0).Y, .3)
				a.joint(Ball, "frame", p+"arm", at(.43, .2, .3), Vec{})
				a.joint(Ball, "frame", p+"arm", at(.43, .5, .3), Vec{})
				a.wheel(p, p+"arm", at)
				a.link("frame", p+"arm", at(.15, .45, .7), at(.06, .55, .32))
			})
		}, 4, 26, 0, 2},
		"five links": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"upright", 0, at(0, .6, 0).Y, .3)
				a.wheel(p, p+"upright", at)
				a.link("frame", p+"upright", at(.25, .25, .17), at(.03, .6, .18))
				a.link("frame", p+"upright", at(-.2, .25, .18), at(-.03, .6, .17))
				a.link("frame", p+"upright", at(.2, .3, .4), at(.02, .57, .42))
				a.link("frame", p+"upright", at(-.2, .32, .41), at(-.02, .56, .43))
				a.link("frame", p+"upright", at(-.22, .28, .28), at(-.14, .58, .27))
				a.link("frame", p+"upright", at(0, .35, .7), at(0, .55, .2))
			})
		}, 4, 24, 0, 0},
		"swing axle, radius arm": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"half-axle", 0, at(0, .4, 0).Y, .3)
				a.part(p+"radius", .3, at(0, .4, 0).Y, .3)
				a.joint(Ball, "frame", p+"half-axle", at(0, .12, .32), Vec{})
				a.joint(Ball, "frame", p+"radius", at(.6, .3, .3), Vec{})
				a.joint(Fixed, p+"half-axle", p+"radius", at(0, .5, .3), Vec{})
				a.wheel(p, p+"half-axle", at)
				a.link("frame", p+"half-axle", at(0, .4, .7), at(0, .52, .3))
			})
		}, 6, 38, 0, 2},
		"swing axle, two pivots": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"half-axle", 0, at(0, .4, 0).Y, .3)
				a.joint(Ball, "frame", p+"half-axle", at(.08, .12, .32), Vec{})
				a.joint(Ball, "frame", p+"half-axle", at(-.08, .12, .32), Vec{})
				a.wheel(p, p+"half-axle", at)
				a.link("frame", p+"half-axle", at(0, .4, .7), at(0, .52, .3))
			})
		}, 4, 26, 0, 2},
		"live axle, leaves, eyes long": {leaves(Pivot), 5, 36, 0, 6},
		"live axle, leaves":            {leaves(Ball), 5, 32, 0, 2},
		"four links, Panhard rod":      {fourLinks("axle", 0, true), 3, 19, 0, 1},
		"four links, splayed upper":    {fourLinks("axle", .12, false), 3, 18, 0, 0},
		"three links, Watt": {func(a *axle) {
			threeLinks(a)
			a.part("crank", -.1, 0, .3)
			a.joint(Pivot, "axle", "crank", Vec{X: -.1, Z: .3}, Vec{X: 1})
			a.link("frame", "axle", Vec{X: .5, Y: .05, Z: .45}, Vec{Y: .05, Z: .42})
			a.link("frame", "crank", Vec{X: -.1, Y: .4, Z: .4}, Vec{X: -.1, Z: .39})
			a.link("frame", "crank", Vec{X: -.1, Y: -.4, Z: .2}, Vec{X: -.1, Z: .21})
		}, 4, 24, 0, 0},
		"three links, A-arm": {func(a *axle) {
			threeLinks(a)
			a.part("a-arm", .3, 0, .45)
			a.joint(Ball, "frame", "a-arm", Vec{X: .5, Y: .3, Z: .46}, Vec{})
			a.joint(Ball, "frame", "a-arm", Vec{X: .5, Y: -.3, Z: .46}, Vec{})
			a.joint(Ball, "a-arm", "axle", Vec{Z: .44}, Vec{})
		}, 4, 25, 0, 1},
		"de Dion": {func(a *axle) {
			a.part("tube", 0, 0, .3)
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"carrier", 0, at(0, .6, 0).Y, .3)
				a.joint(Fixed, "tube", p+"carrier", at(0, .55, .3), Vec{})
				a.wheel(p, p+"carrier", at)
				a.link("frame", p+"carrier", at(.64, .43, .23), at(.01, .6, .24))
				a.link("frame", p+"carrier", at(.6, .43, .42), at(.01, .6, .41))
				a.link("frame", "tube", at(.06, .4, .7), at(.02, .5, .32))
			})
			a.link("frame", "tube", Vec{X: -.1, Y: .4, Z: .35}, Vec{X: -.1, Y: -.4, Z: .33})
		}, 5, 31, 0, 1},
		"beam, leaves, kingpins": {func(a *axle) {
			leaves(Ball)(a)
			a.sys.Joints = a.sys.Joints[:0]
			a.sys.Links = a.sys.Links[:0]
			a.sys.Bodies = a.sys.Bodies[:2]
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"spring", 0, at(0, .45, 0).Y, .35)
				a.joint(Ball, "frame", p+"spring", at(.55, .45, .4), Vec{Y: 1})
				a.joint(Fixed, p+"spring", "axle", at(0, .45, .33), Vec{})
				a.link("frame", p+"spring", at(-.58, .45, .5), at(-.6, .45, .42))
				a.part(p+"stub", 0, at(0, .62, 0).Y, .3)
				a.joint(Pivot, "axle", p+"stub", at(0, .6, .3), at(0, -.1, 1))
				a.wheel(p, p+"stub", at)
			})
			a.link("l-stub", "r-stub", Vec{X: -.12, Y: .55, Z: .3}, Vec{X: -.12, Y: -.55, Z: .3})
			a.link("frame", "l-stub", Vec{X: -.7, Y: .4, Z: .45}, Vec{X: -.15, Y: .53, Z: .35})
		}, 7, 44, 0, 2},
		"sliding pillar, tube in": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"stub", 0, at(0, .62, 0).Y, .3)
				a.joint(Pivot, "frame", p+"stub", at(0, .6, .3), at(0, -.1, 1))
				a.wheel(p, p+"stub", at)
			})
			a.link("l-stub", "r-stub", Vec{X: -.12, Y: .55, Z: .3}, Vec{X: -.12, Y: -.55, Z: .3})
			a.link("frame", "l-stub", Vec{X: -.7, Y: .4, Z: .45}, Vec{X: -.15, Y: .53, Z: .35})
		}, 4, 24, 0, 0},
		"sliding pillar with springs": {func(a *axle) {
			sides(func(p string, at func(x, y, z float64) Vec) {
				a.part(p+"stub", 0, at(0, .62, 0).Y, .3)
				a.joint(Slider, "frame", p+"stub", at(0, .6, .3), at(0, -.1, 1))
				a.wheel(p, p+"stub", at)
				a.link("frame", p+"stub", at(0, .58, .5), at(0, .6, .35))
			})
			a.link("l-stub", "r-stub", Vec{X: -.12, Y: .55, Z: .3}, Vec{X: -.12, Y: -.55, Z: .3})
			a.link("frame", "l-stub", Vec{X: -.7, Y: .4, Z: .45}, Vec{X: -.15, Y: .53, Z: .35})
		}, 4, 24, 0, 0},
		"swinging arm": {func(a *axle) {
			a.part("arm", .2, 0, .3)
			a.part("wheel", 0, 0, .3)
			a.joint(Ball, "frame", "arm", Vec{X: .5, Y: .1, Z: .35}, Vec{})
			a.joint(Ball, "frame", "arm", Vec{X: .5, Y: -.1, Z: .35}, Vec{})
			a.joint(Fixed, "arm", "wheel", Vec{Z: .3}, Vec{})
			a.link("frame", "arm", Vec{X: .3, Y: .05, Z: .8}, Vec{X: .1, Y: .05, Z: .35})
		}, 2, 13, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			a := newAxle()
			c.build(a)
			require.Len(t, a.sys.Bodies, c.parts+1)
			m, err := New(a.sys)
			require.NoError(t, err)
			_, q := m.null.Dims()
			stress := 0
			if m.stress != nil {
				_, stress = m.stress.Dims()
			}
			assert.Equal(t, c.unknowns, m.n, "unknowns")
			assert.Equal(t, c.free, q-6, "free motions")
			assert.Equal(t, c.stress, stress, "self-stress")
			long := 0
			for i := range a.sys.Joints {
				less := a.sys
				less.Joints = append(append([]Joint(nil), a.sys.Joints[:i]...), a.sys.Joints[i+1:]...)
				if freedom(t, less) == 0 {
					long++
				}
			}
			// Of two long bearings either takes over for all that is forgotten on the other side.
			assert.Equal(t, map[string]int{"live axle, leaves, eyes long": 4}[name], long, "joints that may be forgotten")
			unnoticed := 0
			for i := range a.sys.Links {
				less := a.sys
				less.Links = append(append([]Link(nil), a.sys.Links[:i]...), a.sys.Links[i+1:]...)
				if freedom(t, less) == 0 {
					unnoticed++
				}
			}
			// Only what is one too many may be forgotten: a shackle of a stiff axle, one of the
			// seven members of parallel four links or a de Dion. The layout of the axle knows them.
			want := map[string]int{"live axle, leaves": 2, "live axle, leaves, eyes long": 2, "beam, leaves, kingpins": 2, "four links, Panhard rod": 7, "de Dion": 7}[name]
			assert.Equal(t, want, unnoticed, "links that may be forgotten")
		})
	}
}

// freedom is how many motions a vehicle has besides those of a stiff one; geometry that is
// refused is no location.
func freedom(t *testing.T, sys System) int {
	t.Helper()
	m, err := New(sys)
	if err != nil {
		var near *ErrNearlySingular
		require.ErrorAs(t, err, &near)
		return 1
	}
	_, q := m.null.Dims()
	return q - 6
}
