package page

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
)

// The tests below start this test program again as a process that serves the build file in
// PAGE_TEST_FILE. With PAGE_TEST_ROOM no file of it may grow past so many bytes: the same
// end of a write as a full disk.
func init() {
	file := os.Getenv("PAGE_TEST_FILE")
	if file == "" {
		return
	}
	var room uint64
	if _, err := fmt.Sscan(os.Getenv("PAGE_TEST_ROOM"), &room); err == nil {
		signal.Ignore(syscall.SIGXFSZ)
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: room, Max: room}); err != nil {
			panic(err)
		}
	}
	s, err := New(&walkround.Book{File: file, Now: time.Now}, judge, "")
	if err != nil {
		panic(err)
	}
	s.guard.now = func() time.Time { return time.Time{}.Add(time.Since(began) * 100) } // these callers are let through
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	fmt.Println(on.Addr(), s.guard.token, s.key)
	_ = s.Serve(context.Background(), on)
	os.Exit(0)
}

// process is a server in a process of its own.
type process struct {
	*exec.Cmd
	on, token, key string
}

func start(t *testing.T, file string, more ...string) *process {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	p := &process{Cmd: exec.Command(self)}
	p.Stderr = os.Stderr
	p.Env = append(append(os.Environ(), "PAGE_TEST_FILE="+file), more...)
	out, err := p.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, p.Start())
	t.Cleanup(func() { _ = p.Process.Kill(); _ = p.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	_, err = fmt.Sscan(line, &p.on, &p.token, &p.key)
	require.NoError(t, err)
	return p
}

// say sends an answer and returns its status; 0 where nothing came back.
func (p *process) say(id, item string) (status int, text string) {
	at := time.Now().UnixMilli()
	body, _ := json.Marshal(map[string]any{"id": id, "book": p.key, "move": "stays", "by": "TN", "of": []string{item}, "fact": "made", "say": "full", "pressed": at, "sent": at})
	r, _ := http.NewRequest("POST", "http://"+p.on+"/api/look", bytes.NewReader(body))
	r.Header.Set(tokenHeader, p.token)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return 0, err.Error()
	}
	defer answer.Body.Close()
	all, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0, err.Error()
	}
	return answer.StatusCode, string(all)
}

// confirmed checks that every look that was confirmed is in the log, once.
func confirmed(t *testing.T, file string, ids []string) {
	t.Helper()
	b, err := model.Load(file)
	require.NoError(t, err)
	times := map[string]int{}
	for _, l := range b.Log.Looks {
		times[l.Via]++
	}
	for _, id := range ids {
		assert.Equal(t, 1, times[via(id)], id)
	}
}

func id(n, i int) string { return fmt.Sprintf("%08x%08x", n, i) }

func twoWelds(t *testing.T) string {
	file := filepath.Join(t.TempDir(), "car.yaml")
	require.NoError(t, os.WriteFile(file, []byte(small2), 0o644))
	return file
}

// A server that is killed at any moment has on the disk whatever it confirmed; the next one
// goes on, after the torn line was moved aside where the blow left one.
func TestKilled(t *testing.T) {
	file := twoWelds(t)
	var all []string
	for n := range 8 {
		p := start(t, file)
		var mu sync.Mutex
		var wait sync.WaitGroup
		for c := range 3 {
			wait.Go(func() {
				for i := 0; ; i++ {
					one := id(n, 1000*c+i)
					status, _ := p.say(one, []string{"mount", "lug"}[i%2])
					if status != http.StatusOK {
						return
					}
					mu.Lock()
					all = append(all, one)
					mu.Unlock()
				}
			})
		}
		time.Sleep(time.Duration(100+17*n*n%90) * time.Millisecond)
		require.NoError(t, p.Process.Kill())
		wait.Wait()
		confirmed(t, file, all)
	}
	t.Logf("%d looks confirmed by 8 servers", len(all))
	require.Greater(t, len(all), 30)
}

// When the disk is full nothing is confirmed and nothing half written stays; what was
// confirmed before is there, and the same answer is taken when there is room again.
func TestDiskFull(t *testing.T) {
	file := twoWelds(t)
	p := start(t, file, fmt.Sprintf("PAGE_TEST_ROOM=%d", 1000))
	var all []string
	var first string
	for i := range 40 {
		status, text := p.say(id(0, i), "mount")
		if status == http.StatusOK {
			all = append(all, id(0, i))
			continue
		}
		assert.Equal(t, http.StatusServiceUnavailable, status, text)
		assert.Contains(t, text, "cannot be written")
		if first == "" {
			first = id(0, i)
		}
	}
	require.NotEmpty(t, all)
	require.NotEmpty(t, first)
	confirmed(t, file, all)
	log, err := os.ReadFile(model.LogName(file))
	require.NoError(t, err)
	assert.True(t, bytes.HasSuffix(log, []byte("}\n")), "half a line stays: %s", log)
	_ = p.Process.Kill()
	p = start(t, file)
	status, text := p.say(first, "mount")
	assert.Equal(t, http.StatusOK, status, text)
	confirmed(t, file, append(all, first))
}

// Two servers of one file, and somebody at the terminal: every line is there, whole.
func TestTwoProcesses(t *testing.T) {
	file := twoWelds(t)
	two := []*process{start(t, file), start(t, file)}
	book := &walkround.Book{File: file, Now: time.Now}
	var wait sync.WaitGroup
	var all []string
	for n, p := range two {
		for i := range 40 {
			all = append(all, id(n, i))
		}
		wait.Go(func() {
			for i := range 40 {
				status, text := p.say(id(n, i), "mount")
				assert.Equal(t, http.StatusOK, status, text)
			}
		})
	}
	for range 20 {
		_, err := book.Write(nil, full, "EA", "terminal", time.Now())
		require.NoError(t, err)
	}
	wait.Wait()
	confirmed(t, file, all)
	b, err := book.Build()
	require.NoError(t, err)
	assert.Len(t, b.Log.Looks, 100)
	log, err := os.ReadFile(model.LogName(file))
	require.NoError(t, err)
	for line := range strings.Lines(string(log)) {
		assert.True(t, line == "looks:\n" || strings.HasPrefix(line, "- {day: ") && strings.HasSuffix(line, "}\n"), line)
	}
}
