package app

import (
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"setdown/model/source"
	"setdown/reports/plain"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packtest"
)

func (a *app) rulesCmd() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rules",
		Short: "List, show and test the rules",
		Args:  arguments(0, 0, ""),
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	own := cmd.PersistentFlags().StringArray("rules", nil, "your own rule `file`, added to the built-in rules")
	cmd.AddCommand(a.rulesListCmd(own), a.rulesShowCmd(own), a.rulesTestCmd(own))
	return cmd
}

func (a *app) rulesListCmd(own *[]string) *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "List the rules: stop, caution or note, and what they say",
		Example: "  setdown rules list",
		Args:    arguments(0, 0, ""),
		RunE: func(*cobra.Command, []string) error {
			e, err := loadRules(*own, pack.LoadFS)
			if err != nil {
				return err
			}
			for _, p := range e.Packs() {
				a.say("%s", p.Title)
				table := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
				for _, r := range p.Rules {
					words, _ := r.Words() // LoadFS has read them all
					fmt.Fprintf(table, "  %s\t%s\t%s\n", r.ID, r.Else, plain.Line(words.Say.String()))
				}
				if err := table.Flush(); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

func (a *app) rulesShowCmd(own *[]string) *cobra.Command {
	return &cobra.Command{
		Use:     "show RULE...",
		Short:   "Show one rule in full: what it asks, why, its sources and its examples",
		Example: "  setdown rules show stud-nut-fitted",
		Args:    arguments(1, -1, "the id of a rule"),
		RunE: func(_ *cobra.Command, args []string) error {
			e, err := loadRules(*own, pack.LoadFS)
			if err != nil {
				return err
			}
			for i, id := range args {
				r := e.Rule(id)
				if r == nil {
					return wrong("no rule is called %q; %s", id, source.DidYouMean(id, e.RuleIDs(), "'setdown rules list' shows them"))
				}
				if i > 0 {
					fmt.Fprintln(a.out)
				}
				a.showRule(e, r)
			}
			return nil
		},
	}
}

func (a *app) rulesTestCmd(own *[]string) *cobra.Command {
	return &cobra.Command{
		Use:   "test",
		Short: "Run the examples of all rules, built-in and your own",
		Long: `test runs every example of every rule, checks that the examples show each part
of a rule true and false, and takes away every known fact of every example, one
at a time, to prove that knowing less never lets a rule pass.`,
		Example: "  setdown rules test --rules mine.yaml",
		Args:    arguments(0, 0, ""),
		RunE: func(*cobra.Command, []string) error {
			e, err := loadRules(*own, pack.LoadFS)
			if err != nil {
				return err
			}
			// The built-in examples are run with the built-in policy values, which
			// a pack of the builder's own may have changed.
			builtIn, err := loadRules(nil, pack.LoadFS)
			if err != nil {
				return err
			}
			failures := packtest.Run(builtIn, builtIn.Packs())
			mine := slices.DeleteFunc(slices.Clone(e.Packs()), func(p *pack.Pack) bool { return !p.Own })
			if len(mine) > 0 {
				failures = append(failures, packtest.Run(e, mine)...)
			}
			for _, f := range failures {
				a.say("%v", f)
			}
			rules, examples := 0, 0
			for _, p := range e.Packs() {
				rules += len(p.Rules)
				for _, r := range p.Rules {
					examples += len(r.Examples)
				}
			}
			a.say("%d rules, %d examples, %d failed", rules, examples, len(failures))
			if len(failures) > 0 {
				a.exit = exitNoGo
			}
			return nil
		},
	}
}

func (a *app) showRule(e *engine.Engine, r *pack.Rule) {
	section := func(name, text string) {
		text = strings.TrimSpace(text)
		if text == "" {
			return
		}
		a.say("  %-9s %s", name, strings.ReplaceAll(text, "\n", "\n            "))
	}
	a.say("%s (%s, pack %s)", r.ID, r.Else, r.Pack)
	section("each", strings.Join(r.Each, ", "))
	section("in", strings.Join(r.In, ", "))
	section("when", r.When.Text)
	section("must", r.Must.Text)
	for _, v := range e.Explain(r) {
		section("reads", v.Name+": "+v.Value)
	}
	words, _ := r.Words()
	section("says", words.Say.String())
	section("fix", words.Fix.String())
	section("why", words.Why)
	section("basis", strings.Join(words.Basis, "\n"))
	waivable := "no"
	if r.Waivable {
		waivable = "yes, with a name, a reason and a last day"
	}
	section("waivable", waivable)
	section("stands in", r.Span.String())
	for _, x := range r.Examples {
		section("example", x.Why+": "+x.Expect)
	}
}
