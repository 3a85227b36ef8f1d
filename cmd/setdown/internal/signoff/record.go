// Package signoff keeps records of moves that were GO: who signed, on what day,
// and for exactly which state of the vehicle and which rules.
//
// A record is a plain YAML file in a folder beside the build file. It is written
// whole or not at all and never over another one. It carries a seal, a hash of
// its own text, so that a slip of an editor, a half copy or a change after the
// fact is seen. The seal is no signature: who wants to forge a record can, and
// the program that reads it says nothing about who really signed.
//
// The package decides whether a record still stands. It does not decide whether
// a move is GO: that is the verdict's business, today as on the day of signing.
package signoff

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"setdown/model/quantity"
)

// Format names this version of the record. It changes when a key changes its
// meaning or goes away.
const Format = "setdown-signoff/2"

// Record is one GO that somebody signed.
type Record struct {
	Format    string        `yaml:"format"` // set by Write
	Number    int           `yaml:"number"` // its place among all of its build file, in the order of signing; set by Write
	Move      string        `yaml:"move"`   // id of the move
	By        string        `yaml:"by"`
	On        quantity.Date `yaml:"date"`
	File      string        `yaml:"file"`       // the build file, as it was named on the day
	StateHash string        `yaml:"state_hash"` // of the resolved build state
	RulesHash string        `yaml:"rules_hash"` // of the rules and policy in force
	Version   string        `yaml:"version"`    // of the program
	Waivers   []string      `yaml:"waivers"`    // the stops that were let pass, in words
	State     []string      `yaml:"state"`      // canonical lines of the state, 'path = value', sorted
}

// name is what the file of the record is called: in the order of signing, and
// telling what it is to a person who looks into the folder.
func (r *Record) name() string { return fmt.Sprintf("%04d-%s-%s.yaml", r.Number, r.Move, r.On) }

// sealKey begins the last line of a record.
const sealKey = "seal: sha256:"

// encode writes the record and its seal. The record must be complete: what was
// signed in part was not signed.
func (r Record) encode() ([]byte, error) {
	if err := r.complete(); err != nil {
		return nil, err
	}
	var text bytes.Buffer
	e := yaml.NewEncoder(&text)
	e.SetIndent(2)
	if err := errors.Join(e.Encode(r), e.Close()); err != nil {
		return nil, fmt.Errorf("write the record: %w", err)
	}
	text.WriteString(sealKey + seal(text.Bytes()) + "\n")
	if back, err := decode(text.Bytes()); err != nil || !back.equal(&r) {
		return nil, errors.New("the record would not read back as it was signed; write the name and the reasons in plain text")
	}
	return text.Bytes(), nil
}

// decode reads a record strictly: every key once, none missing, none unknown,
// and a seal that fits the text.
func decode(text []byte) (*Record, error) {
	// A version control system may have changed the line ends, which say nothing.
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	at := bytes.LastIndex(text, []byte("\n"+sealKey))
	if at < 0 {
		return nil, errors.New("the record is not complete: its last line, the seal, is missing")
	}
	body, last := text[:at+1], string(text[at+1:])
	if last != sealKey+seal(body)+"\n" {
		return nil, errors.New("the record was changed after it was signed, or is damaged: its seal does not fit")
	}
	d := yaml.NewDecoder(bytes.NewReader(body))
	d.KnownFields(true)
	var r Record
	if err := d.Decode(&r); err != nil {
		return nil, fmt.Errorf("the record cannot be read: %s", strings.ReplaceAll(err.Error(), "\n", " "))
	}
	if err := d.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return nil, errors.New("the record goes on after its end: something was added to it")
	}
	if r.Format != Format {
		return nil, fmt.Errorf("the record has format %q; this program reads %s", r.Format, Format)
	}
	if err := r.complete(); err != nil {
		return nil, err
	}
	return &r, nil
}

// equal compares what was to be written with what is read back.
func (r *Record) equal(o *Record) bool {
	a, b := *r, *o
	same := slices.Equal(a.Waivers, b.Waivers) && slices.Equal(a.State, b.State)
	a.Waivers, a.State, b.Waivers, b.State = nil, nil, nil, nil
	return same && reflect.DeepEqual(a, b)
}

// seal does not protect against a forger, who can work it out as well.
func seal(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

// complete says what is missing, the waivers apart: most moves have none.
func (r *Record) complete() error {
	for _, need := range []struct{ key, value string }{
		{"move", r.Move}, {"by", r.By}, {"file", r.File}, {"state_hash", r.StateHash},
		{"rules_hash", r.RulesHash}, {"version", r.Version}, {"state", strings.Join(r.State, "")},
	} {
		if strings.TrimSpace(need.value) == "" {
			return fmt.Errorf("the record says nothing for %s", need.key)
		}
	}
	switch {
	case r.On == (quantity.Date{}):
		return errors.New("the record says nothing for date")
	case r.Number < 1 || r.Number > maxNumber:
		return errors.New("the record says nothing for number")
	}
	return nil
}
