package source

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// maxWord is the longest word that is compared, in bytes: the time grows with
// its length times that of every known name.
const maxWord = 100

// Suggest returns the known name nearest to a word, for 'did you mean', or ""
// when none is near: one slip in up to five letters, two in up to eight, three in
// more. Small and large letters count as the same. Among equals the first in
// alphabetical order wins.
func Suggest(word string, known []string) string {
	if word == "" || len(word) > maxWord {
		return ""
	}
	low := strings.ToLower(word)
	letters := utf8.RuneCountInString(low)
	near, least := "", max(1, min(3, letters/3))+1
	if letters == 1 {
		least = 1 // any one letter is one slip from any other
	}
	for _, k := range slices.Sorted(slices.Values(known)) {
		d := levenshtein.ComputeDistance(low, strings.ToLower(k))
		if swapped(low, strings.ToLower(k)) {
			d = 1
		}
		if d < least && d < utf8.RuneCountInString(k) {
			near, least = k, d
		}
	}
	return near
}

// DidYouMean is the hint after a word that is not known: the known name nearest to
// it, or what else there is to say when none is near.
func DidYouMean(word string, known []string, otherwise string) string {
	if near := Suggest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return otherwise
}

// Either lists words with an 'or' before the last: 'one line, two lines or circle'.
func Either(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// swapped reports whether two words differ by two neighbouring letters that
// changed places: one slip of the fingers, though two edits.
func swapped(a, b string) bool {
	s, t := []rune(a), []rune(b)
	if len(s) != len(t) {
		return false
	}
	i := 0
	for i < len(s) && s[i] == t[i] {
		i++
	}
	return i+1 < len(s) && s[i] == t[i+1] && s[i+1] == t[i] && slices.Equal(s[i+2:], t[i+2:])
}
