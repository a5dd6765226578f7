package caption

import (
	"slices"
	"strings"
	"unicode"
)

// mostNamed is how many of the things that can't be burned in are named.
const mostNamed = 4

// Missing says which of typed text can't be burned into a clip, as no font of Fonts has
// it, in one sentence; "" when all of it can.
func Missing(typed string) (string, error) {
	t, err := loadTypeface()
	if err != nil {
		return "", err
	}
	text := plain(typed)
	_, left := t.split(text)
	var names []string
	for _, s := range left {
		// A selector or a joiner that nothing draws is missed by nobody.
		seen := strings.ContainsFunc(s, func(r rune) bool { return !unicode.In(r, unicode.Mn, unicode.Cf, unicode.Zs) })
		if seen && !slices.Contains(names, s) {
			names = append(names, s)
		}
	}
	if len(names) == 0 {
		return "", nil
	}
	if len(names) > mostNamed {
		names = append(names[:mostNamed], "others")
	}
	said := names[len(names)-1]
	if before := names[:len(names)-1]; len(before) > 0 {
		said = strings.Join(before, ", ") + " and " + said
	}
	said += " can't be burned into a clip"
	if strings.TrimSpace(t.drawn(text)) != "" {
		said += "; the rest can"
	}
	return said + ".", nil
}
