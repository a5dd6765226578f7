package bullpen

import (
	"fmt"
	"strconv"
	"strings"
)

// Sentences for what can't be said: which fact is missing, and what to do.

// words returns the place as it stands in a sentence.
func (g GunPlace) words() string {
	if before, after, ok := strings.Cut(string(g), " "); ok {
		return before + " the " + after // behind the catcher
	}
	return "a place nobody noted"
}

// name returns the pitch's name, or its code if the type is not known.
func (p Pitch) name() string {
	if t, ok := TypeOf(p); ok {
		return t.Name
	}
	return string(p)
}

// theirs names the pitch, and its drill where it was thrown in one.
func theirs(pitch, drill string) string {
	if DrillKey(drill) == "" {
		return "The " + pitch
	}
	return fmt.Sprintf("In %s the %s", drillWords(drill), pitch)
}

// RepsSaid names reps by their numbers: "rep 6", "reps 6 and 9", "reps 3, 6 and 9".
func RepsSaid(orders []int) string {
	words := make([]string, len(orders))
	for i, o := range orders {
		words[i] = strconv.Itoa(o)
	}
	if len(words) == 1 {
		return "rep " + words[0]
	}
	return "reps " + Listed(words)
}

// Listed joins words, one or more, as a sentence does: "6, 9 and 11".
func Listed(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// drillWords returns the drill as it stands in a sentence.
func drillWords(name string) string {
	if DrillKey(name) == "" {
		return "the full pitch"
	}
	return fmt.Sprintf("the drill %q", DrillName(name))
}

// noReading says why a throw without a usable reading has no gap.
func noReading(t *throw) string {
	if t.rep.Reading == nil {
		return "No reading: type what the gun showed."
	}
	return fmt.Sprintf("No ball has a speed of %s: correct the reading.", t.reading)
}

// noBaseline says which fact is missing for a baseline in the group.
func (b bases) noBaseline(in group, drill string) string {
	pitch := b.pitch.name()
	if b.policy == Typed && in.drill == "" {
		if b.typed.speed.possible() && b.typed.gun != in.gun {
			return fmt.Sprintf("The typed baseline was read from %s, this from %s: type one for this place, or correct where the gun stood.", b.typed.gun.From(), in.gun.From())
		}
		return "No baseline is typed yet: type it on the pitcher's page."
	}
	own := b.sets[setKey{b.pitch, in}]
	if own != nil && len(own.throws) == 0 {
		return fmt.Sprintf("All readings of the %s are asked about: settle one first.", pitch)
	}
	if b.policy == Last && own != nil {
		return fmt.Sprintf("No %s was read before this rep: throw one first, or choose another baseline on the pitcher's page.", pitch)
	}
	otherPlace, otherDrill := GunPlace(""), false
	for have := range b.sets {
		switch {
		case have.pitch != b.pitch:
		case have.drill == in.drill && (otherPlace == "" || have.gun < otherPlace):
			otherPlace = have.gun
		case have.gun == in.gun:
			otherDrill = true
		}
	}
	switch {
	case otherPlace != "":
		return fmt.Sprintf("%s was read from %s, this from %s: read a %s from %s too, or correct where the gun stood.",
			theirs(pitch, drill), otherPlace.words(), in.gun.words(), pitch, in.gun.words())
	case otherDrill:
		return fmt.Sprintf("No %s was read in %s: throw one in it, for gaps are counted within a drill.", pitch, drillWords(drill))
	}
	return fmt.Sprintf("No %s has a reading in this bullpen: throw one, or type a baseline on the pitcher's page.", pitch)
}

// unsettled says why a reading that is asked about has no gap.
const unsettled = "Is this reading right? It counts once you say so, or correct it."

// leftOut says which readings count in nothing because they are asked about, "" for none.
func leftOut(asked []*throw) string {
	switch len(asked) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("Rep %d (%s) is left out here until you say whether its reading is right.", asked[0].rep.Order, asked[0].reading)
	}
	orders := make([]int, len(asked))
	for i, t := range asked {
		orders[i] = t.rep.Order
	}
	words := RepsSaid(orders)
	return strings.ToUpper(words[:1]) + words[1:] + " are left out here until you say whether their readings are right."
}

// noBand says why a pitch has no verdict although it has a gap.
func noBand(p Pitch) string {
	return fmt.Sprintf("The %s has no band, because it is not meant to be slower: set one on the pitcher's page if hers is.", p.name())
}

// noWay says what a band in milliseconds lacks.
const noWay = "A band in milliseconds takes her pitching distance, extension and ball: set them on the pitcher's page."

// isBaseline says why the pitch that gaps are counted from has none itself.
func isBaseline(p Pitch) string {
	return fmt.Sprintf("The %s is what gaps are counted from.", p.name())
}

// badBand says that a stored band can't be used.
func badBand(p Pitch) string {
	return fmt.Sprintf("The band of the %s makes no sense: set it again on the pitcher's page.", p.name())
}
