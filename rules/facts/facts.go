// Package facts holds what the rules read: every kind of item with the fields of the build
// file and the facts computed from them.
//
// Every computed fact is one entry of the table: its name, type and meaning, and the function
// that computes it. The function reads recorded and computed facts, of its own item and of
// others, through one reader. What it reads and nobody recorded makes the fact unknown with
// that path, whatever the function returns; what may be missing is read by a call that says so.
// So a value is known, or it is unknown and the object says why: the fields of the build file
// that nobody recorded, or the reason why nothing was computed. There is no third case and no
// default for a fact. The package judges nothing and knows no expression language.
//
// The files, in the order in which they build on one another:
//
//   - origins.go: what a fact was computed from, and what it hangs on at last
//   - object.go: what the rules are given
//   - reader.go: how a fact reads
//   - entry.go: the forms of an entry
//   - fields.go: the fields that are read
//   - every.go: the facts of every item, and what strength all kinds have in common
//   - worst.go: what nobody recorded, taken at its worst, and asked for where that would not do
//   - pose.go: where springs put it
//   - links.go, joints.go, vehicle.go, listed.go, spacers.go, fasteners.go, bolts.go, tabs.go,
//     studnuts.go, welds.go, wheels.go, springs.go, supports.go, gear.go, moves.go: one kind of item each
//   - comesoff.go: what comes off and on between steps
//   - tilt.go: how the heights of its supports, and a level, say that it stands
//   - steps.go: a step
//   - passedover.go: what no rule judges
//   - table.go: the table of them all
//   - kept.go: what of the facts an answer leaves as it was
//   - state.go: a build state with its facts
//   - parse.go: a fact as an example or policy writes it
//   - policy.go: the figures of choice
package facts
