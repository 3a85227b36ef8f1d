package quantity_test

import (
	"fmt"

	"setdown/model/quantity"
)

func ExampleParse() {
	mass, _ := quantity.Parse("420 ± 15 kg", quantity.Mass)
	fmt.Println(mass)

	rating, _ := quantity.Parse("2 t", quantity.Load)
	newtons, _ := rating.In("N")
	fmt.Println(rating, "is", quantity.Format(newtons), "N")

	_, err := quantity.Parse("60 kg", quantity.Torque)
	fmt.Println(err)
	// Output:
	// 420 kg ± 15 kg
	// 2 t is 19613 N
	// "60 kg" is a mass; it must be a torque, for example 60 N·m or 45 ft·lbf
}

func ExampleOf() {
	fmt.Println(quantity.Of(39583.33, quantity.Force, "kN"))
	// Output: 39.58 kN
}

func ExampleParseThread() {
	bolt, _ := quantity.ParseThread("M12-6g")
	nut, _ := quantity.ParseThread("M12 x 1.5")
	fmt.Println(bolt, nut, bolt.Mates(nut))

	_, err := quantity.ParseThread("M10x1.75")
	fmt.Println(err)
	// Output:
	// M12x1.75 M12x1.5 false
	// "M10x1.75" has a pitch that is not standard; there is M10x1.5, M10x1.25, M10x1 or M10x0.75
}

func ExampleDate_DaysUntil() {
	seen, _ := quantity.ParseDate("2026-11-20")
	today, _ := quantity.ParseDate("2026-12-04")
	fmt.Println(seen.DaysUntil(today))
	// Output: 14
}
