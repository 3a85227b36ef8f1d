package page

import (
	"context"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports/browser"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

func TestMain(m *testing.M) { os.Exit(browser.Main(m)) }

var rules = sync.OnceValues(func() (*engine.Engine, error) {
	all, err := pack.LoadRules(packs.FS, ".")
	if err != nil {
		return nil, err
	}
	return engine.New(all)
})

// began is when the day of the tests begins; it goes on as time does.
var began = time.Now()

func now() time.Time {
	return time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC).Add(time.Since(began))
}

func judge(b *model.Build, move string) (*verdict.Report, error) {
	e, err := rules()
	if err != nil {
		return nil, err
	}
	var moves []string
	if move != "" {
		moves = []string{move}
	}
	j, err := check.Judge(context.Background(), b, e, check.Options{Moves: moves, Today: quantity.Date{Year: 2026, Month: 11, Day: 25}})
	if err != nil {
		return nil, err
	}
	if move == "" || j.Report.Decision != verdict.Go {
		return j.Report, nil
	}
	return j.Report, j.Ahead(context.Background())
}

// copied copies demo files into a folder of the test and returns the build file.
func copied(t *testing.T, names ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join("../../../../testdata/short", name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), text, 0o644))
	}
	return filepath.Join(dir, names[0])
}

// shop is a server that can be stopped and started again on the same port.
type shop struct {
	t    *testing.T
	file string
	on   string // host and port
	*Server
	tune func(*Server) // before it serves
	stop func()
}

func open(t *testing.T, file string, tune ...func(*Server)) *shop {
	s := &shop{t: t, file: file, on: "127.0.0.1:0", tune: func(*Server) {}}
	for _, f := range tune {
		s.tune = f
	}
	s.start()
	t.Cleanup(func() { s.stop() })
	return s
}

func (s *shop) start() {
	s.t.Helper()
	var err error
	s.Server, err = New(&walkround.Book{File: s.file, Now: now}, judge, "")
	require.NoError(s.t, err)
	s.tune(s.Server)
	var on net.Listener
	require.Eventually(s.t, func() bool { on, err = net.Listen("tcp", s.on); return err == nil }, 5*time.Second, 50*time.Millisecond)
	s.on = on.Addr().String()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, on) }()
	s.stop = sync.OnceFunc(func() {
		http.DefaultClient.CloseIdleConnections()
		cancel()
		require.NoError(s.t, <-ended)
	})
}

func (s *shop) address() string { return "http://" + s.on + "/#" + s.guard.token }

func (s *shop) log() string {
	text, err := os.ReadFile(model.LogName(s.file))
	if !os.IsNotExist(err) {
		require.NoError(s.t, err)
	}
	return string(text)
}
