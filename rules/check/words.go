package check

import (
	"slices"
	"strings"

	"setdown/model/schema"
	"setdown/rules/verdict"
)

// allow adds to each missing fact the words that a build file may say there, where
// only some are allowed: who is asked for a layout cannot guess them.
func allow(list []verdict.Missing) {
	for i := range list {
		list[i].Words = alternatives(allowed(list[i].Path))
	}
}

// alternatives joins words: 'one line, two lines or circle'.
func alternatives(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// allowed finds the words that may stand at a path of the build file; none where
// anything may.
func allowed(path string) []string {
	name, rest, _ := strings.Cut(path, ".")
	kind := schema.KindOf(name)
	switch {
	case kind == nil:
		return nil
	case kind.Single:
		return allowedIn(kind.Fields, rest)
	}
	// An id may hold dots itself, so every cut is tried.
	for {
		_, below, more := strings.Cut(rest, ".")
		if !more {
			return nil
		}
		if words := allowedIn(kind.Fields, below); words != nil {
			return words
		}
		rest = below
	}
}

func allowedIn(fields []schema.Field, path string) []string {
	name, rest, nested := strings.Cut(path, ".")
	i := slices.IndexFunc(fields, func(f schema.Field) bool { return f.Name == name })
	if i < 0 {
		return nil
	}
	f := fields[i]
	switch {
	case !nested && f.Type == schema.List && f.Elem != nil:
		return f.Elem.Enum
	case !nested:
		return f.Enum
	case f.Type == schema.Object:
		return allowedIn(f.Fields, rest)
	case f.Type == schema.Map && f.Elem != nil:
		_, below, _ := strings.Cut(rest, ".")
		return allowedIn(f.Elem.Fields, below)
	}
	return nil
}
