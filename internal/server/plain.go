package server

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// readable makes a validation error say what is wrong, so that a page may show it
// as it is.
func readable(_ huma.Context, _ string, v any) (any, error) {
	p, ok := v.(*huma.ErrorModel)
	if !ok || len(p.Errors) == 0 {
		return v, nil
	}
	parts := make([]string, len(p.Errors))
	for i, e := range p.Errors {
		e.Message = plain(*e)
		parts[i] = e.Message
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
		if m, ok := e.Value.(map[string]any); ok && m["value"] != nil {
			return strings.TrimSpace(fmt.Sprintf("%s can't be %v %v", field, m["value"], text(m["unit"])))
		}
		return field + " can't be what was given"
	}
	return field + ": " + e.Message
}

func text(v any) string {
	s, _ := v.(string)
	return s
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
	return strings.ToLower(humps.ReplaceAllString(last, "$1 $2"))
}
