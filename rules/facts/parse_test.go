package facts

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/schema"
)

func TestParse(t *testing.T) {
	length := &schema.Field{Type: schema.Quantity, Dim: quantity.Length}
	words := &schema.Field{Type: schema.Enum, Enum: []string{"none", "tack", "full"}}
	for _, c := range []struct {
		field *schema.Field
		text  string
		want  any
		err   string
	}{
		{&schema.Field{Type: schema.Bool}, "yes", true, ""},
		{&schema.Field{Type: schema.Bool}, "false", false, ""},
		{&schema.Field{Type: schema.Bool}, "perhaps", nil, "neither yes nor no"},
		{&schema.Field{Type: schema.Count}, "4", int64(4), ""},
		{&schema.Field{Type: schema.Count}, "-1", nil, "is no count"},
		{&schema.Field{Type: schema.Count}, "1.5", nil, "is no count"},
		{words, "tack", "tack", ""},
		{words, "tac", nil, `did you mean "tack"?`},
		{words, "bolted", nil, "its words: none, tack, full"},
		{length, "0.5 mm", quantity.Of(0.0005, quantity.Length, "mm"), ""},
		{length, "-0.5 mm", nil, "below zero"},
		{length, "5 N", nil, "it must be a length"},
		{&schema.Field{Type: schema.Quantity, Dim: quantity.Length, Signed: true}, "-0.5 mm", quantity.Of(-0.0005, quantity.Length, "mm"), ""},
		{&schema.Field{Type: schema.Date}, "2026-11-25", quantity.Date{Year: 2026, Month: 11, Day: 25}, ""},
		{&schema.Field{Type: schema.Date}, "today", nil, "is not a date"},
		{&schema.Field{Type: schema.Thread}, "M13", nil, "M13"},
		{&schema.Field{Type: schema.Text}, "", "", ""},
		{&schema.Field{Type: schema.Ref}, "frame", "frame", ""},
		{&schema.Field{Type: schema.Point}, "1, 2, 3", nil, "cannot be written as a single value"},
	} {
		got, err := Parse(c.field, c.text)
		if c.err != "" {
			assert.ErrorContains(t, err, c.err, c.text)
			continue
		}
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, c.text)
	}
}

// FuzzParse: what is read for a field is of the field's type and within its
// bounds, and what is not read leaves nothing behind.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"yes", "4", "-1", "12 mm", "-3 kg ± 1 kg", "M12x1.25", "2026-11-20", "full", "9223372036854775808"} {
		for i := range 8 {
			f.Add(uint8(i), s)
		}
	}
	fields := []schema.Field{
		{Type: schema.Bool}, {Type: schema.Count}, {Type: schema.Enum, Enum: []string{"tack", "full"}}, {Type: schema.Quantity, Dim: quantity.Length},
		{Type: schema.Quantity, Dim: quantity.Mass, Signed: true}, {Type: schema.Thread}, {Type: schema.Date}, {Type: schema.Text}, {Type: schema.List},
	}
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		field := fields[int(which)%len(fields)]
		v, err := Parse(&field, text)
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		switch field.Type {
		case schema.Bool:
			require.IsType(t, true, v)
		case schema.Count:
			require.GreaterOrEqual(t, v.(int64), int64(0))
		case schema.Enum:
			require.Contains(t, field.Enum, v)
		case schema.Quantity:
			q := v.(quantity.Quantity)
			require.Equal(t, field.Dim, q.Dim)
			require.True(t, field.Signed || q.Value >= 0, "below zero")
		case schema.Thread:
			require.NotEmpty(t, v.(quantity.Thread).Text)
		case schema.Date:
			require.NotZero(t, v.(quantity.Date))
		case schema.Text:
			require.Equal(t, text, v)
		default:
			t.Fatalf("a %v was read", field.Type)
		}
	})
}
