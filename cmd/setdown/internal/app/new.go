package app

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"setdown/model/jsonschema"
	"setdown/model/layouts"
)

//go:embed starter.yaml
var starter []byte

//go:embed starter-checklist.yaml
var starterChecklist []byte

func (a *app) newCmd() *cobra.Command {
	var checklist bool
	var axles string
	cmd := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a starter build file",
		Long: `new writes a small build file with one of everything and words on what to put
where. It says NO-GO until it is filled in: that is the point. With --checklist
it writes the short kind that asks for no masses and no measures.

With --axles it writes the vehicle with those axles, front first: every part,
joint, link, bolt, nut, spacer and bracket by name, alike ones said once, the usual
supports, straps and moves, and beside it the table of points to be measured. It
invents no measure. With --checklist as well it writes the short kind of that
vehicle: what holds it together in groups, and the move onto stands. An axle 'on
coil-overs' has these for its struts, and its springs are listed.

It never writes over a file that is there.`,
		Example: `  setdown new car.yaml
  setdown new car.yaml --checklist
  setdown new car.yaml --axles "double wishbone, leaves"
  setdown new car.yaml --axles "double wishbone on coil-overs, leaves"
  setdown new car.yaml --axles "double wishbone, leaves" --checklist`,
		Args: arguments(1, 1, "the name of the new file"),
		RunE: func(_ *cobra.Command, args []string) error {
			if axles != "" {
				return a.newWithAxles(args[0], axles, checklist)
			}
			content := starter
			if checklist {
				content = starterChecklist
			}
			if err := writeNew(args[0], content); err != nil {
				return err
			}
			a.say("%s written; next: setdown check %s", args[0], args[0])
			return nil
		},
	}
	cmd.Flags().BoolVar(&checklist, "checklist", false, "the short kind, without masses and measurements")
	cmd.Flags().StringVar(&axles, "axles", "", "how the front and the rear axle are laid out, as `FRONT, REAR`")
	return cmd
}

// newWithAxles writes the vehicle with two named axles, and the table of its points.
func (a *app) newWithAxles(name, axles string, checklist bool) error {
	ends := strings.Split(axles, ",")
	if len(ends) != 2 {
		return wrong("--axles: write the front axle, a comma, and the rear axle, such as 'double wishbone, leaves'")
	}
	var found [2]*layouts.Layout
	for i, end := range []string{"front", "rear"} {
		layout, err := layouts.Find(ends[i])
		if err != nil {
			return wrong("--axles: %w", err)
		}
		if layout.Only != "" && layout.Only != end {
			return wrong("--axles: %s goes at the %s only", layout.Name, layout.Only)
		}
		found[i] = layout
	}
	if checklist {
		if err := writeNew(name, layouts.WriteShort(found[0], found[1])); err != nil {
			return err
		}
		a.say("%s written; next: fill in what the comments ask for, then setdown check %s", name, name)
		return nil
	}
	table := strings.TrimSuffix(name, filepath.Ext(name)) + ".points.csv"
	car, points := layouts.Write(found[0], found[1], filepath.Base(table))
	if err := writeNew(table, points); err != nil {
		return err
	}
	if err := writeNew(name, car); err != nil {
		return errors.Join(err, os.Remove(table))
	}
	fmt.Fprintf(a.out, "%s and %s written; next: measure the points, fill in what the comments ask for, then setdown check %s\n", name, table, name)
	return nil
}

// writeNew writes a file that was not there before.
func writeNew(name string, content []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return wrong("%s already exists and was not changed; choose another name", name)
	case err != nil:
		return inputError{err}
	}
	_, err = file.Write(content)
	if err := errors.Join(err, file.Close()); err != nil {
		return errors.Join(fmt.Errorf("write %s: %w", name, err), os.Remove(name))
	}
	return nil
}

func (a *app) schemaCmd() *cobra.Command {
	return &cobra.Command{
		Use:   "schema build|rules",
		Short: "Print the JSON Schema of build files or rule files, for editors",
		Long: `schema prints a JSON Schema, so that an editor completes and checks a build file
or a rule file while it is written. The program itself checks more than a schema
can say.`,
		Example:   `  setdown schema build > setdown-build.schema.json`,
		Args:      cobra.MatchAll(arguments(1, 1, "build or rules"), cobra.OnlyValidArgs),
		ValidArgs: []string{"build", "rules"},
		RunE: func(_ *cobra.Command, args []string) error {
			text := jsonschema.Build()
			if args[0] == "rules" {
				text = jsonschema.Pack()
			}
			_, err := a.out.Write(text)
			return err
		},
	}
}
