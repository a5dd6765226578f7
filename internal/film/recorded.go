package film

import "time"

// recorded returns when the film says it was made, in microseconds UTC, or 0.
// Apple's own key is preferred: the common one is often the time of the last
// copy.
func recorded(tags ...map[string]string) int64 {
	for _, key := range []string{"com.apple.quicktime.creationdate", "creation_time"} {
		for _, t := range tags {
			if at, ok := parseTime(t[key]); ok {
				return at.UnixMicro()
			}
		}
	}
	return 0
}

// parseTime reads a time with its zone. Years that no phone lived in are clocks
// that were never set.
func parseTime(s string) (time.Time, bool) {
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04:05-0700", "2006-01-02T15:04:05.999999999-0700"} {
		if at, err := time.Parse(layout, s); err == nil {
			return at, at.Year() >= 1995 && at.Year() < 2200
		}
	}
	return time.Time{}, false
}
