package bullpen

import "time"

// DayText writes a day (YYYY-MM-DD) as people read it, "12 April 2026", as the page
// does; a text that is no day stays as it is.
func DayText(day string) string {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return at.Format("2 January 2006")
}
