package page

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/ask"
)

func drawing(w, h int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for x := range w {
		m.Set(x, x%h, color.RGBA{uint8(x), 100, 50, 255})
	}
	return m
}

// placed is a JPEG with an Exif block (JEITA CP-3451) that says where it was taken: APP1
// after the start of the image, from memory.
func placed(t *testing.T) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, drawing(40, 30), nil))
	exif := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08 GPSLatitude 48 12 30 SECRET")
	block := append([]byte{0xff, 0xe1, byte((len(exif) + 2) >> 8), byte(len(exif) + 2)}, exif...)
	return append(append([]byte{0xff, 0xd8}, block...), b.Bytes()[2:]...)
}

// A photo is kept beside the file without what else it carried, answers nothing, and
// goes with a look.
func TestPhoto(t *testing.T) {
	s := little(t)
	var asPNG bytes.Buffer
	require.NoError(t, png.Encode(&asPNG, drawing(40, 30)))
	for name, photo := range map[string][]byte{"jpeg": placed(t), "png": append(asPNG.Bytes(), "SECRET"...)} {
		status, text := s.call("POST", "/api/photo", bytes.NewReader(photo))
		require.Equal(t, http.StatusOK, status, "%s: %s", name, text)
		var kept struct{ Photo string }
		require.NoError(t, json.Unmarshal([]byte(text), &kept))
		content, err := os.ReadFile(filepath.Join(filepath.Dir(s.file), "car.photos", kept.Photo))
		require.NoError(t, err)
		for _, secret := range []string{"SECRET", "Exif", "GPS"} {
			assert.NotContains(t, string(content), secret, name)
		}
		m, err := jpeg.Decode(bytes.NewReader(content))
		require.NoError(t, err)
		assert.Equal(t, image.Pt(40, 30), m.Bounds().Size())

		a := s.said("0123456789abcdef"+name, ask.Answer{Of: []string{"mount"}, Fact: "crack", Say: "yes", Note: "long one"})
		a["photo"] = kept.Photo
		status, text = s.call("POST", "/api/look", a)
		require.Equal(t, http.StatusOK, status, text)
		assert.Contains(t, s.log(), `found: {crack: yes}, note: "long one; photo car.photos/`+kept.Photo+`"`)
	}
	for name, photo := range map[string][]byte{"nothing": nil, "text": []byte("hello"), "a page": []byte("<svg onload=alert(1)>"), "half": placed(t)[:300], "huge": huge(t)} {
		status, text := s.call("POST", "/api/photo", bytes.NewReader(photo))
		assert.Equal(t, http.StatusUnsupportedMediaType, status, "%s: %s", name, text)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	s.call("POST", "/api/photo", bytes.NewReader(huge(t)))
	runtime.ReadMemStats(&after)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(100<<20), "it is not unpacked")
	names, err := os.ReadDir(filepath.Join(filepath.Dir(s.file), "car.photos"))
	require.NoError(t, err)
	assert.Len(t, names, 2)
}

// huge is a small file that says it unpacks to ten thousand million dots.
func huge(t *testing.T) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, drawing(16, 16), nil))
	at := bytes.Index(b.Bytes(), []byte{0xff, 0xc0}) // start of frame: length, precision, height, width
	require.Positive(t, at)
	copy(b.Bytes()[at+5:], []byte{0xff, 0xff, 0xff, 0xff})
	return b.Bytes()
}
