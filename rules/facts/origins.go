package facts

// read is one thing that a fact was computed from: a fact of an object by their numbers, or all that
// is recorded of it, or whether it is there, or, outside of all objects, the step as statics has it,
// or the day. It is the same in every step, and on every day.
type read struct{ of, at int32 }

const outside = -1 // of no object

// What is read that is no field: of an object all of them, or what it is as something that holds a joint, by
// itself or among others; of none the mechanism, the step as statics has it, the day, the time of day, or
// the log.
const (
	allFields = -1 - iota
	theHolder
	asHeld // as one of several that hold a joint
	theDay
	theHour
	theStep
	theLog
	theMechanism = allFields
)

// origins is what a fact hangs on at last, a bit each: the objects of which something recorded stands
// behind it, and the mechanism, the step, the day or the log. It is noted as the fact is computed.
// Objects of a large file share bits: then more is computed anew than has to be.
type origins [4]uint64

const (
	originBits = 64 * len(origins{})
	ofOutside  = 8 // bits of what is of no object
)

// origin is the bit of what is read, but for a fact that is computed.
func origin(r read) (o origins) {
	bit := int(-r.at)
	if r.of != outside {
		bit = ofOutside + int(r.of)%(originBits-ofOutside)
	}
	o[bit/64] = 1 << (bit % 64)
	return o
}

func (o *origins) add(other origins) {
	for i := range o {
		o[i] |= other[i]
	}
}

// meets reports whether some of the one is of the other as well.
func (o origins) meets(other origins) bool {
	for i := range o {
		if o[i]&other[i] != 0 {
			return true
		}
	}
	return false
}

// within reports whether all of the one are of the other as well.
func (o origins) within(other origins) bool {
	for i := range o {
		if o[i]&^other[i] != 0 {
			return false
		}
	}
	return true
}
