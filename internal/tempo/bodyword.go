package tempo

import "fmt"

// bodyWord is how legs or an arm look beside her fastballs. It follows from the range alone as it is shown,
// by the same margin for both: the same range has the same word.
type bodyWord string

// How they may look.
const (
	looksEven   bodyWord = ""       // nothing that speaks of a slow-down
	looksSlower bodyWord = "slower" // slower in the film, not surely by enough to be called so
	isSlower    bodyWord = "is"     // shown to be slower
)

// lookOf says how a contrast looks. It looks slower when what was seen lies above the
// margin slowed, or when the whole interval is on the slower side and reaches above it.
func lookOf(c Contrast, slowed float64) bodyWord {
	c = c.shown()
	switch {
	case c.Lo() > slowed:
		return isSlower
	case c.Log <= slowed && (c.Lo() <= 0 || c.Hi() <= slowed):
		return looksEven
	}
	return looksSlower
}

// muchSlower is from where on a slow-down is no longer called a little, per cent.
const muchSlower = 10

// seen says of legs or an arm how they look, with their range; "" where there is nothing
// to say. How ends what is said of those that slowed down: " too", or nothing.
func (l bodyWord) seen(what string, s *Slowing, whose, fast, too string) string {
	how := "a little slower"
	if s != nil && s.Percent >= muchSlower {
		how = "slower"
	}
	switch l {
	case isSlower:
		return fmt.Sprintf("Her %s slowed down%s: %s.", what, too, s.words(whose, fast))
	case looksSlower:
		return fmt.Sprintf("Her %s may be %s, not sure enough to call it that: %s.", what, how, s.words(whose, fast))
	}
	return ""
}
