package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"setdown/cmd/setdown/internal/page"
	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/reports"
	"setdown/reports/plain"
	"setdown/reports/text"
	"setdown/rules/ask"
	"setdown/rules/check"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

func (a *app) walkCmd() *cobra.Command {
	var move, by, answers string
	var rules []string
	var onPage, lan bool
	var units measures
	cmd := &cobra.Command{
		Use:   "walk FILE --move MOVE",
		Short: "Go round the vehicle: what is still to be looked at before a move",
		Long: `walk asks what a move still needs, and only that, in the order in which one goes
round the vehicle, and writes each answer as a look into the log beside the build
file before it says so. Stop at any time and go on later.

At a terminal and with --by it asks question by question. Else, and with --format,
it prints the sheet: boxes for a pencil, or JSON. --answers reads answers from a
file, or with - from standard input: a list of {of: [items], fact, say}; fact is left out
for the card, and say is good, cannot see, does not apply, or the value of the fact. What
nothing asks for any more is written as well, so a fault can be reported at any time.

--page serves the round as a page to a telephone, for all moves or the one of --move,
until it is stopped: to this machine, or with --lan to the network it is on, with a code
to scan. Whoever has the code can write looks. It is plain HTTP, for a network of one's
own.

Exit code: 0 the move is GO, 1 it is NO-GO, 2 the input is wrong.`,
		Example: `  setdown walk car.yaml --move onto-stands --by TN
  setdown walk car.yaml --move onto-stands -f html -o round.html
  setdown walk car.yaml --move onto-stands --by TN --answers paper.json
  setdown walk car.yaml --page --lan`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	cmd.Flags().StringVarP(&move, "move", "m", "", "the `move` to go round for")
	cmd.Flags().StringVar(&by, "by", "", "the `name` of who looks")
	cmd.Flags().StringVar(&answers, "answers", "", "take the answers from this `file`; - is standard input")
	cmd.Flags().StringArrayVar(&rules, "rules", nil, "your own rule `file`, added to the built-in rules")
	units.register(cmd, "what the file says")
	cmd.Flags().BoolVar(&onPage, "page", false, "serve the round as a page until it is stopped")
	cmd.Flags().BoolVar(&lan, "lan", false, "with --page: to the network this machine is on")
	out := writes(a, cmd, reports.Walk)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		debug.SetGCPercent(300) // it judges anew after every answer, and a fifth of that was collecting garbage
		if onPage || lan {
			if answers != "" || cmd.Flags().Changed("format") || out.to != "" || by != "" || !onPage {
				return wrong("--page is with --lan, --move, --units and --rules alone: each telephone says who holds it")
			}
			return a.servePage(cmd.Context(), args[0], move, rules, units.System, lan)
		}
		if move == "" {
			return wrong("say before which move with --move")
		}
		a.read = slices.Clone(rules)
		if answers != "" && answers != standardInput {
			a.read = append(a.read, answers)
		}
		s := &walkround.Session{Book: &walkround.Book{File: args[0], Now: time.Now, Units: units.System}, By: strings.TrimSpace(by), Via: "terminal"}
		var err error
		if s.Judge, err = a.rounds(cmd.Context(), move, rules, units.System); err != nil {
			return err
		}
		if answers != "" && s.By == "" {
			return wrong("answers are somebody's: say whose with --by NAME")
		}
		if s.By != "" {
			if _, err := noteEnded(args[0], s.By, moment()); err != nil {
				return err
			}
		}
		if err := s.Start(); err != nil {
			return err
		}
		switch in, ask := terminal(cmd); {
		case answers != "":
			s.Via = "answers"
			if err := a.answer(s, cmd.InOrStdin(), answers); err != nil {
				return err
			}
			err = text.Standing(a.out, s.Round, text.Options{Color: a.color, Width: a.width})
		case ask && s.By != "" && !cmd.Flags().Changed("format") && out.to == "":
			err = walkround.Terminal(s, in, a.out, text.Options{Color: a.color, Width: a.width}, keys(in))
		default:
			err = out.write(s.Round, reports.Options{})
		}
		a.exit = exitNoGo
		if s.Round.Decision == verdict.Go {
			a.exit = exitGo
		}
		return err
	}
	return cmd
}

// judges judges build states, all moves of one or the one that is named, with the rules
// read once; of the one that is named and GO also how long it stays so. What the looks since the last
// build state leave as it was is kept.
func (a *app) judges(ctx context.Context, files []string, units quantity.System) (func(b *model.Build, move string) (*verdict.Report, error), error) {
	e, err := loadRules(files, pack.LoadRules)
	if err != nil {
		return nil, err
	}
	var mu sync.Mutex
	before := map[string]*check.Judged{} // by the move that was asked for
	return func(b *model.Build, move string) (*verdict.Report, error) {
		at, err := today("")
		if err != nil {
			return nil, err
		}
		if b.Log == nil {
			return nil, &source.Error{Span: source.Span{File: b.File}, Message: "a file of the first format keeps no log of looks", Hint: "write format: setdown/2 on its first line"}
		}
		if err := b.CheckLog(at); err != nil {
			return nil, err
		}
		var moves []string
		if move != "" {
			moves = []string{move}
		}
		mu.Lock()
		was := before[move]
		mu.Unlock()
		j, err := check.Judge(ctx, b, e, check.Options{Moves: moves, Today: at.Day, Clock: at.Clock, Timed: at.Timed, Version: Version, Units: units, Before: was})
		if err != nil {
			return nil, err
		}
		mu.Lock()
		before[move] = j
		mu.Unlock()
		if move == "" || j.Report.Decision != verdict.Go {
			return j.Report, nil
		}
		return j.Report, j.Ahead(ctx)
	}, nil
}

// rounds makes rounds of build states before one move.
func (a *app) rounds(ctx context.Context, move string, files []string, units quantity.System) (func(*model.Build) (*verdict.Round, error), error) {
	judge, err := a.judges(ctx, files, units)
	if err != nil {
		return nil, err
	}
	return func(b *model.Build) (*verdict.Round, error) {
		a.wasRead(b)
		report, err := judge(b, move)
		if err != nil {
			return nil, err
		}
		round, err := ask.Round(b, report, move)
		if err != nil {
			return nil, err
		}
		round.Cautions = plain.Cautions(&report.Moves[0])
		return round, nil
	}, nil
}

// servePage serves the round to telephones until it is stopped. Then the exit code says how
// the moves stand, as check would.
func (a *app) servePage(ctx context.Context, file, move string, rules []string, units quantity.System, lan bool) error {
	judge, err := a.judges(ctx, rules, units)
	if err != nil {
		return err
	}
	book := &walkround.Book{File: file, Now: time.Now, Units: units}
	b, err := book.Build()
	if err != nil {
		return err
	}
	if _, err := judge(b, move); err != nil {
		return err
	}
	s, err := page.New(book, judge, move)
	if err != nil {
		return err
	}
	on, err := page.Listen(lan)
	if err != nil {
		return inputError{err}
	}
	addresses, err := s.Addresses(lan)
	if err != nil {
		on.Close()
		return inputError{err}
	}
	if lan {
		code, err := page.Code(addresses[0], a.color)
		if err != nil {
			on.Close()
			return err
		}
		fmt.Fprint(a.out, code)
		a.say("Scan it, or open one of these on the telephone, in the same network:")
	}
	for _, address := range addresses {
		a.say("%s", address)
	}
	a.say("Whoever has the address can write looks. Stop with Ctrl-C.")
	if err := s.Serve(ctx, on); err != nil {
		return err
	}
	if b, err = book.Build(); err != nil {
		return err
	}
	if judge, err = a.judges(context.WithoutCancel(ctx), rules, units); err != nil {
		return err
	}
	report, err := judge(b, move)
	if err != nil {
		return err
	}
	a.exit = verdict.ExitCode(report)
	return nil
}

// terminal is where answers are typed, if somebody sits there.
func terminal(cmd *cobra.Command) (*os.File, bool) {
	in, ok := cmd.InOrStdin().(*os.File)
	if !ok {
		return nil, false
	}
	info, err := in.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil, false
	}
	null, err := os.Stat(os.DevNull)
	return in, err != nil || !os.SameFile(info, null)
}

// keys hands over every key of a terminal at once, until the function that it returns is
// called; once is enough.
func keys(in *os.File) func() (func(), error) {
	return func() (func(), error) {
		was, err := term.MakeRaw(int(in.Fd()))
		if err != nil {
			return nil, err
		}
		return sync.OnceFunc(func() { _ = term.Restore(int(in.Fd()), was) }), nil
	}
}

// answer takes the answers of a file. One that nobody can read is named and not written;
// the others are.
func (a *app) answer(s *walkround.Session, in io.Reader, file string) error {
	content, err := readAnswers(in, file)
	if err != nil {
		return wrong("%w", err)
	}
	if file == standardInput {
		file = "standard input"
	}
	var list []ask.Answer
	err = json.Unmarshal(content, &list)
	if other := new(json.UnmarshalTypeError); errors.As(err, &other) && other.Field != "" {
		return wrong("%s: at byte %d %s is a %s; a number, yes and no stand in quotes as any answer: \"say\": \"4\"", file, other.Offset, other.Field, other.Value)
	}
	if err != nil {
		return wrong("%s holds no list of answers: %w", file, err)
	}
	refused, err := s.SayAll(list)
	for i := range list {
		if no := refused[i]; no != nil {
			a.complain("%s: answer %d is not written: %v", file, i+1, no)
		}
	}
	if open := s.StillOpen(); err == nil && len(open) > 0 {
		a.complain("%s", plain.StillOpen(open))
	}
	if err == nil && len(refused) > 0 {
		err = wrong("%d of %d answers of %s are not written; the others are", len(refused), len(list), file)
	}
	return err
}

// standardInput stands for a file of answers.
const standardInput = "-"

func readAnswers(in io.Reader, file string) ([]byte, error) {
	const most = 1 << 20
	if file != standardInput {
		return source.ReadFile(file, most, "file of answers")
	}
	content, err := io.ReadAll(io.LimitReader(in, most+1))
	if err == nil && len(content) > most {
		err = fmt.Errorf("standard input is over %d MiB; that is no file of answers", most>>20)
	}
	return content, err
}
