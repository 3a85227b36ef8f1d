package facts

import (
	"setdown/model/quantity"
	"setdown/model/strength"
)

// ofTabs compare what a fastener carries with what the tab bears that it goes through; a bolt in
// double shear has two.
var ofTabs = []fact{
	measured("bearing_utilisation", quantity.Number, "load × design factor ÷ bearing strength of the tab", use(tabBears)),
	measured("tear_out_utilisation", quantity.Number, "load × design factor ÷ tear-out strength of the tab", use(tabTears, tabNet)),
	working(tabBears, func(it item) *Comparison {
		return onTab(it, "tab crushed by the bolt", nil, func(t tabLoad, _ []float64, _ *guesses) (strength.Result, error) {
			r, err := strength.Bearing(t.bolt, t.thickness, t.metal.Yield)
			r.Assumptions = append(r.Assumptions, t.assumed, t.metal.Source)
			return r, err
		})
	}),
	working(tabTears, func(it item) *Comparison {
		return onTab(it, "tear-out of the tab", []amount{hole, tabEdge}, func(t tabLoad, v []float64, _ *guesses) (strength.Result, error) {
			r, err := strength.TearOut(v[0], v[1], t.thickness, t.metal.Yield)
			r.Assumptions = append(r.Assumptions, t.assumed)
			return r, err
		})
	}),
	working(tabNet, func(it item) *Comparison {
		tabTears.of(it)
		return onTab(it, "net section of the tab", []amount{hole}, func(t tabLoad, v []float64, g *guesses) (strength.Result, error) {
			// 1.2 holes from the middle of a hole to the edge beside it are the least of EN 1993-1-8,
			// table 3.3.
			const least = 2 * 1.2
			width, measured := tabWidth.ifStated(it)
			if !measured {
				width = least * v[0]
				g.add(it, paths[tabWidth.field], guess{words: "tab.width not recorded: " + quantity.Of(width, quantity.Length, "mm").String() + " taken", likely: true})
			}
			r, err := strength.NetSection(width, v[0], t.thickness, t.metal.Yield)
			r.Assumptions = append(r.Assumptions, t.assumed)
			return r, err
		})
	}),
}

// tabLoad is a tab and what one of them carries.
type tabLoad struct {
	load            float64 // N
	bolt, thickness float64 // m
	metal           strength.Material
	assumed         string // how many share the load
}

// onTab compares the load on a tab with what a method makes of it and of the sizes that the
// method asks for.
func onTab(it item, name string, sizes []amount, method func(tabLoad, []float64, *guesses) (strength.Result, error)) *Comparison {
	b := bolt.of(it)
	if what, _ := role.ifStated(it); b.idle || it.open() || what == "U-bolt" { // which bears in no tab
		return nil
	}
	if !tab.there(it) {
		it.lacks("tab")
		return nil
	}
	t := tabLoad{load: b.across, thickness: tabThickness.of(it), assumed: "one tab carries the load"}
	if pin.there(it) {
		t.bolt = pinDiameter.of(it)
	} else {
		t.bolt = threadThere(it).Diameter
	}
	g := b.taken()
	if pin.there(it) || planes(it, &g) == 2 {
		t.load, t.assumed = b.across/2, "two tabs carry half each"
	}
	if it.open() {
		return nil
	}
	values := make([]float64, len(sizes))
	for i, size := range sizes {
		values[i] = size.of(it)
	}
	if it.open() {
		return nil
	}
	var r strength.Result
	var err error
	if t.metal, err = it.metal(tabMaterial, t.thickness, false, &g); err == nil {
		if integral, _ := tabIntegral.ifStated(it); !integral {
			t.metal.Yield = t.metal.Welded // a bracket is welded on, and its hole is near the weld
		}
		r, err = method(t, values, &g)
	}
	return it.orAsk(it.compare(name, t.load, r, err), g)
}
