package walkround

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"setdown/model/looks"
	"setdown/reports/plain"
	"setdown/reports/text"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// errStop is the wish to stop: all that was answered is kept.
var errStop = errors.New("stopped")

// Terminal asks one question after the other until nothing is asked or the person stops;
// then it takes faults that nothing asks for. An answer is a line, or a single key where
// raw makes the terminal hand each key over at once, until the function that it returns is
// called; raw is nil where there are no keys.
func Terminal(s *Session, in io.Reader, out io.Writer, o text.Options, raw func() (func(), error)) error {
	t := &terminal{s: s, in: bufio.NewReader(in), out: out, o: o, raw: raw}
	for {
		screen, q := s.Next()
		if q == nil {
			if err := text.Standing(out, s.Round, o); err != nil {
				return err
			}
			return t.faults()
		}
		if err := text.Question(out, s.Round, screen, q, o); err != nil {
			return err
		}
		err := t.answer(q)
		var refused *RefusedError
		switch {
		case errors.Is(err, errStop):
			fmt.Fprintln(out, "Stopped. What was answered is written; go on at any time.")
			return text.Standing(out, s.Round, o)
		case errors.As(err, &refused):
			fmt.Fprintln(out, plain.Lines("Not written: "+refused.Error()))
		case err != nil:
			return err
		}
	}
}

// faults takes what somebody saw and nothing asks for, until an empty line, and says how
// it stands then.
func (t *terminal) faults() error {
	told := false
	fmt.Fprintln(t.out, "A fault all the same? Type item, fact, value, as in 'left-bracket crack yes';")
	for {
		said, err := t.line("nothing to end")
		if errors.Is(err, errStop) || said == "" || said == "q" {
			break
		}
		if err != nil {
			return err
		}
		fields := strings.Fields(strings.ReplaceAll(said, ",", " "))
		if len(fields) < 3 {
			fmt.Fprintln(t.out, "Not written: it takes three: item, fact, value.")
			continue
		}
		var refused *RefusedError
		switch err := t.s.Say(ask.Answer{Of: fields[:1], Fact: fields[1], Say: strings.Join(fields[2:], " ")}); {
		case errors.As(err, &refused):
			fmt.Fprintln(t.out, plain.Lines("Not written: "+refused.Error()))
		case err != nil:
			return err
		default:
			told = true
			fmt.Fprintln(t.out, plain.Line("Written of "+fields[0]+"."))
			if open := t.s.StillOpen(); len(open) > 0 {
				fmt.Fprintln(t.out, plain.Line(plain.StillOpen(open)))
			}
		}
	}
	if !told {
		return nil
	}
	return text.Standing(t.out, t.s.Round, t.o)
}

type terminal struct {
	s   *Session
	in  *bufio.Reader
	out io.Writer
	o   text.Options
	raw func() (func(), error)
	// habit is the rest of the word of which one key was enough: who types it all the same
	// says nothing by it.
	habit string
}

func (t *terminal) line(prompt string) (string, error) {
	fmt.Fprint(t.out, prompt+" > ")
	const most = 4096
	said, err := t.in.ReadString('\n')
	if habit := t.habit; habit != "" && strings.TrimSpace(said) == habit {
		said, err = t.in.ReadString('\n')
	}
	t.habit = ""
	switch {
	case len(said) > most:
		return "", refuse("this is longer than %d characters", most)
	case err != nil && said == "":
		fmt.Fprintln(t.out)
		return "", errStop
	}
	return strings.TrimSpace(said), nil
}

// Keys that end a round at a terminal which hands over every key.
const (
	interrupt = 3 // Ctrl-C
	endOfText = 4 // Ctrl-D
)

// key takes one key, if it is one of those that mean something, else a line.
func (t *terminal) key(q *verdict.Question) (string, error) {
	meant := singleKeys(q)
	if t.raw == nil || meant == "" {
		return t.line("")
	}
	fmt.Fprint(t.out, " key > ")
	back, err := t.raw()
	if err != nil {
		return t.line("")
	}
	defer back()
	for {
		k, err := t.in.ReadByte()
		switch {
		case err != nil || k == interrupt || k == endOfText:
			back()
			fmt.Fprintln(t.out)
			return "", errStop
		case k == '\r' || k == '\n':
			continue
		case strings.HasPrefix(t.habit, string(rune(k))):
			t.habit = t.habit[1:]
			continue
		case !strings.ContainsRune(meant, rune(k)):
			continue
		}
		if next, _ := t.in.Peek(min(1, t.in.Buffered())); len(next) == 1 && (next[0] == '\n' || next[0] == '\r') {
			_, _ = t.in.ReadByte()
		}
		back()
		fmt.Fprintln(t.out, string(rune(k)))
		t.habit = ""
		for _, word := range append([]string{"good", "no", "later"}, q.Lines[0].Words...) {
			if word[0] == k {
				t.habit = word[1:]
			}
		}
		return string(rune(k)), nil
	}
}

// singleKeys are the keys that answer a question by themselves; none where something has
// to be typed, or where two answers begin alike.
func singleKeys(q *verdict.Question) string {
	const always = "clbq"
	if q.Fact == "" {
		return always + "gn"
	}
	l := q.Lines[0]
	keys := always
	if l.MayNotApply {
		keys += "d"
	}
	if len(l.Words) == 0 || l.Pair || q.Each && len(plain.Members(q)) > 1 {
		return ""
	}
	for _, word := range l.Words {
		if strings.Contains(keys, word[:1]) {
			return ""
		}
		keys += word[:1]
	}
	return keys
}

func refuse(format string, args ...any) error { return &RefusedError{fmt.Errorf(format, args...)} }

// answer takes one line. A single key is said of the question; else it is the value, of
// all or, behind a colon, of those with these numbers.
func (t *terminal) answer(q *verdict.Question) error {
	said, err := t.key(q)
	if err != nil {
		return err
	}
	a := ask.Answer{Of: ids(q), Fact: q.Fact, Blind: q.First != ""}
	switch said {
	case "":
		return refuse("%s", keys(q))
	case "q":
		return errStop
	case "b":
		return t.s.TakeBack()
	case "l":
		t.s.Later(q)
		return nil
	case "c":
		a.Say = ask.CannotSee
		return t.s.Say(a)
	case "d":
		a.Say = ask.DoesNotApply
		return t.s.Say(a)
	}
	if q.Fact != "" {
		return t.value(q, a, said)
	}
	switch strings.ToLower(said) {
	case "g", "good", "all", "all good":
		a.Say = ask.Good
		return t.s.Say(a)
	case "n", "no", "not good":
		return t.notGood(q)
	}
	// 'y' would be an answer to the line above it, and the lines are not all good by 'yes'.
	return refuse("%q is no answer here; %s", said, keys(q))
}

// keys says what may be typed.
func keys(q *verdict.Question) string {
	first := "type g if all of it is good, n if something is not"
	if q.Fact != "" {
		first = "type the answer"
	}
	return first + ", c if you cannot see it, l for later, b to go back, q to stop"
}

func ids(q *verdict.Question) []string {
	var list []string
	for _, of := range q.Of {
		list = append(list, of.ID)
	}
	return list
}

// value answers one fact. What is critical is said of every item by its number.
func (t *terminal) value(q *verdict.Question, a ask.Answer, said string) error {
	l := q.Lines[0]
	names := plain.Members(q)
	numbers, value, split := strings.Cut(said, ":")
	switch {
	case split:
		a.Say = strings.TrimSpace(value)
	case q.Each && l.Unit == "" && len(names) > 1:
		for _, word := range l.Words {
			if !slices.Contains(l.Bad, word) {
				a.Say = word
				break
			}
		}
	default:
		numbers, a.Say = "", said
	}
	if numbers != "" {
		of, err := chosen(names, numbers)
		if err != nil {
			return err
		}
		a.Of = of
	}
	a.Say = word(l, a.Say)
	return t.s.Say(a)
}

// word is the word that a first letter stands for, where it is of one alone; 'good' and
// 'all' stand for the one that is no fault.
func word(l verdict.Line, said string) string {
	if (said == "good" || said == "all") && !slices.Contains(l.Words, said) {
		fine := slices.DeleteFunc(slices.Clone(l.Words), func(word string) bool { return slices.Contains(l.Bad, word) })
		if len(fine) == 1 {
			return fine[0]
		}
	}
	var fits []string
	for _, word := range l.Words {
		if strings.HasPrefix(word, said) {
			fits = append(fits, word)
		}
	}
	if len(fits) == 1 {
		return fits[0]
	}
	return said
}

// chosen are the names with the numbers that were typed.
func chosen(names []string, typed string) ([]string, error) {
	var some []string
	for _, field := range strings.FieldsFunc(typed, func(r rune) bool { return r == ' ' || r == ',' }) {
		n, err := strconv.Atoi(field)
		if err != nil || n < 1 || n > len(names) {
			return nil, refuse("%q is no number from 1 to %d; type the numbers of those you looked at, as in '1 2'", field, len(names))
		}
		some = append(some, names[n-1])
	}
	if len(some) == 0 {
		return nil, refuse("type the numbers of those you looked at")
	}
	return some, nil
}

// notGood asks which one and what. Nothing is written before that is known.
func (t *terminal) notGood(q *verdict.Question) error {
	names := plain.Members(q)
	which := names
	if len(names) > 1 {
		if err := text.Which(t.out, names, t.o); err != nil {
			return err
		}
		said, err := t.line("")
		if err != nil {
			return err
		}
		if which, err = chosen(names, said); err != nil {
			return err
		}
		if len(which) > 1 {
			return refuse("a fault is said of one at a time")
		}
	}
	thing, _ := looks.SplitMember(which[0])
	faults := slices.DeleteFunc(plain.Faults(q), func(d plain.Defect) bool { return len(d.Of) > 0 && !slices.Contains(d.Of, thing) })
	if err := text.What(t.out, which[0], faults, t.o); err != nil {
		return err
	}
	said, err := t.line("")
	if err != nil {
		return err
	}
	var answers []ask.Answer
	for one := range strings.SplitSeq(said, ",") {
		number, value, _ := strings.Cut(strings.TrimSpace(one), " ")
		n, err := strconv.Atoi(number)
		if err != nil || n < 1 || n > len(faults) {
			return refuse("%q is no number from 1 to %d; type n again, then the numbers of what is not good", number, len(faults))
		}
		a := ask.Answer{Of: which, Fact: faults[n-1].Fact, Say: faults[n-1].Say}
		if a.Say == "" {
			a.Say = value
		}
		if a.Say == "" {
			return refuse("%d needs the figure as well: type '%d 1'", n, n)
		}
		answers = append(answers, a)
	}
	for _, a := range answers {
		if err := t.s.Say(a); err != nil {
			return err
		}
	}
	// The others are asked again; what stops the move is a job now, and of what does not the other lines are asked.
	written := "Written."
	if t.s.done[key{item: which[0], whole: true}] {
		written += " " + which[0] + " is asked again when it is mended."
	}
	fmt.Fprintln(t.out, plain.Line(written))
	return nil
}
