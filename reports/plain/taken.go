package plain

import (
	"fmt"

	"setdown/rules/verdict"
)

// TakenHead stands over what Taken lists.
const TakenHead = "What is taken as so, though no line says it"

// Taken words what a check takes as so though no line of the file says it.
func Taken(r *verdict.Report) []string {
	var list []string
	for _, t := range r.Taken {
		var text string
		switch names := Names(t.Items); t.What {
		case verdict.HoldsByName:
			text = names + ": what it holds follows from its name"
		case verdict.MiddleOfJoints:
			text = names + ": its centre of gravity is the middle of its joints, with half their spread as ±"
		case verdict.TiesUpPlace:
			text = names + ": ties up everything at its place that hangs on the frame"
		case verdict.WithinTape:
			text = names + ": its place is known to 3 mm (1/8 in), for nobody wrote how exactly"
		case verdict.NotThere:
			text = fmt.Sprintf("%s: not on this vehicle, by %s on %s", names, t.By, t.On)
			if t.Why != "" {
				text += ": " + t.Why
			}
		}
		list = append(list, text)
	}
	return list
}
