package strength

import "math"

// StressArea is the tensile stress area of a thread, m².
//
//	metric   As = π/4·(d − 0.9382·P)²   ISO 898-1, clause 9.1.6.1 (from memory)
//	unified  At = π/4·(d − 0.9743·P)²   ASME B1.1 (from memory), P = 1/n
//
// d is the nominal diameter and P the pitch, both in m.
func StressArea(d, pitch float64, metric bool) (float64, error) {
	if err := positive("stress area", d, pitch); err != nil {
		return 0, err
	}
	k := 0.9743
	if metric {
		k = 0.9382
	}
	core := d - k*pitch
	if core <= 0.5*d {
		return 0, outside("stress area", "the pitch is too coarse for the diameter")
	}
	return math.Pi / 4 * core * core, nil
}

// RootDiameter is the diameter at the root of the thread, m, for shear and
// bending through the thread: d − 1.22687·P for 60° threads, the rounded root of
// ISO 68-1 and ASME B1.1 (from memory).
func RootDiameter(d, pitch float64) (float64, error) {
	if err := positive("root diameter", d, pitch); err != nil {
		return 0, err
	}
	root := d - 1.22687*pitch
	if root <= 0.5*d {
		return 0, outside("root diameter", "the pitch is too coarse for the diameter")
	}
	return root, nil
}
