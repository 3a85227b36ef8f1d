package pack

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"fmt"
	"io/fs"
)

// Reading the built-in files takes longer than judging by them. So they are read
// beforehand and kept, together with a fingerprint of the files: what was kept is
// used only when it was made of these very files.

// stored is the form in which packs are kept.
type stored struct {
	Files [sha256.Size]byte // fingerprint of the files
	Packs []*Pack
}

// Store returns the packs of dir without the examples of their rules, for LoadStored.
func Store(fsys fs.FS, dir string) ([]byte, error) {
	packs, err := LoadRules(fsys, dir)
	if err != nil {
		return nil, err
	}
	files, err := filesHash(fsys, dir)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = gob.NewEncoder(&b).Encode(stored{Files: files, Packs: packs})
	return b.Bytes(), err
}

// LoadStored is LoadRules with what Store gave. When the files are no longer those
// that it was made of, it reads the files.
func LoadStored(fsys fs.FS, dir string, kept []byte) ([]*Pack, error) {
	packs, err := Restore(fsys, dir, kept)
	if err != nil {
		return LoadRules(fsys, dir)
	}
	return packs, nil
}

// Restore returns the packs that Store gave, or an error when they were not made of
// the files as they are.
func Restore(fsys fs.FS, dir string, kept []byte) ([]*Pack, error) {
	files, err := filesHash(fsys, dir)
	if err != nil {
		return nil, err
	}
	var s stored
	if err := gob.NewDecoder(bytes.NewReader(kept)).Decode(&s); err != nil {
		return nil, fmt.Errorf("the stored packs cannot be read: %w", err)
	}
	if s.Files != files {
		return nil, fmt.Errorf("the stored packs were made of other files")
	}
	return s.Packs, nil
}

// filesHash is a fingerprint of the names and texts of all rule files.
func filesHash(fsys fs.FS, dir string) (sum [sha256.Size]byte, err error) {
	h := sha256.New()
	err = fs.WalkDir(fsys, dir, func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := fs.ReadFile(fsys, name)
		fmt.Fprintf(h, "%q %d\n", name, len(text))
		h.Write(text)
		return err
	})
	return [sha256.Size]byte(h.Sum(nil)), err
}
