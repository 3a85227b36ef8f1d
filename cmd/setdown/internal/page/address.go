package page

import (
	"fmt"
	"net"
	"net/netip"
	"strings"

	qr "github.com/piglig/go-qr"
)

// Port is where a page is served. It is always the same one: a telephone keeps what it
// could not send by the address of the page, port and all, and finds it there again.
const Port = 7317

// Listen opens the port on this machine alone, or on its networks.
func Listen(lan bool) (net.Listener, error) {
	host := "127.0.0.1"
	if lan {
		host = ""
	}
	on, err := net.Listen("tcp", net.JoinHostPort(host, fmt.Sprint(Port)))
	if err != nil {
		return nil, fmt.Errorf("the page cannot be served, perhaps because another is on this machine: %w", err)
	}
	return on, nil
}

// Addresses are where telephones find the page, token and all; that of a home network
// first.
func (s *Server) Addresses(lan bool) ([]string, error) {
	hosts := []string{"127.0.0.1"}
	if lan {
		hosts = nil
		all, err := net.InterfaceAddrs()
		if err != nil {
			return nil, err
		}
		for _, a := range all {
			prefix, err := netip.ParsePrefix(a.String())
			if err != nil || prefix.Addr().IsLoopback() || !prefix.Addr().Is4() || prefix.Addr().IsLinkLocalUnicast() {
				continue
			}
			hosts = append(hosts, prefix.Addr().String())
		}
		if len(hosts) == 0 {
			return nil, fmt.Errorf("this machine is on no network: without --lan the page is served to this machine alone")
		}
	}
	var list []string
	for _, host := range hosts {
		list = append(list, fmt.Sprintf("http://%s/#%s", net.JoinHostPort(host, fmt.Sprint(Port)), s.guard.token))
	}
	return list, nil
}

// Code draws an address as a QR code for a terminal, two rows of dots a line. With
// colours it is black on white, as scanners want it, whatever the terminal's ground is.
func Code(address string, colours bool) (string, error) {
	code, err := qr.EncodeText(address, qr.Low)
	if err != nil {
		return "", fmt.Errorf("no code can be drawn of the address: %w", err)
	}
	const quiet = 3 // dots around it
	light := func(x, y int) bool {
		in := x >= 0 && y >= 0 && x < code.Size() && y < code.Size()
		return !in || !code.Module(x, y)
	}
	var b strings.Builder
	for y := -quiet; y < code.Size()+quiet; y += 2 {
		if colours {
			b.WriteString("\x1b[97;40m")
		}
		for x := -quiet; x < code.Size()+quiet; x++ {
			switch upper, lower := light(x, y), light(x, y+1); {
			case upper && lower:
				b.WriteString("█")
			case upper:
				b.WriteString("▀")
			case lower:
				b.WriteString("▄")
			default:
				b.WriteString(" ")
			}
		}
		if colours {
			b.WriteString("\x1b[0m")
		}
		b.WriteString("\n")
	}
	return b.String(), nil
}
