package golden

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDifference(t *testing.T) {
	assert.Empty(t, difference("a\nb\n", "a\nb\n"))
	assert.Equal(t, "from line 2 on:\n- b\n+ c\n+ d\n", difference("a\nb\ne\n", "a\nc\nd\ne\n"))
	assert.Equal(t, "from line 3 on:\n+ c\n", difference("a\nb\n", "a\nb\nc\n"))
	assert.Contains(t, difference("", strings.Repeat("a\n", 30)), "+ and 10 more lines")
}
