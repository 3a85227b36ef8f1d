package strength

// Preload is the clamp force of a torqued bolt, N.
//
//	F = T / (K · d)
//
// T is the torque in N·m, K the nut factor, d the nominal diameter in m. K is
// about 0.20 for plain or zinc-plated threads, 0.30 dry and black, 0.18
// lubricated; it scatters by a quarter and more. Source: Shigley, Mechanical
// Engineering Design, eq. 8-27 and table 8-15 (from memory).
func Preload(torque, k, d float64) (float64, error) {
	if err := positive("preload", torque, k, d); err != nil {
		return 0, err
	}
	return torque / (k * d), nil
}
