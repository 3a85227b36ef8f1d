// Package walkround takes answers at the vehicle and keeps them: each is a look that is
// on the disk before anybody is told so, and the state is judged anew after each. It
// judges nothing itself.
package walkround

import (
	"cmp"
	"errors"
	"slices"

	"setdown/model"
	"setdown/model/looks"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// Session is one person's round before one move.
type Session struct {
	Book    *Book
	By, Via string
	// Judge makes the round of a build state.
	Judge func(*model.Build) (*verdict.Round, error)

	Round *verdict.Round // as judged after the last answer

	build    *model.Build // of which the round is
	answered []step
	done     map[key]bool // said what can be said of it on this round
	later    map[key]int  // how often it was put off
}

// key is one question after one item; of the card where fact is empty, and of all that
// could be asked of the item where whole is set.
type key struct {
	item, fact string
	whole      bool
}

// step is something that was answered and can be taken back.
type step struct {
	keys []key
	put  bool // put off, not answered
	of   []string
	look *looks.Look
}

// RefusedError is an answer that cannot be written, and says why.
type RefusedError struct{ Err error }

func (e *RefusedError) Error() string { return e.Err.Error() }
func (e *RefusedError) Unwrap() error { return e.Err }

// Start reads and judges the build state.
func (s *Session) Start() error {
	s.done, s.later = map[key]bool{}, map[key]int{}
	return s.judge()
}

func (s *Session) judge() error {
	b, err := s.Book.Build()
	if err != nil {
		return err
	}
	round, err := s.Judge(b)
	if err != nil {
		return err
	}
	s.build, s.Round = b, round
	return nil
}

// SayAll writes answers that come together, as from paper, in the order of ask.Turn. The
// refused are why those at these places of the list are not written.
func (s *Session) SayAll(list []ask.Answer) (refused map[int]*RefusedError, err error) {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(ask.Turn(s.build, list[i]), ask.Turn(s.build, list[j])) })
	refused = map[int]*RefusedError{}
	for _, i := range order {
		var no *RefusedError
		switch err := s.Say(list[i]); {
		case errors.As(err, &no):
			refused[i] = no
		case err != nil:
			return refused, err
		}
	}
	return refused, nil
}

// Say writes an answer, whether it is asked now or not, and judges anew. A RefusedError
// leaves all as it was.
func (s *Session) Say(a ask.Answer) error {
	look, err := s.Book.Write(s.Round, a, s.By, s.Via, s.Book.Now())
	if err != nil {
		return err
	}
	did := step{of: a.Of, look: look}
	if a.Say == ask.CannotSee || a.Say == ask.DoesNotApply {
		for _, name := range a.Of {
			did.keys = append(did.keys, key{item: name, fact: a.Fact})
		}
	}
	s.answered = append(s.answered, did)
	if err := s.judge(); err != nil {
		return err
	}
	last := &s.answered[len(s.answered)-1]
	last.keys = append(last.keys, s.faults(look.Moment)...)
	for _, k := range last.keys {
		s.done[k] = true
	}
	return nil
}

// faults lists what is not asked again on this round because a look found it wrong: the
// thing is a job now, and is looked at again when it is done. The floor, the vehicle and
// the people are many things, of which the others are asked on.
func (s *Session) faults(at looks.Moment) []key {
	var keys []key
	for _, screen := range s.Round.Screens {
		for _, q := range screen.Questions {
			for _, was := range q.Was {
				switch {
				case was.By != s.By || was.When != at.String():
				case q.Around:
					keys = append(keys, key{item: was.Item}, key{item: was.Item, fact: was.Fact})
				default:
					keys = append(keys, key{item: was.Item, whole: true})
				}
			}
		}
	}
	return keys
}

// StillOpen lists the faults that the answers of this round were to and did not end.
func (s *Session) StillOpen() []verdict.HistoryFact {
	var said []*looks.Look
	for _, step := range s.answered {
		if step.look != nil {
			said = append(said, step.look)
		}
	}
	return ask.StillOpen(s.build, said)
}

// Later puts a question off to the end of its place.
func (s *Session) Later(q *verdict.Question) {
	did := step{put: true}
	for _, of := range q.Of {
		k := key{item: of.ID, fact: q.Fact}
		s.later[k]++
		did.keys = append(did.keys, k)
	}
	s.answered = append(s.answered, did)
}

// TakeBack takes back what was answered last. A fault that was taken back stays one until
// somebody has looked at the item alone.
func (s *Session) TakeBack() error {
	if len(s.answered) == 0 {
		return &RefusedError{errors.New("nothing was answered on this round yet")}
	}
	last := s.answered[len(s.answered)-1]
	if !last.put {
		if err := s.Book.Withdraw(last.of, last.look, s.By, s.Via); err != nil {
			return err
		}
	}
	for _, k := range last.keys {
		delete(s.done, k)
		if last.put {
			s.later[k]--
		}
	}
	s.answered = s.answered[:len(s.answered)-1]
	if last.put {
		return nil
	}
	return s.judge()
}

// Next is the next question and the screen it stands on; nil when all was asked. What was
// put off comes at the end of its place, and once. Last comes what somebody else has seen
// and this person is to see as well.
func (s *Session) Next() (*verdict.Screen, *verdict.Question) {
	if screen, q := s.next(s.Round.Screens); q != nil {
		return screen, q
	}
	return s.next(s.Round.Second)
}

func (s *Session) next(screens []verdict.Screen) (*verdict.Screen, *verdict.Question) {
	for from := 0; from < len(screens); {
		to := from
		for to < len(screens) && screens[to].Place == screens[from].Place {
			to++
		}
		for put := range 2 {
			for i := range screens[from:to] {
				screen := &screens[from+i]
				for _, q := range screen.Questions {
					if q.Of = s.open(&q, put); len(q.Of) > 0 {
						return screen, &q
					}
				}
			}
		}
		from = to
	}
	return nil, nil
}

// open lists the items of a question of which nothing was said on this round and that
// were put off so often. A second look is for who is not the first, and one of the people
// of the file.
func (s *Session) open(q *verdict.Question, put int) []verdict.Asked {
	var open []verdict.Asked
	if q.First != "" && (q.First == s.By || !slices.Contains(s.build.People, s.By)) {
		return nil
	}
	for _, of := range q.Of {
		k := key{item: of.ID, fact: q.Fact}
		if !s.done[k] && !s.done[key{item: of.ID, whole: true}] && s.later[k] == put {
			open = append(open, of)
		}
	}
	return open
}
