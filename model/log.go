package model

import (
	"bytes"
	"fmt"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"setdown/model/looks"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/model/syntax"
)

// LogName is the name of the log of looks that belongs to a build file.
func LogName(file string) string { return strings.TrimSuffix(file, path.Ext(file)) + ".looks.yaml" }

// foundLook is a found block of an item: a look of its own day.
type foundLook struct {
	item *Item
	node *yaml.Node
	span source.Span
}

// logReader reads the lines of one log.
type logReader struct {
	decoder
	build         *Build
	log           *looks.Log
	name          string
	session       looks.Stamp // what a hand-written list says once for the lines below it
	lines         []logLine
	before, heard *heard // in an earlier reading and in this one
}

// logLine is one line as YAML read it.
type logLine struct {
	node *yaml.Node
	line int
}

// readLog reads all that was seen: the found blocks, the looks of the build file
// and the log beside it.
func (r *reader) readLog(beside []byte) *looks.Log {
	log := &looks.Log{People: r.build.People}
	logs := []*logReader{r.ownLog(log)}
	if beside != nil {
		logs = append(logs, r.logBeside(log, beside))
	}
	// What things are called today is known before any look is read.
	for _, l := range logs {
		l.each(l.note)
	}
	if !log.SameNotes(r.before.log) {
		r.before = newHeard()
	}
	for _, l := range logs {
		l.before = r.before
		l.each(l.look)
		r.errs = append(r.errs, l.errs...)
	}
	r.tooMany(log)
	r.heard.log = log
	return log
}

// ReadLook reads one line as if it stood at the end of the log, behind looks that were
// written since the build state was read: what is wrong with it is known before it is
// written. The error is source.Errors.
func (b *Build) ReadLook(line string, since ...*looks.Look) (*looks.Look, error) {
	log := &looks.Log{Looks: append(slices.Clone(b.Log.Looks), since...), Notes: b.Log.Notes}
	before := len(log.Looks)
	r := &reader{build: b, decoder: decoder{file: b.File, unit: "mm"}, before: newHeard(), heard: newHeard()}
	if unit, ok := b.Vehicle.Text("coordinates"); ok {
		r.unit = unit
	}
	l := r.logBeside(log, []byte(line+"\n"))
	l.each(l.look)
	r.errs = append(r.errs, l.errs...)
	r.tooMany(log)
	switch {
	case len(r.errs) > 0:
		return nil, r.errs.Sorted()
	case len(log.Looks) != before+1:
		return nil, fmt.Errorf("%q is no look", line)
	}
	return log.Looks[before], nil
}

// The limits of a log: some hundred items, each looked at a few hundred times.
const (
	maxSeen = 100_000 // looks at single things
	maxAt   = 1_000   // of them at one item
)

// tooMany refuses a log that nobody has written by looking, and leaves it empty.
func (r *reader) tooMany(log *looks.Log) {
	all, at := 0, map[string]int{}
	for _, look := range log.Looks {
		for _, target := range look.Of {
			n := 1
			if item := r.build.byID[target.ID]; item != nil {
				n = members(item)
			}
			all += n
			at[target.ID]++
			what, most := "single things", maxSeen
			if at[target.ID] > maxAt {
				what, most = target.ID, maxAt
			}
			if all > maxSeen || at[target.ID] > maxAt {
				r.failAt(look.Span, "looks", fmt.Sprintf("up to here the log holds more than %d looks at %s", most, what), "begin a new build file with a new look at what stands")
				log.Looks = nil
				return
			}
		}
	}
}

func (r *reader) ownLog(log *looks.Log) *logReader {
	l := &logReader{decoder: r.decoder, build: r.build, log: log, name: r.build.File, before: r.before, heard: r.heard}
	l.errs = nil
	for _, f := range r.foundLooks {
		l.found(f)
	}
	switch {
	case r.looksNode == nil:
	case r.looksNode.Kind != yaml.SequenceNode:
		l.fail(r.looksNode, "looks", "looks must be a list", "begin each look with a dash")
	default:
		for _, e := range r.looksNode.Content {
			l.lines = append(l.lines, logLine{resolved(e), e.Line})
		}
	}
	return l
}

// each goes through the lines that are looks, or those that are not, and keeps
// what is said once for the lines below.
func (l *logReader) each(read func(n *yaml.Node, keys map[string]*yaml.Node, line int)) {
	l.session = looks.Stamp{}
	for _, one := range l.lines {
		if l.name != l.build.File {
			l.decoder.line = one.line - 1
		}
		keys := fields(one.node)
		if s := keys["session"]; s != nil {
			l.session, _ = l.stamp(s, fields(s), looks.Stamp{})
			continue
		}
		read(one.node, keys, one.line)
	}
}

// logBeside reads NAME.looks.yaml, where every look is one line. A line that was cut
// off in the middle must not read as a whole look, so no look goes over lines and
// every line has its line feed.
func (r *reader) logBeside(log *looks.Log, text []byte) *logReader {
	name := LogName(r.build.File)
	l := &logReader{build: r.build, log: log, name: name, before: r.before, heard: r.heard}
	l.decoder = decoder{file: name, unit: r.unit, second: true, left: map[slot]omission{}, taken: map[slot]removal{}}
	fail := func(line int, message, hint string) {
		l.failAt(source.Span{File: name, Start: source.Pos{Line: line, Column: 1}}, "looks", message, hint)
	}
	if line, column, message, hint := syntax.BadCharacter(text); message != "" {
		l.failAt(source.Span{File: name, Start: source.Pos{Line: line, Column: column}}, "looks", message, hint)
		text = nil
	}
	lines := bytes.Split(text, []byte("\n"))
	if last := len(lines) - 1; len(lines[last]) > 0 {
		fail(last+1, "this line is not written to its end: its line feed is missing", "setdown looks FILE --mend moves it aside; then somebody says what it said")
		lines = lines[:last]
	}
	for i, line := range lines {
		trimmed := strings.TrimSpace(string(line))
		if trimmed == "" || strings.HasPrefix(trimmed, "#") || trimmed == "looks:" {
			continue
		}
		if len(line) > maxLine {
			fail(i+1, fmt.Sprintf("this line is longer than %d characters", maxLine), "write two looks")
			continue
		}
		l.decoder.line = i
		if entry := r.before.lines[string(line)]; entry != nil {
			l.lines, r.heard.lines[string(line)] = append(l.lines, logLine{entry, i + 1}), entry
			continue
		}
		root, second, err := syntax.Decode(append(line, '\n'))
		if err != nil || second != nil || root == nil || root.Kind != yaml.SequenceNode || len(root.Content) != 1 {
			fail(i+1, "this line is no look", "write it as - {day: 2026-11-24 17:05, by: TN, of: [item], found: {...}}, all on one line")
			continue
		}
		if !buildFile.Vet(root, l.span, &l.errs) {
			continue
		}
		entry := root.Content[0]
		if isSession := entry.Kind == yaml.MappingNode && len(entry.Content) == 2 && entry.Content[0].Value == "session"; !isSession && entry.Style&yaml.FlowStyle == 0 {
			fail(i+1, "a look in this file is written in braces, on one line", "a block that is cut in the middle reads as a whole look")
			continue
		}
		l.lines = append(l.lines, logLine{entry, i + 1})
		r.heard.lines[string(line)] = entry
	}
	return l
}

// maxLine is the longest line of a log, in bytes.
const maxLine = 20_000

// fields are the keys of a block.
func fields(n *yaml.Node) map[string]*yaml.Node {
	keys := map[string]*yaml.Node{}
	if n.Kind == yaml.MappingNode {
		for key, value := range pairs(n) {
			keys[key.Value] = resolved(value)
		}
	}
	return keys
}

// only refuses keys that say nothing here.
func (l *logReader) only(n *yaml.Node, known ...string) {
	if n.Kind != yaml.MappingNode {
		return
	}
	for key := range pairs(n) {
		if !slices.Contains(known, key.Value) {
			l.fail(key, "looks", fmt.Sprintf("%s is no key of this line", shown(key.Value)), meant(key.Value, known, "the keys are "))
		}
	}
}

// stamp reads who and when.
func (l *logReader) stamp(n *yaml.Node, keys map[string]*yaml.Node, session looks.Stamp) (looks.Stamp, bool) {
	stamp := session
	if by := keys["by"]; by != nil {
		name, ok := l.text(by, "looks.by")
		if !ok {
			return stamp, false
		}
		stamp.By = name.(string)
	}
	if day := keys["day"]; day != nil {
		m, err := looks.ParseMoment(day.Value)
		if err != nil {
			l.fail(day, "looks.day", err.Error(), "")
			return stamp, false
		}
		stamp.Moment = m
	}
	if (stamp.Moment == looks.Moment{}) || stamp.By == "" {
		l.fail(n, "looks", "this line does not say who and when", "write day: and by:, or say them once above in - session: {day: ..., by: ...}")
		return stamp, false
	}
	return stamp, true
}

// notLooks are the lines that say something else.
var notLooks = []looks.Word{looks.Withdraw, looks.Renamed, looks.Removed, looks.Struck, looks.Added, looks.Arrived, looks.Torn, looks.Answered, looks.Ended, looks.Signed}

// word is what a line says that is no look; empty for a look.
func word(keys map[string]*yaml.Node) looks.Word {
	for _, w := range notLooks {
		if keys[string(w)] != nil {
			return w
		}
	}
	return ""
}

func (l *logReader) look(n *yaml.Node, keys map[string]*yaml.Node, line int) {
	if word(keys) != "" {
		return
	}
	if n.Kind != yaml.MappingNode {
		l.fail(n, "looks", "a look is a block of keys", "write it as {day: 2026-11-24 17:05, by: TN, of: [item], found: {...}}")
		return
	}
	l.only(n, "day", "by", "via", "of", "good", "card", "fp", "found", "na", "unseen", "blind", "note")
	stamp, ok := l.stamp(n, keys, l.session)
	if !ok {
		return
	}
	stamp.Log, stamp.Line = l.name, line
	if look := l.before.looks[n]; look != nil && look.Stamp == stamp {
		l.add(n, look)
		return
	}
	look := &looks.Look{Stamp: stamp, Span: l.span(n), Digest: looks.Digest(flat(n)), Except: map[string]bool{}}
	for key, to := range map[string]*string{"via": &look.Via, "note": &look.Note} {
		if v := keys[key]; v != nil {
			if text, ok := l.text(v, "looks."+key); ok {
				*to = text.(string)
			}
		}
	}
	answer := func(key string) (yes, said bool) {
		v := keys[key]
		if v == nil {
			return false, false
		}
		yes, ok := l.yes(v.Value)
		if !ok {
			l.fail(v, "looks."+key, fmt.Sprintf("%s must be yes or no, not %s", key, shown(v.Value)), "")
		}
		return yes, ok
	}
	if yes, said := answer("good"); said {
		look.Good = looks.NotGood
		if yes {
			look.Good = looks.Good
		}
	}
	look.Blind, _ = answer("blind")
	if v := keys["card"]; v != nil {
		if n, ok := l.count(v, "looks.card"); ok {
			look.Card = int(n.(int64))
		}
	}
	for _, key := range []string{"na", "unseen"} {
		for _, name := range l.words(keys[key], "looks."+key) {
			look.Except[name] = true
		}
	}
	if keys["of"] == nil {
		l.fail(n, "looks", "this look does not say at what", "write of: and the ids of the items")
		return
	}
	l.targets(look, keys)
	l.add(n, look)
}

func (l *logReader) add(n *yaml.Node, look *looks.Look) {
	l.log.Looks = append(l.log.Looks, look)
	l.heard.looks[n] = look
}

// words reads one word or a list of them.
func (l *logReader) words(n *yaml.Node, path string) []string {
	if n == nil {
		return nil
	}
	if n.Kind == yaml.ScalarNode {
		return []string{n.Value}
	}
	var words []string
	for _, e := range n.Content {
		if e = resolved(e); n.Kind != yaml.SequenceNode || e.Kind != yaml.ScalarNode {
			l.fail(e, path, fmt.Sprintf("%s must be a list of names", lastName(path)), "write it in [brackets]")
			return nil
		}
		words = append(words, e.Value)
	}
	return words
}

// targets reads what was looked at and what was found there.
func (l *logReader) targets(look *looks.Look, keys map[string]*yaml.Node) {
	prints := map[string]string{}
	if fp := keys["fp"]; fp != nil {
		for id, value := range fields(fp) {
			prints[id] = value.Value
		}
	}
	decoded := map[*schema.Kind]*looks.Target{}
	for _, name := range l.words(keys["of"], "looks.of") {
		id, members, ok := splitMembers(name)
		at := keys["of"]
		if !ok {
			l.fail(at, "looks.of", fmt.Sprintf("%s names no item", shown(name)), "a member of a group is written as \"rack-bolts{3}\" or \"rack-bolts{2,5}\", in quotes")
			continue
		}
		kind, _ := l.thingNow(id)
		if kind == nil && slices.Contains(l.build.Places, id) {
			l.fail(at, "looks.of", fmt.Sprintf("%s is a place; a look is at items", shown(id)), "name them: "+strings.Join(l.at(id), ", "))
			continue
		}
		target := &looks.Target{ID: id, Members: members, Span: l.span(at), Print: prints[id]}
		if fp := keys["fp"]; fp != nil && fp.Kind == yaml.ScalarNode {
			target.Print = fp.Value
		}
		if kind != nil && keys["found"] != nil {
			one := decoded[kind]
			if one == nil {
				one = &looks.Target{}
				one.Found, one.Event = l.record(kind, keys["found"])
				decoded[kind] = one
			}
			target.Found, target.Event = one.Found, one.Event
		}
		look.Of = append(look.Of, target)
	}
	l.oneItem(look, keys["found"])
}

// oneItem refuses what can be said of one thing a look only.
func (l *logReader) oneItem(look *looks.Look, at *yaml.Node) {
	for _, target := range look.Of {
		if target.Found == nil {
			continue
		}
		_, thing := l.thingNow(target.ID)
		several := len(look.Of) > 1 || thing != nil && members(thing) > 1 && len(target.Members) != 1
		for _, name := range target.Found.Names() {
			field := target.Found.Field(name)
			size := field.Type == schema.Quantity || field.Elem != nil && field.Elem.Type == schema.Quantity
			if several && size && field.NoGood != "" {
				l.fail(at, "looks.found", fmt.Sprintf("%s is measured at one thing a look", name), "write a look for each")
				return
			}
			if name == "count" && len(look.Of) > 1 {
				l.fail(at, "looks.found", "count is of one group a look", "write a look for each")
				return
			}
		}
	}
}

// record reads what was found at an item of that kind.
func (l *logReader) record(kind *schema.Kind, n *yaml.Node) (*schema.Record, looks.Event) {
	field := kind.Found()
	if field == nil {
		l.fail(n, "looks.found", fmt.Sprintf("nothing is found at a %s", kind.Item), "")
		return nil, looks.NoEvent
	}
	event := looks.NoEvent
	rest := *n
	rest.Content = nil
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			key, value := resolved(n.Content[i]), resolved(n.Content[i+1])
			is := map[string]looks.Event{"disturbed": looks.Disturbed, "replaced": looks.Replaced}[key.Value]
			if is == looks.NoEvent {
				rest.Content = append(rest.Content, n.Content[i], n.Content[i+1])
				continue
			}
			if yes, ok := l.yes(value.Value); !ok {
				l.fail(value, "looks.found", fmt.Sprintf("%s must be yes or no", key.Value), "")
			} else if yes {
				event = max(event, is)
			}
		}
	}
	record := schema.NewRecord(field.Fields, l.span(n))
	l.decoder.record(record, schema.Found, &rest, "looks.found")
	for _, name := range record.Names() {
		if record.Field(name).Life == schema.OfLook {
			l.fail(n, "looks.found."+name, fmt.Sprintf("%s is said of the look, not in what was found", name), "")
			record.Delete(name)
		}
	}
	return record, event
}

// found reads the found block of an item as a look of its own day.
func (l *logReader) found(f foundLook) {
	if look := l.before.looks[f.node]; look != nil {
		l.add(f.node, look)
		return
	}
	if f.node.Kind != yaml.MappingNode {
		l.fail(f.node, join(f.item.Path(), schema.Found), "found must be a block of keys", "write {key: value}, or one key per line")
		return
	}
	rest := *f.node
	rest.Content = nil
	look := &looks.Look{Via: "file", Span: f.span, Digest: looks.Digest(f.item.ID + " " + flat(f.node))}
	look.Log, look.Line = l.name, f.span.Start.Line
	for i := 0; i+1 < len(f.node.Content); i += 2 {
		key, value := resolved(f.node.Content[i]), resolved(f.node.Content[i+1])
		switch key.Value {
		case "on", "day":
			m, err := looks.ParseMoment(value.Value)
			if err != nil {
				l.fail(value, join(f.item.Path(), "found.day"), err.Error(), "")
			}
			look.Moment = m
		case "by":
			look.By = value.Value
		case "note":
			look.Note = value.Value
		case "seen_by":
			l.fail(key, join(f.item.Path(), "found.seen_by"), "a second pair of eyes is a look of its own", "write both looks under looks:, the second with blind: yes")
		default:
			rest.Content = append(rest.Content, f.node.Content[i], f.node.Content[i+1])
		}
	}
	target := &looks.Target{ID: f.item.ID, Span: f.span}
	target.Found, target.Event = l.record(f.item.Kind, &rest)
	look.Of = []*looks.Target{target}
	l.add(f.node, look)
}

// note reads a line that is no look. Day and name may stand in its block or
// beside it.
func (l *logReader) note(n *yaml.Node, keys map[string]*yaml.Node, line int) {
	word := word(keys)
	if word == "" {
		return
	}
	own := keys[string(word)]
	l.only(n, string(word), "day", "by", "via", "why", "note", "count", "checked")
	inner := fields(own)
	all := maps.Clone(keys)
	if word != looks.Withdraw && word != looks.Renamed {
		maps.Copy(all, inner)
	}
	stamp, ok := l.stamp(n, all, l.session)
	if !ok {
		return
	}
	stamp.Log, stamp.Line = l.name, line
	note := looks.Note{Stamp: stamp, Word: word, Span: l.span(n)}
	if why := all["why"]; why != nil {
		note.Why = why.Value
	}
	item := func(key string) string {
		if v := inner[key]; v != nil {
			return v.Value
		}
		if own.Kind == yaml.ScalarNode {
			return own.Value
		}
		return ""
	}
	switch word {
	case looks.Renamed:
		for old, to := range inner {
			one := note
			one.Item, one.To = old, to.Value
			l.log.Notes = append(l.log.Notes, &one)
		}
		return
	case looks.Signed:
		l.signed(note, own, inner)
		return
	case looks.Withdraw:
		if !l.withdraw(&note, own, inner) {
			return
		}
		note.Item = item("of")
	case looks.Ended:
		l.only(own, "look", "of")
		note.Item, note.Why = item("of"), item("look")
	case looks.Answered:
		l.only(own, "torn", "why", "day", "by")
		note.Item = item("torn")
	case looks.Arrived:
		l.only(own, "item", "why", "day", "by", "count", "checked")
		note.Item = item("item")
		l.arrival(&note, all)
	default:
		l.only(own, "item", "why", "day", "by")
		note.Item = item("item")
	}
	if note.Item == "" {
		l.fail(n, "looks", fmt.Sprintf("%s does not say of what", word), "")
		return
	}
	l.log.Notes = append(l.log.Notes, &note)
}

// signed reads which move was signed and what it is set on, as a note for each of that.
func (l *logReader) signed(note looks.Note, own *yaml.Node, inner map[string]*yaml.Node) {
	l.only(own, "move", "of")
	move, of := inner["move"], inner["of"]
	if move == nil || move.Value == "" || of == nil || of.Kind != yaml.SequenceNode || len(of.Content) == 0 {
		l.failAt(note.Span, "looks.signed", "it does not say which move was signed and what that is set on", "write it as signed: {move: onto-stands, of: [stand-left, stand-right]}")
		return
	}
	for _, id := range of.Content {
		one := note
		one.Item, one.To = id.Value, move.Value
		l.log.Notes = append(l.log.Notes, &one)
	}
}

// withdraw reads which look a note takes back: one of whoever writes it.
func (l *logReader) withdraw(note *looks.Note, own *yaml.Node, inner map[string]*yaml.Node) bool {
	l.only(own, "day", "by", "of", "meant", "look")
	of, ok := l.stamp(own, inner, looks.Stamp{})
	if !ok {
		return false
	}
	if of.By != note.By {
		l.fail(own, "looks.withdraw", fmt.Sprintf("%s takes back a look of %s", note.By, of.By), "everybody takes back their own; write a look of what is so")
		return false
	}
	note.Of = of.Moment
	if meant := inner["meant"]; meant != nil {
		note.To = meant.Value
	}
	if look := inner["look"]; look != nil {
		note.Look = look.Value
	}
	return true
}

// arrival reads how much of an order came, and whether it is what was ordered.
func (l *logReader) arrival(note *looks.Note, keys map[string]*yaml.Node) {
	if !slices.ContainsFunc(l.build.Orders, func(o *Item) bool { return o.ID == note.Item }) {
		var known []string
		for _, o := range l.build.Orders {
			known = append(known, o.ID)
		}
		l.failAt(note.Span, "looks.arrived", fmt.Sprintf("nothing is ordered as %s", shown(note.Item)), meant(note.Item, known, "the orders are "))
	}
	if n := keys["count"]; n != nil {
		if v, ok := l.count(n, "looks.count"); ok {
			note.Count = v.(int64)
		}
	}
	if v := keys["checked"]; v != nil {
		yes, ok := l.yes(v.Value)
		if !ok {
			l.fail(v, "looks.checked", fmt.Sprintf("checked must be yes or no, not %s", shown(v.Value)), "")
		}
		note.Checked = looks.NotGood
		if yes {
			note.Checked = looks.Good
		}
	}
}

// arrivals lays what came by the log into the orders. An arrival without a number is all that was
// still to come, and of an order that has come in full all of it. Each piece stands for itself: the
// order is what was ordered when as many as were ordered are right, and until then it is not where
// one came that is wrong.
func (r *reader) arrivals(log *looks.Log) {
	for _, order := range r.build.Orders {
		read := map[string]bool{} // a line that stands twice, as after a merge, counts once
		ordered, _ := order.Count("ordered")
		here, _ := order.Count("arrived")
		right, wrong := int64(0), false
		check := func(isRight bool, count int64) {
			if wrong = wrong || !isRight; isRight {
				right += count
			}
		}
		if isRight, said := order.Bool("checked"); said {
			check(isRight, here)
		}
		for _, n := range log.Notes {
			line := fmt.Sprint(n, n.Count, n.Checked)
			if n.Word != looks.Arrived || n.Item != order.ID || read[line] {
				continue
			}
			read[line] = true
			came := n.Count
			if here == 0 && came == 0 {
				came = max(ordered, 1)
			} else if came == 0 {
				came = max(ordered-here, 0)
			}
			if here += came; came == 0 {
				came = here
			}
			order.Set("arrived", schema.Value{V: here, Span: n.Span})
			if n.Checked != looks.NotSaid {
				check(n.Checked == looks.Good, came)
			}
			order.Delete("checked")
			if all := right >= max(ordered, 1) && (ordered > 0 || right >= here); all || wrong {
				order.Set("checked", schema.Value{V: all, Span: n.Span})
			}
		}
	}
}

// thingNow is the kind and the item of an id, by the name it has today.
func (l *logReader) thingNow(id string) (*schema.Kind, *Item) {
	for range len(l.log.Notes) + 1 {
		if id == "vehicle" || id == "site" {
			return schema.KindOf(id), nil
		}
		if item := l.build.byID[id]; item != nil {
			return item.Kind, item
		}
		i := slices.IndexFunc(l.log.Notes, func(n *looks.Note) bool { return n.Word == looks.Renamed && n.Item == id })
		if i < 0 {
			break
		}
		id = l.log.Notes[i].To
	}
	return nil, nil
}

// at lists the ids at a place, for a message.
func (l *logReader) at(place string) []string {
	var ids []string
	for _, id := range l.build.ids() {
		item := l.build.byID[id]
		if item.Kind.Field("place") == nil {
			continue
		}
		if p, ok := item.Text("place"); ok && p == place {
			ids = append(ids, id)
		}
	}
	return ids
}

// splitMembers takes 'rack-bolts{2,5}' apart.
func splitMembers(name string) (id string, members []int, ok bool) {
	id, rest, group := strings.Cut(name, "{")
	if !group {
		return id, nil, id != ""
	}
	list, closed := strings.CutSuffix(rest, "}")
	for _, part := range strings.Split(list, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil || n < 1 || n > maxMembers {
			return id, nil, false
		}
		members = append(members, n)
	}
	return id, members, closed && id != ""
}

// flat writes a node on one line, so that a look is the same look however it is
// laid out.
func flat(n *yaml.Node) string {
	n = resolved(n)
	var parts []string
	switch n.Kind {
	case yaml.MappingNode:
		for key, value := range pairs(n) {
			parts = append(parts, strconv.Quote(key.Value)+": "+flat(value))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case yaml.SequenceNode:
		for _, e := range n.Content {
			parts = append(parts, flat(e))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return strconv.Quote(n.Value)
}
