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

func TestDidYouMean(t *testing.T) {
	known := []string{"wheels", "welds"}
	require.Equal(t, `did you mean "welds"?`, DidYouMean("wleds", known, "they are wheels, welds"))
	require.Equal(t, "they are wheels, welds", DidYouMean("aardvark", known, "they are wheels, welds"))
	require.Empty(t, DidYouMean("aardvark", nil, ""))
}
