package page

import (
	"image"
	"image/color"
	"net"
	"net/url"
	"strings"
	"testing"

	qr "github.com/piglig/go-qr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/walkround"
)

// What the terminal shows is read back as a scanner does.
func TestCode(t *testing.T) {
	const address = "http://192.168.178.103:7317/#ZB8uR6hzazYqtQHo1x0gMg"
	for _, colours := range []bool{false, true} {
		text, err := Code(address, colours)
		require.NoError(t, err)
		text = strings.NewReplacer("\x1b[97;40m", "", "\x1b[0m", "").Replace(text)
		rows := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
		wide := len([]rune(rows[0]))
		assert.LessOrEqual(t, wide, 80)
		assert.LessOrEqual(t, len(rows), 24)
		const dot = 8
		m := image.NewGray(image.Rect(0, 0, dot*wide, 2*dot*len(rows)))
		for y, row := range rows {
			for x, r := range []rune(row) {
				for half, light := range []bool{r == '█' || r == '▀', r == '█' || r == '▄'} {
					for i := range dot * dot {
						if light {
							m.SetGray(x*dot+i%dot, (2*y+half)*dot+i/dot, color.Gray{255})
						}
					}
				}
			}
		}
		read, err := qr.Decode(m)
		require.NoError(t, err)
		assert.Equal(t, address, read)
	}
}

// The addresses are this machine's own, and hold the token where no server sees it.
func TestAddresses(t *testing.T) {
	s, err := New(&walkround.Book{File: "car.yaml", Now: now}, judge, "")
	require.NoError(t, err)
	own, err := net.InterfaceAddrs()
	require.NoError(t, err)
	for _, lan := range []bool{false, true} {
		list, err := s.Addresses(lan)
		if err != nil {
			assert.ErrorContains(t, err, "this machine is on no network")
			continue
		}
		for _, address := range list {
			u, err := url.Parse(address)
			require.NoError(t, err)
			assert.Equal(t, s.guard.token, u.Fragment)
			assert.NotContains(t, u.Path+u.RawQuery, s.guard.token)
			ip := net.ParseIP(u.Hostname())
			assert.NotEqual(t, lan, ip.IsLoopback(), address)
			found := false
			for _, a := range own {
				found = found || a.(*net.IPNet).IP.Equal(ip)
			}
			assert.True(t, found, address)
		}
	}
}
