package layouts_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/model/looks"
)

// pairs gives every layout in front with every one behind that go there.
func pairs(give func(front, rear *layouts.Layout)) {
	for _, front := range layouts.All() {
		for _, rear := range layouts.All() {
			if front.Only != "rear" && rear.Only != "front" {
				give(front, rear)
			}
		}
	}
	wishbones, _ := layouts.Find("double wishbone")
	for _, l := range layouts.All() {
		switch on, err := layouts.Find(l.Name + " on coil-overs"); {
		case err != nil: // it has no strut
		case l.Only == "front":
			give(on, wishbones)
		default:
			give(wishbones, on)
		}
	}
}

// Every pair of layouts reads without a mistake, and so does its table of points
// once it is filled in: each row belongs to an item, and mirror makes the other side.
func TestEveryPairReads(t *testing.T) {
	n := 0
	pairs(func(front, rear *layouts.Layout) {
		n++
		car, table := layouts.Write(front, rear, "points.csv")
		name := front.Name + ", " + rear.Name
		filled := strings.ReplaceAll(string(table), ",,,,,,,\n", ",1000,500,300,3,tape,2026-11-20,TN\n")
		for _, points := range []string{string(table), filled} {
			b, err := model.Read("car.yaml", car, model.Companions{Table: func(string) ([]byte, error) { return []byte(points), nil }})
			require.NoError(t, err, "%s\n%s", name, car)
			assert.Len(t, b.Axles, 2)
			for _, link := range b.Of("links") {
				ends, _ := link.Record.Record("ends")
				for _, end := range ends.Names() {
					assert.True(t, held(b, link.ID+"/"+end), "%s: nothing holds %s/%s", name, link.ID, end)
				}
			}
			for _, joint := range b.Of("joints") {
				assert.True(t, held(b, joint.ID), "%s: nothing holds %s", name, joint.ID)
				if points == filled {
					_, known := joint.Vec("at")
					assert.True(t, known, "%s: %s has no point", name, joint.ID)
				}
			}
		}
	})
	assert.Greater(t, n, 60)
}

// A bolt for which no bracket is listed, as of a shackle in the eye of its spring or of a track
// rod in its rack, is not filled in like one in a welded tab: that would stop it.
func TestBoltsWithoutABracket(t *testing.T) {
	bare := 0
	pairs(func(front, rear *layouts.Layout) {
		car, _ := layouts.Write(front, rear, "points.csv")
		for line := range strings.Lines(string(car)) {
			id, _, _ := strings.Cut(strings.TrimSpace(line), ":")
			_, asks, first := strings.Cut(line, "  # thread, class, ")
			if !first {
				continue
			}
			at := id[:strings.LastIndex(id, "-")]
			for _, kind := range []string{"-u", "-pinch"} {
				at = strings.TrimSuffix(at, kind)
			}
			inBracket := strings.Contains(string(car), "\n  "+at+"-bracket")
			assert.Equal(t, !inBracket, strings.Contains(asks, "integral: yes"), "%s, %s: %s", front.Name, rear.Name, line)
			if !inBracket {
				bare++
			}
		}
	})
	assert.Positive(t, bare)
}

// A member that is not listed is missed, whichever it is, and not any more once
// somebody has struck it out in the log.
func TestForgottenMembersAreMissed(t *testing.T) {
	tried := 0
	pairs(func(front, rear *layouts.Layout) {
		car, _ := layouts.Write(front, rear, "points.csv")
		text := strings.Replace(string(car), "points: points.csv\n", "", 1)
		whole, err := model.Read("car.yaml", []byte(text), model.Companions{})
		require.NoError(t, err)
		require.Empty(t, whole.Troubles, "%s, %s", front.Name, rear.Name)
		for _, kind := range []string{"joints", "links"} {
			for _, item := range whole.Of(kind) {
				id := item.ID
				if id == "engine-mounts" || item.MirroredFrom != "" || strings.Contains(text, "like: "+id+",") {
					continue
				}
				var lines []string
				for _, line := range strings.Split(text, "\n") {
					if !strings.HasPrefix(line, "  "+id+":") && !strings.Contains(line, "["+id+"]") && !strings.Contains(line, "["+id+"/") {
						lines = append(lines, line)
					}
				}
				less := []byte(strings.Join(lines, "\n"))
				b, err := model.Read("car.yaml", less, model.Companions{})
				if err != nil {
					continue // what it held names it in another way
				}
				tried++
				require.NotEmpty(t, b.Troubles, "%s, %s without %s", front.Name, rear.Name, id)
				assert.Contains(t, b.Troubles[0].Message, id)
				log := "- {struck: {item: " + id + ", why: not on this car}, day: 2026-11-20, by: TN}\n"
				if twin, ok := strings.CutPrefix(id, "fl-"); ok {
					log += strings.Replace(log, id, "fr-"+twin, 1)
				}
				if twin, ok := strings.CutPrefix(id, "rl-"); ok {
					log += strings.Replace(log, id, "rr-"+twin, 1)
				}
				b, err = model.Read("car.yaml", less, model.Companions{Looks: []byte(log)})
				require.NoError(t, err)
				assert.Empty(t, b.Troubles, "%s, %s without %s, struck", front.Name, rear.Name, id)
			}
		}
	})
	assert.Greater(t, tried, 300)
}

// So is what holds an axle in the short kind, which lists no joints: the group of bolts, nuts,
// spacers or brackets that is not there, and half of one.
func TestForgottenHoldersAreMissed(t *testing.T) {
	tried := 0
	pairs(func(front, rear *layouts.Layout) {
		text := string(layouts.WriteShort(front, rear))
		troubles := func(text, log string) []looks.Trouble {
			b, err := model.Read("car.yaml", []byte(text), model.Companions{Looks: []byte(log)})
			require.NoError(t, err)
			return b.Troubles
		}
		require.Empty(t, troubles(text, ""), "%s, %s", front.Name, rear.Name)
		for _, h := range layouts.Held(front, rear) {
			at := strings.Index(text, "  "+h.ID+":")
			if h.Section == "wheels" || strings.Contains(text, "like: "+h.ID+",") {
				continue
			}
			line := text[at : at+strings.Index(text[at:], "\n")+1]
			less := strings.Replace(text, line, "", 1)
			missed := troubles(less, "")
			require.Len(t, missed, 1, "%s, %s without %s", front.Name, rear.Name, h.ID)
			assert.Contains(t, missed[0].Message, h.ID)
			// Struck out, it is said to be on no such vehicle: of a bar that locates the axle, of brackets and
			// spacers. What each wheel hangs on or steers by has something listed in its place.
			struck := "- {struck: {item: " + h.ID + ", why: not on this car}, day: 2026-11-20, by: TN}\n"
			if h.Once || h.Section == "welds" || h.Section == "spacers" {
				assert.Empty(t, troubles(less, struck), "%s, %s without %s, struck", front.Name, rear.Name, h.ID)
			} else {
				stopped := troubles(less, struck)
				require.Len(t, stopped, 1, "%s, %s without %s, struck", front.Name, rear.Name, h.ID)
				assert.Contains(t, stopped[0].Message, h.ID+" struck out, and nothing is listed in its place")
				instead := fmt.Sprintf("\nfasteners:\n  instead: {place: %s, role: pivot, needed: %d}\n", h.End, h.Pieces)
				assert.Empty(t, troubles(strings.Replace(less, "\nfasteners:\n", instead, 1), struck), "%s, %s with other bolts for %s", front.Name, rear.Name, h.ID)
			}
			if h.Pieces > 1 {
				few := strings.Replace(line, fmt.Sprintf("needed: %d", h.Pieces), fmt.Sprintf("needed: %d", h.Pieces-1), 1)
				assert.Len(t, troubles(strings.Replace(text, line, few, 1), ""), 1, "%s, %s with less of %s", front.Name, rear.Name, h.ID)
			}
			// A strut's may be called one of an arm, an arm's never one of a strut.
			if role := "role: " + h.Role; h.Role == "spring mount" || h.Role == "bracket" {
				other := strings.NewReplacer("spring mount", map[string]string{"fasteners": "pivot", "welds": "bracket"}[h.Section], "bracket", "spring mount").Replace(role)
				called := troubles(strings.Replace(text, line, strings.Replace(line, role, other, 1), 1), "")
				assert.Equal(t, h.Role == "bracket" && line != strings.Replace(line, role, other, 1), len(called) == 1, "%s, %s: %s is called %s: %v", front.Name, rear.Name, h.ID, other, called)
			}
			tried++
		}
	})
	assert.Greater(t, tried, 300)
}

func held(b *model.Build, target string) bool {
	for _, kind := range []string{"fasteners", "stud_nuts", "wheels"} {
		for _, item := range b.Of(kind) {
			for _, id := range item.Texts("holds") {
				if id == target {
					return true
				}
			}
		}
	}
	return false
}

func TestFind(t *testing.T) {
	for name, want := range map[string]string{
		"double wishbone": "double wishbone", "Double-Wishbone": "double wishbone", "wishbones": "double wishbone", "leaves": "live axle on leaves",
		"four links and Panhard rod": "four links and Panhard rod", "four-link panhard": "four links and Panhard rod", "De Dion": "de Dion",
		"wishbones + coilovers": "double wishbone on coil-overs", "Double-Wishbone on coil-overs": "double wishbone on coil-overs",
	} {
		l, err := layouts.Find(name)
		require.NoError(t, err, name)
		assert.Equal(t, want, l.Name)
	}
	_, err := layouts.Find("leaves on coil-overs")
	assert.EqualError(t, err, "live axle on leaves has no strut that a coil-over takes the place of")
	_, err = layouts.Find("duoble wishbone")
	assert.EqualError(t, err, `no layout is called "duoble wishbone" (did you mean "double wishbone"?)`)
	_, err = layouts.Find(" live axle")
	assert.ErrorContains(t, err, `no layout is called "live axle" (write which: beam axle on leaves; de Dion; four links and Panhard rod;`)
}

// TestOneWheel writes a vehicle with one wheel behind: its arm stands at the rear, and one strap
// ties it up.
func TestOneWheel(t *testing.T) {
	front, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	rear, err := layouts.Find("swinging arm with one wheel")
	require.NoError(t, err)
	car, _ := layouts.Write(front, rear, "p.csv")
	assert.Contains(t, string(car), "places: [front-left, front-right, rear, body]\n")
	assert.Contains(t, string(car), "r-swinging-arm: {role: arm, place: rear}")
	short := string(layouts.WriteShort(front, rear))
	assert.Contains(t, short, "rear-straps: {like: front-straps, ties: [rear], to: car, needed: 1}")
	assert.Contains(t, short, "rear-strut-brackets: {role: spring mount, place: rear, needed: 2}")
	assert.Contains(t, short, "front-track-rod-nuts: {place: front, steering: yes, needed: 2}")
}

// TestTwoPivots names the layouts whose wheels hang on two pivots each. By hand, from how these axles are
// made: a live axle has four eyes or shackles, and a wishbone two pivots and a ball.
func TestTwoPivots(t *testing.T) {
	var on []string
	for _, l := range layouts.All() {
		if l.TwoPivots() {
			on = append(on, l.Name)
		}
	}
	assert.Equal(t, []string{"semi-trailing arm", "swing axle", "swing axle on two pivots", "swinging arm with one wheel", "trailing arm"}, on)
}

// No layout is called what another one is called.
func TestNamesAreOfOneLayout(t *testing.T) {
	for _, l := range layouts.All() {
		for _, name := range append([]string{l.Name}, l.Also...) {
			found, err := layouts.Find(name)
			require.NoError(t, err)
			assert.Equal(t, l.Name, found.Name, fmt.Sprintf("%q is of two layouts", name))
		}
	}
}

// The brackets of all joints that are alike, forgotten together, are missed by the layout of
// their axle: what holds a joint may not go unlisted because its neighbour's does too.
func TestForgottenBracketsAreMissed(t *testing.T) {
	tried := 0
	pairs(func(front, rear *layouts.Layout) {
		car, _ := layouts.Write(front, rear, "points.csv")
		text := strings.Replace(string(car), "points: points.csv\n", "", 1)
		whole, err := model.Read("car.yaml", []byte(text), model.Companions{})
		require.NoError(t, err)
		pivots := map[string]bool{}
		for _, joint := range whole.Of("joints") {
			kind, _ := joint.Text("kind")
			for _, weld := range whole.Of("welds") {
				if holds := weld.Texts("holds"); len(holds) == 1 && holds[0] == joint.ID && !strings.HasSuffix(kind, "face") {
					pivots[joint.ID] = true
				}
			}
		}
		var lines []string
		for _, line := range strings.Split(text, "\n") {
			if !strings.Contains(line, "-bracket:") {
				lines = append(lines, line)
			}
		}
		less := []byte(strings.Join(lines, "\n"))
		b, err := model.Read("car.yaml", less, model.Companions{})
		require.NoError(t, err, "%s, %s", front.Name, rear.Name)
		for id := range pivots {
			tried++
			assert.True(t, slices.ContainsFunc(b.Troubles, func(trouble looks.Trouble) bool {
				return strings.HasPrefix(trouble.Message, id+" stands in a bracket")
			}), "%s, %s: the bracket of %s", front.Name, rear.Name, id)
		}
	})
	assert.Greater(t, tried, 200)
}

// A swinging arm turns in two brackets of the frame, each of which is listed.
func TestSwingingArmStandsInBrackets(t *testing.T) {
	front, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	rear, err := layouts.Find("swinging arm")
	require.NoError(t, err)
	car, _ := layouts.Write(front, rear, "points.csv")
	for _, weld := range []string{"r-pivot-left-bracket", "r-pivot-right-bracket"} {
		assert.Contains(t, string(car), "  "+weld+":")
	}
}

// Each wheel face has the direction that its layout gives it: without it no travel and no
// height is worked out.
func TestWheelFacesHaveTheirAxis(t *testing.T) {
	faces := 0
	pairs(func(front, rear *layouts.Layout) {
		car, _ := layouts.Write(front, rear, "points.csv")
		text := strings.Replace(string(car), "points: points.csv\n", "", 1)
		b, err := model.Read("car.yaml", []byte(text), model.Companions{})
		require.NoError(t, err)
		for _, joint := range b.Of("joints") {
			if between := joint.Texts("between"); strings.HasSuffix(between[0], "wheel") {
				_, has := joint.Vec("axis")
				assert.True(t, has, "%s, %s: %s", front.Name, rear.Name, joint.ID)
				faces++
			}
		}
	})
	assert.NotZero(t, faces)
}

// The short kind of every pair reads without a mistake. It has as many bolts, nuts, spacers and
// brackets as the long kind of the same vehicle, and no group that nobody presses.
func TestEveryShortPairReads(t *testing.T) {
	const mostGroups = 45
	pieces := func(b *model.Build) map[string]int64 {
		n := map[string]int64{}
		for _, kind := range []string{"fasteners", "stud_nuts", "spacers", "welds", "wheels"} {
			for _, item := range b.Of(kind) {
				one := int64(1)
				if item.Kind.Field("needed") != nil {
					if needed, ok := item.Count("needed"); ok {
						one = needed
					}
				}
				n[kind] += one
			}
		}
		return n
	}
	pairs(func(front, rear *layouts.Layout) {
		name := front.Name + ", " + rear.Name
		short, err := model.Read("car.yaml", layouts.WriteShort(front, rear), model.Companions{})
		require.NoError(t, err, "%s\n%s", name, layouts.WriteShort(front, rear))
		assert.Empty(t, short.Troubles, name)
		car, _ := layouts.Write(front, rear, "points.csv")
		long, err := model.Read("car.yaml", []byte(strings.Replace(string(car), "points: points.csv\n", "", 1)), model.Companions{})
		require.NoError(t, err)
		assert.Equal(t, pieces(long), pieces(short), name)
		groups := 0
		for _, kind := range []string{"fasteners", "stud_nuts", "spacers", "welds", "wheels"} {
			groups += len(short.Of(kind))
		}
		assert.LessOrEqual(t, groups, mostGroups, name)
	})
}

// What differs in kind is not like another: an arm that swings weighs otherwise than a wishbone,
// and bolts of axles that are laid out otherwise are of other sizes.
func TestLikeIsOfOneClass(t *testing.T) {
	alike := 0
	pairs(func(front, rear *layouts.Layout) {
		car, _ := layouts.Write(front, rear, "points.csv")
		b, err := model.Read("car.yaml", []byte(strings.Replace(string(car), "points: points.csv\n", "", 1)), model.Companions{})
		require.NoError(t, err)
		for _, part := range b.Of("parts") {
			if part.Base == "" {
				continue
			}
			one, other := strings.TrimLeft(part.ID, "frl"), strings.TrimLeft(part.Base, "frl")
			for _, word := range []string{"lower-", "upper-"} {
				one, other = strings.Replace(one, word, "", 1), strings.Replace(other, word, "", 1)
			}
			assert.Equal(t, other, one, "%s, %s: %s is like %s", front.Name, rear.Name, part.ID, part.Base)
		}
		for _, kind := range []string{"fasteners", "stud_nuts", "spacers", "welds", "links"} {
			for _, item := range b.Of(kind) {
				if front.Name != rear.Name && item.Base != "" {
					alike++
					assert.Equal(t, item.Base[0], item.ID[0], "%s, %s: %s is like %s", front.Name, rear.Name, item.ID, item.Base)
				}
			}
		}
	})
	assert.NotZero(t, alike)
}
