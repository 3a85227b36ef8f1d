package quantity

import (
	"cmp"
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// Date is a day of the calendar.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

var dateForm = regexp.MustCompile(`^(\d{4})-(\d{2})-(\d{2})$`)

// ParseDate reads a date written 2026-11-20. A day that the calendar does not
// have is an error, and so is a year before 1900: a slip of the keyboard.
func ParseDate(text string) (Date, error) {
	clean, err := tidy(text, "date", "2026-11-20")
	if err != nil {
		return Date{}, err
	}
	m := dateForm.FindStringSubmatch(clean)
	if m == nil {
		return Date{}, fmt.Errorf("%q is not a date; write it as 2026-11-20", clean)
	}
	year, _ := strconv.Atoi(m[1]) // digits only
	month, _ := strconv.Atoi(m[2])
	d, _ := strconv.Atoi(m[3])
	date := Date{year, time.Month(month), d}
	switch {
	case year < 1900:
		return Date{}, fmt.Errorf("%q is before the year 1900; write year, month and day as 2026-11-20", clean)
	case month < 1 || month > 12:
		return Date{}, fmt.Errorf("%q has a month that does not exist; write year-month-day as 2026-11-20", clean)
	case ofTime(date.utc()) != date:
		return Date{}, fmt.Errorf("%q: %s %d has no such day", clean, date.Month, year)
	}
	return date, nil
}

func ofTime(t time.Time) Date {
	year, month, d := t.Date()
	return Date{year, month, d}
}

// String prints the date as 2026-11-20.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Compare orders dates by time.
func (d Date) Compare(o Date) int {
	return cmp.Or(cmp.Compare(d.Year, o.Year), cmp.Compare(d.Month, o.Month), cmp.Compare(d.Day, o.Day))
}

// DaysUntil is the number of days from d to o, negative when o comes before.
func (d Date) DaysUntil(o Date) int {
	// Not by time.Duration, which ends after 292 years.
	return int((o.utc().Unix() - d.utc().Unix()) / Day)
}

// AddDays is the day so many days later.
func (d Date) AddDays(days int) Date { return ofTime(d.utc().AddDate(0, 0, days)) }

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
