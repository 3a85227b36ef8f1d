package signoff

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// maxChanges is how many changed facts are named one by one. Who reads more of
// them needs the comparison of two files and not a longer list.
const maxChanges = 12

// Stands reports whether the record still counts today, and if not every reason
// in plain words. It counts when state, rules and program are the very ones
// that were signed and the day is not more than maxAgeDays back. Any difference
// ends it, also one that looks harmless: nobody signed for that.
func (r *Record) Stands(today quantity.Date, maxAgeDays int, stateHash, rulesHash, version string, state []string) (bool, []string) {
	why := changes(r.State, state)
	if len(why) == 0 && r.StateHash != stateHash {
		why = append(why, "the file is not as it was when it was signed")
	}
	if len(why) > maxChanges {
		more := len(why) - maxChanges
		why = append(why[:maxChanges:maxChanges], fmt.Sprintf("and %d more facts changed", more))
	}
	if r.RulesHash != rulesHash {
		why = append(why, "the rules or limits have changed since")
	}
	if r.Version != version {
		why = append(why, fmt.Sprintf("it was signed with setdown %s; this is setdown %s", r.Version, version))
	}
	switch age := r.On.DaysUntil(today); {
	case age < 0:
		why = append(why, fmt.Sprintf("it is dated %s, which is later than %s", r.On, today))
	case age > maxAgeDays:
		why = append(why, fmt.Sprintf("it is %d days old; a sign-off counts for %d", age, maxAgeDays))
	}
	return len(why) == 0, why
}

// changes names each fact that differs between two lists of canonical lines,
// sorted by path: 'fl-mount: found.made was full, is tack'. Of an item that is
// new or gone it says only that.
func changes(old, new []string) []string {
	was, is := model.FactsIn(old), model.FactsIn(new)
	all := maps.Clone(was)
	maps.Copy(all, is)
	items := items(all)
	var list []string
	for _, c := range model.Differences(was, is) {
		path, before, after := c.Path, c.Old, c.New
		_, had := was[path]
		_, has := is[path]
		item, field := split(path, items)
		_, itemHad := was[item]
		_, itemHas := is[item]
		named := called(item, items)
		switch {
		case items[path] && !had:
			list = append(list, fmt.Sprintf("%s: this %s is new", named, after))
		case items[path] && !has:
			list = append(list, fmt.Sprintf("%s: this %s is gone", named, before))
		case items[item] && itemHad != itemHas:
			// The item's own line says it.
		case !had:
			list = append(list, fmt.Sprintf("%s: %swas not recorded, is %s", named, field, after))
		case !has:
			list = append(list, fmt.Sprintf("%s: %swas %s, is not recorded", named, field, before))
		default:
			list = append(list, fmt.Sprintf("%s: %swas %s, is %s", named, field, before, after))
		}
	}
	if len(list) == 0 && !slices.Equal(old, new) {
		return []string{"the build state is not listed as it was when it was signed"}
	}
	return list
}

// items finds the paths that stand for whole items. An id may hold dots, so the
// text of a path alone does not tell where the id ends.
func items(facts map[string]string) map[string]bool {
	found := map[string]bool{}
	for path, value := range facts {
		name, id, _ := strings.Cut(path, ".")
		if kind := schema.KindOf(name); kind != nil && !kind.Single && id != "" && value == kind.Item {
			found[path] = true
		}
	}
	return found
}

// split cuts a path into the path of its item and the field, the field with a
// space behind it unless it is empty.
func split(path string, items map[string]bool) (item, field string) {
	for end := len(path); end > 0; end = strings.LastIndexByte(path[:end], '.') {
		if items[path[:end]] {
			item, field = path[:end], strings.TrimPrefix(path[end:], ".")
			break
		}
	}
	if item == "" {
		item, field, _ = strings.Cut(path, ".") // the vehicle, the site, the places
	}
	if field != "" {
		field += " "
	}
	return item, field
}

// called is what people call the item: its id, where it has one.
func called(item string, items map[string]bool) string {
	name, id, _ := strings.Cut(item, ".")
	if items[item] && !schema.KindOf(name).Listed {
		return id
	}
	return item
}
