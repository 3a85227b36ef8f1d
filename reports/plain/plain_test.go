package plain

import (
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"

	"setdown/rules/verdict"

	_ "setdown/reports/golden" // for -update
)

func TestShown(t *testing.T) {
	for want, v := range map[string]float64{"218 kg": 218.2, "74 kg": 74.4, "9.5 kg": 9.46, "0.45 kg": 0.4527, "0 kg": -0.001, "-10 kg": -9.99, "10769 kg": 10768.6} {
		assert.Equal(t, want, Shown(verdict.Figure{Value: v, Unit: "kg"}))
	}
}

// A utilisation is never rounded to what would change its meaning.
func TestPercent(t *testing.T) {
	for want, v := range map[string]float64{"0 %": 0, "<1 %": 0.0004, "43 %": 0.43, "100 %": 1, ">100 %": 1.0004, "101 %": 1.006, "326 %": 3.26} {
		assert.Equal(t, want, Percent(v))
	}
}

// Nothing that steers a terminal, turns text round or breaks XML gets through.
func TestLines(t *testing.T) {
	const bad = "a\x1b[2J\x9b\r\nb\tc\u202ed\u2028e\ufffff\ufffeg\xff\x00h\u00a0i"
	assert.Equal(t, `a\x1b[2J\ufffd  b c\u202ed e\ufffff\ufffeg\ufffd\x00h i`, Line(bad))
	assert.Equal(t, `a\x1b[2J\ufffd `+"\n"+`b c\u202ed e\ufffff\ufffeg\ufffd\x00h i`, Lines(bad))
	for r := rune(0); r <= unicode.MaxRune; r++ {
		for _, got := range Line(string(r)) {
			assert.False(t, unicode.IsControl(got) || unicode.In(got, unicode.Cf, unicode.Zl, unicode.Zp), "%U", r)
		}
	}
}
