package page

import (
	"crypto/subtle"
	"net"
	"net/http"
	"net/netip"
	"sync"
	"time"
)

// tokenHeader is a header that a foreign page cannot send without asking first, and there
// is nobody here who answers that.
const tokenHeader = "Setdown-Token"

// policy is what the page may load: its own files and pictures it made itself.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard turns away whoever has no business here.
type guard struct {
	token string
	now   func() time.Time

	mu    sync.Mutex
	calls map[string]*calls // by address
}

// calls are what one address may still ask.
type calls struct {
	left float64
	at   time.Time
}

// stands lets through what comes under an address of this machine, from its own page or
// from none, and not too often.
func (g *guard) stands(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return cross.Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		switch origin := r.Header.Get("Origin"); {
		case !g.mayAsk(r.RemoteAddr):
			h.Set("Retry-After", "1")
			http.Error(w, "too many requests", http.StatusTooManyRequests)
		case !ownHost(r):
			http.Error(w, "this is served under the address that the terminal shows, and no other", http.StatusMisdirectedRequest)
		case origin != "" && origin != "http://"+r.Host:
			http.Error(w, "no other page may ask here", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	}))
}

// knows lets through who knows the token.
func (g *guard) knows(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-store")
		if subtle.ConstantTimeCompare([]byte(r.Header.Get(tokenHeader)), []byte(g.token)) != 1 {
			http.Error(w, "the token is missing or of another run: scan the code again", http.StatusUnauthorized)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// ownHost says whether the caller asked for the very address at which the call came in. A
// name of a foreign server that was made to lead here does not.
func ownHost(r *http.Request) bool {
	at, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	here, err := netip.ParseAddrPort(at.String())
	if err != nil {
		return false
	}
	host, port, err := net.SplitHostPort(r.Host)
	if err != nil {
		host, port = r.Host, "80"
	}
	own, err := netip.ParseAddrPort(net.JoinHostPort("127.0.0.1", port))
	if err != nil || own.Port() != here.Port() {
		return false
	}
	addr := here.Addr().Unmap().WithZone("")
	if host == "localhost" {
		return addr.IsLoopback()
	}
	asked, err := netip.ParseAddr(host)
	return err == nil && asked.Unmap().WithZone("") == addr
}

// mayAsk counts the calls of an address. Who asks too often waits.
func (g *guard) mayAsk(remote string) bool {
	host, _, err := net.SplitHostPort(remote)
	if err != nil {
		return false
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	now := g.now()
	c := g.calls[host]
	if c == nil {
		const addresses = 1000 // more than a shop has
		if len(g.calls) >= addresses {
			for other, c := range g.calls {
				if now.Sub(c.at) > inOneGo/perSecond*time.Second {
					delete(g.calls, other)
				}
			}
			if len(g.calls) >= addresses {
				return false
			}
		}
		c = &calls{left: inOneGo, at: now}
		g.calls[host] = c
	}
	c.left = min(inOneGo, c.left+now.Sub(c.at).Seconds()*perSecond)
	c.at = now
	if c.left < 1 {
		return false
	}
	c.left--
	return true
}
