package source

import (
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
		if d := levenshtein.ComputeDistance(low, strings.ToLower(k)); d < least && d < utf8.RuneCountInString(k) {
			near, least = k, d
		}
	}
	return near
}
