package model_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
)

// TestPlaceOfAnItem: as written, else by the initials of its id.
func TestPlaceOfAnItem(t *testing.T) {
	b, err := model.Read("b.yaml", []byte(`format: setdown/1
places: [front-left, body]
parts:
  fl-arm: {}
  fl-bar: {place: body}
  fla-arm: {}
  b-pillar: {}
moves:
  fl-move: {kind: lift, steps: [{name: up, supports: [jack]}]}
supports:
  jack: {kind: jack}
`), model.Companions{})
	require.NoError(t, err)
	for id, place := range map[string]string{
		"fl-arm": "front-left", "fl-bar": "body", "fla-arm": "",
		"b-pillar": "",           // one letter is nobody's initials
		"fl-move":  "front-left", // of a kind without the field
	} {
		require.Equal(t, place, b.Place(b.Item(id)), id)
	}
}
