package app

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"setdown/model/jsonschema"
)

//go:embed starter.yaml
var starter []byte

//go:embed starter-checklist.yaml
var starterChecklist []byte

func (a *app) newCmd() *cobra.Command {
	var checklist bool
	cmd := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a starter build file",
		Long: `new writes a small build file with one of everything and words on what to put
where. It says NO-GO until it is filled in: that is the point. With --checklist
it writes the short kind that asks for no masses and no measures.

It never writes over a file that is there.`,
		Example: `  setdown new car.yaml
  setdown new car.yaml --checklist`,
		Args: arguments(1, 1, "the name of the new file"),
		RunE: func(_ *cobra.Command, args []string) error {
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
	return cmd
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
