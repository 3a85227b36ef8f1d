package vehicle

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/model"
)

// TestBare holds what the places of supports say against plain cases: weight in the middle, four
// corners, a jack in the middle of an end or at a corner.
func TestBare(t *testing.T) {
	stands := func(places ...string) (all []stood) {
		for _, place := range places {
			w := model.WhereIs(place)
			at := w.End
			if at == "" && place != "body" {
				at = place
			}
			all = append(all, stood{Where: w, at: at})
		}
		return all
	}
	for _, c := range []struct {
		places []string
		how    string
	}{
		{[]string{"front", "front", "rear", "rear"}, ""},
		{[]string{"front-left", "front-right", "rear"}, ""},
		{[]string{"FL", "fr", "rl", "rr"}, ""},
		{[]string{"nose", "nose", "tail"}, ""},
		{[]string{"front", "front-left", "front-right"}, "nothing stands under its rear"},
		{[]string{"rear", "back", "rl", "body"}, "nothing stands under its front"},
		{[]string{"front-left", "rear-left", "rear-left"}, "nothing stands under its right"},
		{[]string{"front-left", "rear-right", "rear-right", "front-left"}, "all its supports stand in two corners, in one line across it"},
		{[]string{"body", "body", "body"}, "no support has a place at an end of it"},
		{[]string{"tail", "tail", "tail"}, "all that has a place at an end of it stands in tail"},
	} {
		assert.Equal(t, c.how, bare(stands(c.places...)), "%v", c.places)
	}
	for _, c := range []struct {
		jack   string
		stands []string
		is     bool
	}{
		{"rear", []string{"front", "front"}, true},
		{"rear", []string{"front-left", "front-right"}, true},
		{"tail", []string{"nose", "nose"}, true},
		{"rear", []string{"front-left", "front-left"}, false},
		{"rear-left", []string{"front-left", "front-right"}, false},
		{"rear", []string{"front", "rear"}, false},
		{"rear", []string{"rear-left", "rear-right"}, false},
	} {
		three := stands(append(c.stands, c.jack)...)
		three[2].lifts = true
		assert.Equal(t, c.is, noTriangle(three) == "", "%s with %v", c.jack, c.stands)
	}
}
