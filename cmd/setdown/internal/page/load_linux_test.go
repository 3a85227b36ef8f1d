package page

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var load = flag.Duration("load", 2*time.Second, "how long the twenty clients answer; from a minute on the time of an answer is held to its limit")

// Twenty telephones, each at an address of its own, each pressing about once a second and
// following the move: every look that was confirmed is in the log.
func TestLoad(t *testing.T) {
	const clients = 20
	s := open(t, copied(t, "special-mended.yaml", "special-mended.looks.yaml", "points.csv"))
	b, err := s.book.Build() // read and judged once before anybody answers, as walk does
	require.NoError(t, err)
	_, err = judge(b, "onto-hub-stands")
	require.NoError(t, err)
	var welds []string
	for _, item := range b.Items["welds"] {
		welds = append(welds, item.ID)
	}
	var mu sync.Mutex
	var took []time.Duration
	var ids []string
	judged := 0
	ctx, stop := context.WithTimeout(t.Context(), *load)
	defer stop()
	var wait sync.WaitGroup
	for c := range clients {
		from := &net.TCPAddr{IP: net.IPv4(127, 0, 1, byte(c+1))} // Linux answers at all of 127/8
		client := &http.Client{Transport: &http.Transport{DialContext: (&net.Dialer{LocalAddr: from}).DialContext}}
		call := func(until context.Context, method, path string, body []byte) (int, []byte) {
			r, err := http.NewRequestWithContext(until, method, "http://"+s.on+path, bytes.NewReader(body))
			require.NoError(t, err)
			r.Header.Set(tokenHeader, s.guard.token)
			answer, err := client.Do(r)
			if err != nil {
				return 0, []byte(err.Error()) // of who follows, the time is over
			}
			defer answer.Body.Close()
			all, _ := io.ReadAll(answer.Body)
			return answer.StatusCode, all
		}
		wait.Go(func() { // follows the move
			after := ""
			for ctx.Err() == nil {
				if status, text := call(ctx, "GET", "/api/move?move=onto-hub-stands&after="+after, nil); status == http.StatusOK {
					var at stand
					if json.Unmarshal(text, &at) == nil {
						after = fmt.Sprintf("%s.%d", at.Run, at.Version)
						mu.Lock()
						judged++
						mu.Unlock()
					}
				}
			}
		})
		wait.Go(func() {
			for i := 0; i == 0 || ctx.Err() == nil; i++ {
				time.Sleep(time.Duration(500+rand.IntN(1000)) * time.Millisecond)
				at, one := time.Now().UnixMilli(), id(c, i)
				body, err := json.Marshal(map[string]any{"id": one, "book": s.key, "move": "onto-hub-stands", "by": fmt.Sprintf("P%d", c), "of": []string{welds[(c*7+i)%len(welds)]}, "fact": "crack", "say": "no", "pressed": at, "sent": at})
				require.NoError(t, err)
				start := time.Now()
				status, text := call(t.Context(), "POST", "/api/look", body)
				assert.Equal(t, http.StatusOK, status, "%s", text)
				assert.NotContains(t, string(text), "refused")
				mu.Lock()
				took, ids = append(took, time.Since(start)), append(ids, one)
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	require.NotEmpty(t, took)
	confirmed(t, s.file, ids)
	slices.Sort(took)
	p99 := took[len(took)*99/100]
	t.Logf("%d answers in %v, median %v, p99 %v; %d verdicts to %d pages", len(took), *load, took[len(took)/2], p99, judged, clients)
	if *load >= time.Minute {
		assert.Less(t, p99, 100*time.Millisecond)
	}
}
