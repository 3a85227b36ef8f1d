package quantity

import (
	"cmp"
	"fmt"
	"time"
)

// Date is a day of the calendar.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// ParseDate reads a date written 2026-11-20. A day that the calendar does not
// have is an error.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil || t.Year() < 1900 {
		return Date{}, fmt.Errorf("%q is no date; write year, month and day as 2026-11-20", text)
	}
	return Date{t.Year(), t.Month(), t.Day()}, nil
}

// String prints the date as 2026-11-20.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Compare orders dates by time.
func (d Date) Compare(o Date) int {
	return cmp.Or(cmp.Compare(d.Year, o.Year), cmp.Compare(d.Month, o.Month), cmp.Compare(d.Day, o.Day))
}

// DaysUntil is the number of days from d to o, negative when o comes before.
func (d Date) DaysUntil(o Date) int {
	return int(o.utc().Sub(d.utc()) / (24 * time.Hour))
}

func (d Date) utc() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// MarshalText writes the date as String does.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the date as ParseDate does.
func (d *Date) UnmarshalText(text []byte) error {
	date, err := ParseDate(string(text))
	if err != nil {
		return err
	}
	*d = date
	return nil
}
