package facts

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// Parse reads a single value as the field wants it, for the places where facts
// stand outside a build file: examples of rules, and what a rule says the build
// file holds once its work is done. It reads no lists, blocks or places.
func Parse(f *schema.Field, text string) (any, error) {
	switch f.Type {
	case schema.Bool:
		switch text {
		case "yes", "true":
			return true, nil
		case "no", "false":
			return false, nil
		}
		return nil, fmt.Errorf("%q is neither yes nor no", text)
	case schema.Count:
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil || n < 0 {
			return nil, fmt.Errorf("%q is no count: a whole number that is not negative", text)
		}
		return n, nil
	case schema.Enum:
		if slices.Contains(f.Enum, text) {
			return text, nil
		}
		return nil, fmt.Errorf("%q is no word for it; %s", text, source.DidYouMean(text, f.Enum, "its words: "+strings.Join(f.Enum, ", ")))
	case schema.Quantity:
		q, err := quantity.Parse(text, f.Dim)
		if err == nil && q.Value < 0 && !f.Signed {
			err = fmt.Errorf("%q is below zero", text)
		}
		return q, err
	case schema.Thread:
		return quantity.ParseThread(text)
	case schema.Date:
		return quantity.ParseDate(text)
	case schema.Text, schema.Ref:
		return text, nil
	}
	return nil, fmt.Errorf("it cannot be written as a single value")
}
