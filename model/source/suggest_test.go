package source

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSuggestSwapped(t *testing.T) {
	require.Equal(t, "welds", Suggest("wleds", []string{"wheels", "welds", "moves"}))
	require.Equal(t, "html", Suggest("htlm", []string{"text", "json", "html"}))
	require.Empty(t, Suggest("ba", []string{"cd"}))
}
