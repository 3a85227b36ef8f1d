// Package page serves the walk-round to telephones on the shop's own network: one page,
// embedded, that asks what a move still needs and sends what was seen back. It judges
// nothing and words little: what a move needs is of rules/ask, its sentences are of
// reports/plain.
//
// What a telephone sends is a look, written and on the disk before it is confirmed, and
// written once however often it is sent. Nothing changes on GET. Who may speak to it:
//
//   - whoever knows the token, which stands behind the # of the address, where browsers
//     send it to nobody, and comes back in a header that no foreign page can set;
//   - under an address of this machine, so that no foreign name that leads here will do;
//   - from the page itself, so that no other page will do.
//
// It is plain HTTP: who can listen on the network can read along, and write. It is for a
// network of one's own.
package page

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"io/fs"
	"log"
	"net"
	"net/http"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
	"setdown/reports/svg"
	"setdown/rules/verdict"
)

//go:embed static
var static embed.FS

// The limits of what is served and taken.
const (
	maxAnswer = 64 << 10 // bytes of one answer
	maxPhoto  = 12 << 20
	maxPages  = 50  // that wait for news at one time
	maxLines  = 200 // connections at one time
	perSecond = 50  // requests of one address
	inOneGo   = 150 // of them, before that counts
)

// Server serves one build file.
type Server struct {
	first   string // the move it opens with
	book    *walkround.Book
	desk    *desk
	guard   *guard
	writes  sync.Mutex    // one answer at a time: what was sent twice is found the second time
	pages   chan struct{} // a seat for each page that waits
	photo   chan struct{} // one at a time
	key     string        // names the build file to telephones, without its path
	run     string        // names this run of the program
	version string        // of the page: a digest of its files
	patient time.Duration // how long a page waits for news
	slow    time.Duration // how long a request may take to come in
}

// New makes a server of a build file. Judge judges all moves of a build state, or one; the
// page opens with the move that is named, or with all.
func New(book *walkround.Book, judge func(b *model.Build, move string) (*verdict.Report, error), move string) (*Server, error) {
	path, err := filepath.Abs(book.File)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256([]byte(path))
	s := &Server{
		first: move, book: book, desk: newDesk(book, judge), guard: &guard{token: word(16), calls: map[string]*calls{}, now: time.Now},
		pages: make(chan struct{}, maxPages), photo: make(chan struct{}, 1),
		key: hex.EncodeToString(sum[:6]), run: word(6), patient: 25 * time.Second, slow: 20 * time.Second,
	}
	digest := sha256.New()
	err = fs.WalkDir(static, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := static.ReadFile(name)
		digest.Write(text)
		return err
	})
	digest.Write([]byte(svg.Style + svg.Colours()))
	s.version = hex.EncodeToString(digest.Sum(nil)[:6])
	return s, err
}

// word is so many random bytes, in letters that an address takes.
func word(bytes int) string {
	b := make([]byte, bytes)
	_, _ = rand.Read(b) // never fails
	return base64.RawURLEncoding.EncodeToString(b)
}

// Serve serves until the context ends.
func (s *Server) Serve(ctx context.Context, on net.Listener) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	go s.desk.work(ctx)
	var lines atomic.Int64
	server := &http.Server{
		Handler: s.handler(), ReadHeaderTimeout: s.slow / 4, ReadTimeout: s.slow, WriteTimeout: s.patient + s.slow, IdleTimeout: time.Minute,
		MaxHeaderBytes: 8 << 10, ErrorLog: log.New(nowhere{}, "", 0), BaseContext: func(net.Listener) context.Context { return ctx },
		ConnState: func(c net.Conn, state http.ConnState) {
			switch state {
			case http.StateNew:
				if lines.Add(1) > maxLines {
					c.Close()
				}
			case http.StateClosed, http.StateHijacked:
				lines.Add(-1)
			}
		},
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(on) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	stop()
	last, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	if err := server.Shutdown(last); err != nil {
		server.Close()
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// nowhere takes the complaints of the server about its callers: a terminal with a QR code
// on it is no place for them.
type nowhere struct{}

func (nowhere) Write(p []byte) (int, error) { return len(p), nil }

// handler is all that is served.
func (s *Server) handler() http.Handler {
	api := http.NewServeMux()
	api.HandleFunc("GET /api/board", s.board)
	api.HandleFunc("GET /api/move", s.move)
	api.HandleFunc("GET /api/things", s.things)
	api.HandleFunc("GET /api/thing", s.thing)
	api.HandleFunc("POST /api/look", s.look)
	api.HandleFunc("POST /api/undo", s.undo)
	api.HandleFunc("POST /api/photo", s.takePhoto)
	mux := http.NewServeMux()
	mux.Handle("/api/", s.guard.knows(api))
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-store")
		http.Redirect(w, r, "/"+s.version+"/", http.StatusFound)
	})
	files, _ := fs.Sub(static, "static") // it is embedded
	mux.HandleFunc("GET /"+s.version+"/{file...}", func(w http.ResponseWriter, r *http.Request) {
		// Its name changes with it, so a telephone that opens it again without network has it.
		w.Header().Set("Cache-Control", "public, max-age=604800, immutable")
		if r.PathValue("file") == "picture.css" {
			w.Header().Set("Content-Type", "text/css; charset=utf-8")
			_, _ = w.Write([]byte(svg.Colours() + svg.Style))
			return
		}
		http.StripPrefix("/"+s.version, http.FileServerFS(files)).ServeHTTP(w, r)
	})
	return s.guard.stands(mux)
}
