package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"image"
	"image/jpeg"
	_ "image/png" // read as well
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"setdown/model"
)

// maxDots is the most that a photo may unpack to: 12 MB can hold a thousand times that.
const maxDots = 50_000_000

// takePhoto keeps a photo beside the build file. It is unpacked and packed again, so that
// nothing but the picture is left of it: neither where it was taken nor what else a file
// can carry. Its name is a digest of what it shows.
func (s *Server) takePhoto(w http.ResponseWriter, r *http.Request) {
	select {
	case s.photo <- struct{}{}:
		defer func() { <-s.photo }()
	default:
		w.Header().Set("Retry-After", "2")
		http.Error(w, "another photo is on its way", http.StatusTooManyRequests)
		return
	}
	var sent bytes.Buffer
	if _, err := sent.ReadFrom(http.MaxBytesReader(w, r.Body, maxPhoto)); err != nil {
		status := http.StatusBadRequest
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			status = http.StatusRequestEntityTooLarge
		}
		http.Error(w, "the photo did not come whole", status)
		return
	}
	size, _, err := image.DecodeConfig(bytes.NewReader(sent.Bytes()))
	if err != nil || size.Width <= 0 || size.Height <= 0 || size.Width > maxDots/size.Height {
		http.Error(w, "this is no photo that can be read: JPEG or PNG", http.StatusUnsupportedMediaType)
		return
	}
	picture, _, err := image.Decode(&sent)
	if err != nil {
		http.Error(w, "this is no photo that can be read: JPEG or PNG", http.StatusUnsupportedMediaType)
		return
	}
	var kept bytes.Buffer
	const quality = 85
	if err := jpeg.Encode(&kept, picture, &jpeg.Options{Quality: quality}); err != nil {
		s.later(w, err)
		return
	}
	sum := sha256.Sum256(kept.Bytes())
	name := hex.EncodeToString(sum[:8]) + ".jpg"
	if err := s.keepPhoto(name, kept.Bytes()); err != nil {
		s.later(w, err)
		return
	}
	send(w, map[string]string{"photo": name})
}

// photoName is the name of a photo as it stands in the log, beside which it lies.
func (s *Server) photoName(name string) string {
	log := filepath.Base(model.LogName(s.book.File))
	return strings.TrimSuffix(log, ".looks.yaml") + ".photos/" + name
}

func (s *Server) photoPath(name string) string {
	return filepath.Join(filepath.Dir(s.book.File), filepath.FromSlash(s.photoName(name)))
}

func (s *Server) hasPhoto(name string) bool {
	info, err := os.Stat(s.photoPath(name))
	return err == nil && info.Mode().IsRegular()
}

// keepPhoto puts a photo on the disk under its name, whole or not at all.
func (s *Server) keepPhoto(name string, content []byte) error {
	path := s.photoPath(name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".unfinished-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(content)
	if err := errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
