package server

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"tenoff/internal/bullpen"
)

// mostComplaints is how many faults of what was sent are named: the next ones are
// heard of when these are mended.
const mostComplaints = 4

// longestName is how many letters of a field's name are repeated: it may be one that
// somebody made up.
const longestName = 40

// readable makes a validation error say what is wrong, so that a page may show it
// as it is: the first few faults, and nothing of what was sent but names.
func readable(_ huma.Context, _ string, v any) (any, error) {
	p, ok := v.(*huma.ErrorModel)
	if !ok || len(p.Errors) == 0 {
		return v, nil
	}
	more := len(p.Errors) > mostComplaints
	p.Errors = p.Errors[:min(len(p.Errors), mostComplaints)]
	parts := make([]string, len(p.Errors))
	for i, e := range p.Errors {
		parts[i] = bullpen.Shortened(plain(*e), longestSentence/mostComplaints)
		p.Errors[i] = &huma.ErrorDetail{Message: parts[i], Location: bullpen.Shortened(e.Location, 2*longestName)}
	}
	if more {
		parts = append(parts, "and more")
	}
	p.Detail = "Please correct this: " + strings.Join(parts, "; ") + "."
	return p, nil
}

// complaints say in plain words what the validator says in those of a schema. $1 is
// what the validator's sentence names.
var complaints = []struct {
	said  *regexp.Regexp
	plain string // after the field's name
}{
	{regexp.MustCompile(`^unexpected property`), "is not known here"},
	{regexp.MustCompile(`^expected required property (.+) to be present$`), "needs $1"},
	{regexp.MustCompile(`^expected string to be RFC 3339 date$`), "must be a day such as 2026-05-02"},
	{regexp.MustCompile(`^expected value to be one of (.+)$`), "must be one of $1"},
	{regexp.MustCompile(`^expected number >= (.+)$`), "must be $1 or more"},
	{regexp.MustCompile(`^expected number > (.+)$`), "must be more than $1"},
	{regexp.MustCompile(`^expected number <= (.+)$`), "must be $1 or less"},
	{regexp.MustCompile(`^expected number < (.+)$`), "must be less than $1"},
	{regexp.MustCompile(`^expected length >= 1$`), "must not be empty"},
	{regexp.MustCompile(`^expected length >= (.+)$`), "must have $1 characters or more"},
	{regexp.MustCompile(`^expected length <= (.+)$`), "must have $1 characters or fewer"},
	{regexp.MustCompile(`^expected array length >= 1$`), "must not be empty"},
	{regexp.MustCompile(`^expected array length >= (.+)$`), "must have $1 entries or more"},
	{regexp.MustCompile(`^expected array length <= (.+)$`), "must have $1 entries or fewer"},
	{regexp.MustCompile(`^expected string$`), "must be a text"},
	{regexp.MustCompile(`^expected integer$`), "must be a whole number"},
	{regexp.MustCompile(`^expected number$`), "must be a number"},
	{regexp.MustCompile(`^expected boolean$`), "must be true or false"},
}

// plain returns what e says as part of a sentence that names the field, and the
// reading where it is one. What has no words of its own is only said to be wrong.
func plain(e huma.ErrorDetail) string {
	field := fieldName(e.Location)
	for _, c := range complaints {
		if at := c.said.FindStringSubmatchIndex(e.Message); at != nil {
			return field + " " + string(c.said.ExpandString(nil, c.plain, e.Message, at))
		}
	}
	if strings.HasPrefix(e.Message, "expected ") {
		if number, unit, ok := asReading(e.Value); ok {
			return fmt.Sprintf("%s can't be %v %s", field, number, unit)
		}
		return field + " can't be what was given"
	}
	return field + ": " + e.Message
}

// asReading returns the number and the unit of what was sent, if it is a reading.
func asReading(v any) (number float64, unit bullpen.Unit, ok bool) {
	m, _ := v.(map[string]any)
	number, ok = m["value"].(float64)
	text, _ := m["unit"].(string)
	unit = bullpen.Unit(text)
	return number, unit, ok && (unit == bullpen.MPH || unit == bullpen.KMH)
}

var humps = regexp.MustCompile(`([a-z])([A-Z])`)

// fieldName says a place such as body.pairs[3].gunTolerance as a person would: gun
// tolerance.
func fieldName(location string) string {
	parts := strings.Split(location, ".")
	last, _, _ := strings.Cut(parts[len(parts)-1], "[")
	if len(parts) == 1 {
		return "what was sent"
	}
	return strings.ToLower(humps.ReplaceAllString(bullpen.Shortened(last, longestName), "$1 $2"))
}
