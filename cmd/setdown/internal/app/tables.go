package app

import (
	"encoding/json"
	"io"

	"github.com/spf13/cobra"

	"setdown/model"
	"setdown/reports/csvr"
	"setdown/reports/jsonr"
	"setdown/reports/markdown"
	"setdown/reports/text"
	"setdown/rules/verdict"
)

func (a *app) loadsCmd() *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:   "loads FILE",
		Short: "Show where the weight goes and what each part would bear",
		Long: `loads prints, step by step, what every support, link and joint carries: on an
even floor, worst over the ways the vehicle can rock, over a sideways push and
over the ± of its masses; what happens if it lets go; and every strength with
its method, source and working.`,
		Example: `  setdown loads car.yaml --move onto-stands
  setdown loads car.yaml -m onto-stands --json > loads.json`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	asJSON := cmd.Flags().Bool("json", false, "write JSON")
	f.register(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := a.one(cmd.Context(), args[0], &f)
		if err != nil {
			return err
		}
		if *asJSON {
			return jsonr.Write(a.out, []*verdict.Report{r.report})
		}
		return text.Loads(a.out, r.report, a.textOptions())
	}
	return cmd
}

func (a *app) tacksCmd() *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:   "tacks FILE",
		Short: "List the welds that are not made full, and the moves in which they carry",
		Long: `tacks lists every weld that is not made full: what it is made of now, what it
waits for, in which moves it carries and how hard. What tacks would bear is
shown for information; the rules count it as the policy says, by default as
nothing.`,
		Example:           `  setdown tacks car.yaml`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	asJSON := cmd.Flags().Bool("json", false, "write JSON")
	f.register(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := a.one(cmd.Context(), args[0], &f)
		if err != nil {
			return err
		}
		if *asJSON {
			return writeJSON(a.out, r.report.Tacks)
		}
		return text.Tacks(a.out, r.report, a.textOptions())
	}
	return cmd
}

func (a *app) punchCmd() *cobra.Command {
	var f checkFlags
	var format, to string
	cmd := &cobra.Command{
		Use:   "punch FILE",
		Short: "List the work and the parts that a move still waits for, in working order",
		Long: `punch lists what is left to do before a move can go (or, without --move, before
every move can): parts to buy first with how many and which size, then what to
fit, weld, look at, torque, lock, mark and write down, place by place. Each line
says which moves it holds up.`,
		Example: `  setdown punch car.yaml --move onto-stands
  setdown punch car.yaml -f csv -o punch.csv`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			r, err := a.one(cmd.Context(), args[0], &f)
			if err != nil {
				return err
			}
			p := r.report.Punch(f.moves...)
			write, ok := map[string]func(w io.Writer, color bool) error{
				"text": func(w io.Writer, color bool) error {
					return text.Punch(w, p, text.Options{Color: color, Width: a.width})
				},
				"csv":      func(w io.Writer, _ bool) error { return csvr.Punch(w, p) },
				"markdown": func(w io.Writer, _ bool) error { return markdown.Punch(w, p) },
				"json":     func(w io.Writer, _ bool) error { return writeJSON(w, p) },
			}[format]
			if !ok {
				return wrong("punch has no format %q; it has text, csv, markdown and json", format)
			}
			return a.write(to, write)
		},
	}
	f.register(cmd)
	cmd.Flags().StringVarP(&format, "format", "f", "text", "how to write it: text, csv, markdown, json")
	cmd.Flags().StringVarP(&to, "output", "o", "", "write to this `file` instead of the terminal")
	return cmd
}

func (a *app) compareCmd() *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Say what changed between two build files: worse, better, new, gone",
		Example: `  setdown compare monday.yaml tuesday.yaml
  git show HEAD:car.yaml > before.yaml; setdown compare before.yaml car.yaml`,
		Long: `compare reads two states of a vehicle and says what changed: which items are
worse, better, new or gone, and whether the verdict of a move changed with them.
Exit code: that of checking the new file.`,
		Args:              arguments(2, 2, "the older or the newer build file"),
		ValidArgsFunction: buildFiles,
	}
	asJSON := cmd.Flags().Bool("json", false, "write JSON")
	f.register(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		results, err := a.checkAll(cmd.Context(), args, &f)
		if err != nil {
			return err
		}
		if err := a.mistakes(results); err != nil {
			return err
		}
		if len(results) != 2 {
			return wrong("compare takes two different files")
		}
		var changes []verdict.PathChange
		for _, c := range model.Differences(results[0].build, results[1].build) {
			changes = append(changes, verdict.PathChange{Path: c.Path, Old: c.Old, New: c.New})
		}
		comparison := verdict.Compare(results[0].report, results[1].report, changes)
		a.exit = verdict.ExitCode(results[1].report)
		if *asJSON {
			return writeJSON(a.out, comparison)
		}
		return text.Compare(a.out, comparison, a.textOptions())
	}
	return cmd
}

func (a *app) textOptions() text.Options {
	return text.Options{Color: a.color, Width: a.width}
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
