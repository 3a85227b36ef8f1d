package check_test

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRatedOrProven takes the ratings of all joints out of a demo that is GO, and has the
// axle load of a production vehicle stand in for them.
func TestRatedOrProven(t *testing.T) {
	file := text(t, "buggy-mended")
	ratings := regexp.MustCompile(`static_rating: 30 kN, axial_rating: \d+ kN, `)
	require.NotEmpty(t, ratings.FindAllString(file, -1))
	with := func(words string) []string { return stopped(t, ratings.ReplaceAllString(file, words+" ")) }
	require.Empty(t, stopped(t, file))
	assert.Equal(t, []string{"joint-rated"}, with(""), "no rating")
	assert.Empty(t, with("proven: {vehicle: light van, axle_load: 1100 kg, altered: no},"))
	assert.Contains(t, with("proven: {vehicle: light van, axle_load: 1100 kg, altered: yes},"), "joint-rated")
	assert.Contains(t, with("proven: {vehicle: light van, axle_load: 1100 kg},"), "joint-rated", "nobody said whether it was altered")
	assert.Contains(t, with("proven: {axle_load: 1100 kg, altered: no},"), "joint-rated", "off which vehicle?")
	assert.Contains(t, with("proven: {vehicle: hand cart, axle_load: 100 kg, altered: no},"), "joint-rating", "more than the axle carried")
}
