package quantity

// metricSize is a nominal diameter with its coarse pitch, zero when it has none,
// and its fine pitches, all in mm.
type metricSize struct {
	diameter, coarse float64
	fine             []float64
}

// metricSizes are the sizes of ISO 261 from 2 mm up to 64 mm with the pitches
// that it lists for each. From memory.
var metricSizes = []metricSize{
	{2, 0.4, []float64{0.25}}, {2.5, 0.45, []float64{0.35}},
	{3, 0.5, []float64{0.35}}, {3.5, 0.6, []float64{0.35}},
	{4, 0.7, []float64{0.5}}, {4.5, 0.75, []float64{0.5}},
	{5, 0.8, []float64{0.5}}, {5.5, 0, []float64{0.5}},
	{6, 1, []float64{0.75}}, {7, 1, []float64{0.75}},
	{8, 1.25, []float64{1, 0.75}}, {9, 1.25, []float64{1, 0.75}},
	{10, 1.5, []float64{1.25, 1, 0.75}}, {11, 1.5, []float64{1, 0.75}},
	{12, 1.75, []float64{1.5, 1.25, 1}},
	{14, 2, []float64{1.5, 1.25, 1}}, {15, 0, []float64{1.5, 1}},
	{16, 2, []float64{1.5, 1}}, {17, 0, []float64{1.5, 1}},
	{18, 2.5, []float64{2, 1.5, 1}}, {20, 2.5, []float64{2, 1.5, 1}}, {22, 2.5, []float64{2, 1.5, 1}},
	{24, 3, []float64{2, 1.5, 1}}, {25, 0, []float64{2, 1.5, 1}}, {26, 0, []float64{1.5}},
	{27, 3, []float64{2, 1.5, 1}}, {28, 0, []float64{2, 1.5, 1}},
	{30, 3.5, []float64{3, 2, 1.5, 1}}, {32, 0, []float64{2, 1.5}},
	{33, 3.5, []float64{3, 2, 1.5}}, {35, 0, []float64{1.5}},
	{36, 4, []float64{3, 2, 1.5}}, {38, 0, []float64{1.5}},
	{39, 4, []float64{3, 2, 1.5}}, {40, 0, []float64{3, 2, 1.5}},
	{42, 4.5, []float64{4, 3, 2, 1.5}}, {45, 4.5, []float64{4, 3, 2, 1.5}},
	{48, 5, []float64{4, 3, 2, 1.5}}, {50, 0, []float64{3, 2, 1.5}}, {52, 5, []float64{4, 3, 2, 1.5}},
	{55, 0, []float64{4, 3, 2, 1.5}}, {56, 5.5, []float64{4, 3, 2, 1.5}},
	{60, 5.5, []float64{4, 3, 2, 1.5}}, {64, 6, []float64{4, 3, 2, 1.5}},
}

// unifiedSize is a nominal size as it is written, its diameter in inches, and
// its threads an inch in the coarse, fine and extra-fine series, zero where it
// has none, in the series of constant pitch and among the specials.
type unifiedSize struct {
	name              string
	diameter          float64
	unc, unf, unef    float64
	constant, special []float64
}

// unifiedSizes are the sizes of ASME B1.1 up to 1 1/2 in. From memory; of the
// specials only the one in everyday use.
var unifiedSizes = []unifiedSize{
	{"#0", 0.060, 0, 80, 0, nil, nil}, {"#1", 0.073, 64, 72, 0, nil, nil}, {"#2", 0.086, 56, 64, 0, nil, nil},
	{"#3", 0.099, 48, 56, 0, nil, nil}, {"#4", 0.112, 40, 48, 0, nil, nil}, {"#5", 0.125, 40, 44, 0, nil, nil},
	{"#6", 0.138, 32, 40, 0, nil, nil}, {"#8", 0.164, 32, 36, 0, nil, nil},
	{"#10", 0.190, 24, 32, 0, nil, nil}, {"#12", 0.216, 24, 28, 32, nil, nil},
	{"1/4", 0.25, 20, 28, 32, nil, nil},
	{"5/16", 0.3125, 18, 24, 32, []float64{20, 28}, nil},
	{"3/8", 0.375, 16, 24, 32, []float64{20, 28}, nil},
	{"7/16", 0.4375, 14, 20, 28, []float64{16, 32}, nil},
	{"1/2", 0.5, 13, 20, 28, []float64{16, 32}, nil},
	{"9/16", 0.5625, 12, 18, 24, []float64{16, 20, 28, 32}, nil},
	{"5/8", 0.625, 11, 18, 24, []float64{12, 16, 20, 28, 32}, nil},
	{"11/16", 0.6875, 0, 0, 24, []float64{12, 16, 20, 28, 32}, nil},
	{"3/4", 0.75, 10, 16, 20, []float64{12, 28, 32}, nil},
	{"13/16", 0.8125, 0, 0, 20, []float64{12, 16, 28, 32}, nil},
	{"7/8", 0.875, 9, 14, 20, []float64{12, 16, 28, 32}, nil},
	{"15/16", 0.9375, 0, 0, 20, []float64{12, 16, 28, 32}, nil},
	{"1", 1, 8, 12, 20, []float64{16, 28, 32}, []float64{14}},
	{"1 1/16", 1.0625, 0, 0, 18, []float64{8, 12, 16, 20, 28}, nil},
	{"1 1/8", 1.125, 7, 12, 18, []float64{8, 16, 20, 28}, nil},
	{"1 3/16", 1.1875, 0, 0, 18, []float64{8, 12, 16, 20, 28}, nil},
	{"1 1/4", 1.25, 7, 12, 18, []float64{8, 16, 20, 28}, nil},
	{"1 5/16", 1.3125, 0, 0, 18, []float64{8, 12, 16, 20, 28}, nil},
	{"1 3/8", 1.375, 6, 12, 18, []float64{8, 16, 20, 28}, nil},
	{"1 7/16", 1.4375, 0, 0, 18, []float64{6, 8, 12, 16, 20, 28}, nil},
	{"1 1/2", 1.5, 6, 12, 18, []float64{8, 16, 20, 28}, nil},
}

// pitches lists the threads an inch of a size with the series of each, in the
// order coarse, fine, extra fine, constant pitch, special.
func (s unifiedSize) pitches() []unifiedPitch {
	var all []unifiedPitch
	for _, p := range []unifiedPitch{{s.unc, "UNC"}, {s.unf, "UNF"}, {s.unef, "UNEF"}} {
		if p.perInch != 0 {
			all = append(all, p)
		}
	}
	for _, n := range s.constant {
		all = append(all, unifiedPitch{n, "UN"})
	}
	for _, n := range s.special {
		all = append(all, unifiedPitch{n, "UNS"})
	}
	return all
}

type unifiedPitch struct {
	perInch float64
	series  string
}
