package app

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"setdown/cmd/setdown/internal/looklog"
	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/reports"
	"setdown/rules/ask"
	"setdown/rules/check"
)

func (a *app) looksCmd() *cobra.Command {
	var mend bool
	var by string
	cmd := &cobra.Command{
		Use:   "looks FILE [ITEM]",
		Short: "Show who saw what, and what stands of it today",
		Long: `looks shows the log of a build file of the second format: every look, by whom and
when. With an item it shows the looks at that item, what stands of them today,
faults first, and what nobody knows.

--mend moves a line that was not written to its end aside. It stops every move
until somebody who knows says what it said. It also notes which looks were at
another design than the one drawn now: they do not count again when the old
design comes back.`,
		Example: `  setdown looks car.yaml
  setdown looks car.yaml fl-lower-nut
  setdown looks car.yaml --mend --by TN`,
		Args:              arguments(1, 2, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	cmd.Flags().BoolVar(&mend, "mend", false, "move a torn line aside, and note which looks have ended")
	cmd.Flags().StringVar(&by, "by", "", "the `name` of who mends it")
	var o reports.Options
	everything(cmd, &o)
	out := writes(a, cmd, reports.History)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if mend {
			return a.mend(args[0], by)
		}
		b, err := model.Load(args[0])
		if err != nil {
			return err
		}
		a.wasRead(b)
		item := ""
		if len(args) > 1 {
			item = args[1]
		}
		history, err := check.History(b, item)
		if err != nil {
			return inputError{err}
		}
		return out.write(history, o)
	}
	return cmd
}

// mend mends the log of a build file.
func (a *app) mend(file, by string) error {
	if strings.TrimSpace(by) == "" {
		return wrong("--mend writes a line into the log: say whose with --by NAME")
	}
	log := model.LogName(file)
	if _, err := os.Stat(log); err != nil {
		return wrong("%s has no log beside it: %s is not there", file, filepath.ToSlash(log))
	}
	at := moment()
	torn, err := looklog.Mend(log, at, by)
	if err != nil {
		return inputError{err}
	}
	if torn {
		fmt.Fprintf(a.out, "%s: the torn line was moved aside; no move goes until somebody says what it said\n", filepath.ToSlash(log))
	}
	ended, err := noteEnded(file, by, at)
	if err != nil {
		return err
	}
	if ended > 0 {
		fmt.Fprintf(a.out, "%s: %d looks were at another design and have ended\n", filepath.ToSlash(log), ended)
	}
	if !torn && ended == 0 {
		fmt.Fprintf(a.out, "%s: nothing to mend\n", filepath.ToSlash(log))
	}
	return nil
}

// noteEnded writes into the log which looks were at another design than the one drawn
// now, and counts them. Whatever command writes does so first: else they would count
// again when the old design comes back.
func noteEnded(file, by string, at looks.Moment) (int, error) {
	b, err := model.Load(file)
	if err != nil {
		return 0, err
	}
	ended := b.NewlyEnded()
	if len(ended) == 0 {
		return 0, nil
	}
	var lines []string
	for _, e := range ended {
		lines = append(lines, ask.Ended(e.Digest, e.Item, at, by))
	}
	if err := looklog.Append(model.LogName(file), lines...); err != nil {
		return 0, inputError{err}
	}
	return len(ended), nil
}

// moment is now, as the log writes it.
func moment() looks.Moment {
	now := time.Now()
	return looks.Moment{Day: quantity.Date{Year: now.Year(), Month: now.Month(), Day: now.Day()}, Clock: now.Hour()*3600 + now.Minute()*60 + now.Second(), Timed: true}
}

func (a *app) cardCmd() *cobra.Command {
	var units measures
	cmd := &cobra.Command{
		Use:   "card [KIND...]",
		Short: "Print what a look covers, for the wall",
		Long: `card prints the cards: what a look at one kind of item covers, when it is fitted
or made and on every round, with the good answers. 'good: yes' in a look says the
card.`,
		Example: `  setdown card
  setdown card fasteners welds
  setdown card -f html -o cards.html`,
		Args: arguments(0, -1, ""),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return cardKinds(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	units.register(cmd, "metric")
	out := writes(a, cmd, reports.Cards)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		var kinds []string
		for _, name := range args {
			kind := schema.KindOf(name)
			if kind == nil || kind.Found() == nil {
				return wrong("there is no card of %q; there are %s", name, strings.Join(cardKinds(), ", "))
			}
			kinds = append(kinds, kind.Name)
		}
		return out.write(check.Cards(units.System, kinds...), reports.Options{})
	}
	return cmd
}

// cardKinds are the kinds of which there is a card.
func cardKinds() []string {
	var kinds []string
	for _, card := range check.Cards("") {
		kinds = append(kinds, card.Kind)
	}
	return kinds
}
