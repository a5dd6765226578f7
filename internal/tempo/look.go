package tempo

import "fmt"

// looks is how legs or an arm look beside her fastballs where nothing of them is
// claimed.
type looks string

// How they may look.
const (
	looksEven   looks = ""        // nothing that speaks of a slow-down
	looksSlower looks = "slower"  // slower in the film, not surely by enough to be called so
	looksFew    looks = "too few" // likewise, and more reps like these would tell
	isSlower    looks = "is"      // shown to be slower
)

// lookOf says how a contrast looks. It looks slower when what was seen lies above the
// margin slowed, or when the whole interval is on the slower side and reaches above
// it. More reps would tell when with mostReps of each the interval would lie above
// slowed, or below same where it does not yet.
func lookOf(c Contrast, slowed, same float64) looks {
	switch {
	case c.Lo() > slowed:
		return isSlower
	case c.Log <= slowed && (c.Lo() <= 0 || c.Hi() <= slowed):
		return looksEven
	}
	if more := c.with(mostReps); more.Lo() > slowed || more.Hi() < same && c.Hi() >= same {
		return looksFew
	}
	return looksSlower
}

// muchSlower is from where on a slow-down is no longer called a little, per cent.
const muchSlower = 10

// seen says of legs or an arm how they look, what with its range, without claiming it
// unless the verdict is a slowed body; "" where there is nothing to say. few is whether
// more reps would decide what the verdict does not.
func (l looks) seen(what string, s *Slowing, whose, fast string, v Verdict, few bool) string {
	how := "a little slower"
	if s != nil && s.Percent >= muchSlower {
		how = "slower"
	}
	switch {
	case l == looksEven:
		return ""
	case l == isSlower && v == SlowedBody:
		return fmt.Sprintf("Her %s slowed down too: %s.", what, s.words(whose, fast))
	case l == isSlower:
		return fmt.Sprintf("Her %s %s %s: %s.", what, map[string]string{"legs": "look", "arm": "looks"}[what], how, s.words(whose, fast))
	case l == looksFew && few:
		return fmt.Sprintf("Her %s may be %s, too few reps to tell: %s.", what, how, s.words(whose, fast))
	}
	return fmt.Sprintf("Her %s may be %s, not sure enough to call it that: %s.", what, how, s.words(whose, fast))
}
