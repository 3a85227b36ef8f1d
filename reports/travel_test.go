package reports_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/reports"
	"setdown/reports/golden"
	"setdown/rules/travel"
	"setdown/rules/verdict"
)

// moved is what the suspension of the as-found demo does, with a wheel that could not
// be moved and one that ends its travel early put in.
func moved(t *testing.T) *verdict.Travel {
	t.Helper()
	build, err := model.Load("../testdata/builds/special-asfound.yaml")
	require.NoError(t, err)
	build.File = "special-asfound.yaml"
	doc, err := travel.Of(build, travel.Options{Droop: 0.04, Bump: 0.04, Rack: 0.03, Good: 0.05 * math.Pi / 180})
	require.NoError(t, err)
	return doc
}

func stood(t *testing.T) *verdict.Height {
	t.Helper()
	build, err := model.Load("../testdata/builds/special-asfound.yaml")
	require.NoError(t, err)
	build.File = "special-asfound.yaml"
	doc, err := travel.Heights(build, map[string]float64{"rear-left": 0.03, "rear-right": 0.004}, 0)
	require.NoError(t, err)
	return doc
}

// odd is travel with everything that the demo leaves out.
func odd() *verdict.Travel {
	limit, ratio := 12.0, 0.55
	curve := []verdict.CurvePoint{{Travel: -40, Toe: 0.2, Camber: 1}, {}, {Travel: 40, Toe: -0.3, Camber: -1, HalfTrack: 2}}
	return &verdict.Travel{
		Format: verdict.TravelFormat, File: "odd.yaml", Droop: 40, Bump: 60, Good: 0.05, GuessedPlusMinus: 3, Assumed: []string{"a.b=c"},
		Wheels: []verdict.WheelTravel{
			{Place: "front-left", Wheel: "fl-wheel", Trouble: &verdict.TravelTrouble{Kind: verdict.TravelNotRecorded, Fields: []string{"joints.fl-ball.at"}}},
			{Place: "front-right", Wheel: "fr-wheel", Trouble: &verdict.TravelTrouble{Kind: verdict.TravelFree, Parts: []string{"fr-upright", "fr-wheel"}}},
			{Place: "middle", Wheel: "m-wheel", Trouble: &verdict.TravelTrouble{Kind: verdict.TravelLocked}},
			{Place: "above", Wheel: "a-wheel", Trouble: &verdict.TravelTrouble{Kind: verdict.TravelUnlocated}},
			{Place: "below", Wheel: "u-wheel", Trouble: &verdict.TravelTrouble{Kind: verdict.TravelTogether}},
			{Place: "behind", Wheel: "b-wheel", Trouble: &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: "b-link has no length"}},
			{
				Place: "rear-left", Wheel: "rl-wheel", With: []string{"rr-wheel"}, Together: true, Strut: "rl-strut", Curve: curve,
				Rows: []verdict.TravelRow{{CurvePoint: curve[0], ToeBand: 0.2, Worst: "rl-toe/inner", MotionRatio: &ratio}, {CurvePoint: curve[1]}, {CurvePoint: curve[2]}},
				Ends: []verdict.TravelEnd{
					{Kind: verdict.Binds, At: 41.25}, {Kind: verdict.TwoWays, At: -30}, {Kind: verdict.WorkAgainst, At: 12}, {Kind: verdict.Binds, Rack: 33}, {Kind: verdict.OverCentre, At: 22},
				},
				Angles: []verdict.JointAngle{{Joint: "rl-ball", Most: 26, Limit: &limit, Over: true}, {Joint: "rl-bush", Most: 1}},
				ToeLinks: []verdict.ToeLink{
					{Link: "rl-toe", End: "rl-toe/inner", Change: 0.3, At: 40, Nowhere: "the outer end goes up in a straight line"},
					{Link: "rl-second", End: "rl-second/inner", Change: 0.01, Enough: true, Now: verdict.Point{Y: -200}, Place: &verdict.ToePlace{Move: [3]float64{0, 0.01, 0}, Within: 4}},
				},
			},
		},
	}
}

func TestTravelGolden(t *testing.T) {
	for name, doc := range map[string]*verdict.Travel{"travel": moved(t), "travel-odd": odd()} {
		for _, f := range reports.Travel.Formats() {
			if f.Name == "json" && name == "travel" {
				continue // 41 heights of each wheel with six places: its figures are held elsewhere
			}
			t.Run(name+"."+f.Name, func(t *testing.T) {
				golden.Equal(t, filepath.Join(folder, name+"."+f.Name), written(t, reports.Travel, f.Name, doc))
			})
		}
	}
	for _, f := range reports.Height.Formats() {
		t.Run("height."+f.Name, func(t *testing.T) {
			golden.Equal(t, filepath.Join(folder, "height."+f.Name), written(t, reports.Height, f.Name, stood(t)))
		})
	}
}

func written[T any](t *testing.T, d reports.Document[T], format string, doc T) string {
	t.Helper()
	write, err := d.As(format)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, write(&b, doc, reports.Options{}))
	return b.String()
}

// One screen for a car: at most 40 lines but for what stands in the file twice.
func TestTravelIsShort(t *testing.T) {
	text := written(t, reports.Travel, "text", moved(t))
	for line := range strings.Lines(text) {
		require.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), 80, line)
	}
	require.LessOrEqual(t, strings.Count(written(t, reports.Height, "text", stood(t)), "\n"), 40)
}

// What alike springs lack is said once for all wheels, and nothing stands under a heading of
// its own where nothing is known; a spring on its stop has no turns.
func TestHeightsOnSprings(t *testing.T) {
	read := func() *model.Build {
		build, err := model.Load("../testdata/sprung/special.yaml")
		require.NoError(t, err)
		return build
	}
	text := func(b *model.Build) string {
		doc, err := travel.Heights(b, nil, 0)
		require.NoError(t, err)
		return strings.Join(strings.Fields(written(t, reports.Height, "text", doc)), " ")
	}
	unseated, low := read(), read()
	for _, id := range []string{"fl-spring", "fr-spring"} {
		found, _ := unseated.Item(id).Record.Record("found")
		found.Delete("seats")
	}
	require.Contains(t, text(unseated), "- front-left, front-right, rear-right, rear-left: not computed, for these are not recorded: seats of fl-spring, fr-spring These are")
	found, _ := low.Item("rr-spring").Record.Record("found")
	found.Set("seats", schema.Value{V: quantity.Of(0.02, quantity.Length, "mm")})
	require.Contains(t, text(low), "- rear-right: rr-spring is on its stop: its damper is at its closed length, and its collar moves nothing until it is off it; for the height that is wanted its seat is ")
}

func TestTravelBreaksNothing(t *testing.T) {
	for _, doc := range []*verdict.Travel{moved(t), odd()} {
		poison(reflect.ValueOf(doc))
		for _, f := range reports.Travel.Formats() {
			got := written(t, reports.Travel, f.Name, doc)
			require.False(t, strings.Contains(got, "\x1b"), f.Name)
			require.False(t, f.Name != "json" && strings.Contains(got, "\u202e"), f.Name)
			switch f.Name {
			case "text":
				require.False(t, regexp.MustCompile(`(?m)^GO`).MatchString(got))
			case "svg", "html":
				require.False(t, strings.Contains(got, "<script"))
				wellFormed(t, got)
			case "csv":
				rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
				require.NoError(t, err)
				for _, row := range rows[1:] {
					require.NotRegexp(t, `^\s*[=+@]`, row[0])
				}
			}
		}
	}
	h := stood(t)
	poison(reflect.ValueOf(h))
	for _, f := range reports.Height.Formats() {
		require.False(t, strings.Contains(written(t, reports.Height, f.Name, h), "\x1b"), f.Name)
	}
}

// wellFormed reads a page or picture to its end.
func wellFormed(t *testing.T, text string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}

func TestAFullDiskIsAnErrorOfTravel(t *testing.T) {
	for _, f := range reports.Travel.Formats() {
		write, err := reports.Travel.As(f.Name)
		require.NoError(t, err)
		require.ErrorIs(t, write(broken{}, odd(), reports.Options{}), io.ErrShortWrite, f.Name)
	}
	for _, f := range reports.Height.Formats() {
		write, err := reports.Height.As(f.Name)
		require.NoError(t, err)
		require.ErrorIs(t, write(broken{}, stood(t), reports.Options{}), io.ErrShortWrite, f.Name)
	}
}
