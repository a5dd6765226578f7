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
			return fmt.Sprintf("The typed baseline was read from %s and this from %s, and readings from two places are never mixed: type one for this place, or correct where the gun stood.", b.typed.gun.From(), in.gun.From())
		}
		return "The baseline is set to a typed number and none is typed: type it on the pitcher's page."
	}
	own := b.sets[setKey{b.pitch, in}]
	if own != nil && len(own.throws) == 0 {
		return fmt.Sprintf("Every reading of the %s is asked about and counts in nothing until it is settled: settle one first.", pitch)
	}
	if b.policy == Last && own != nil {
		return fmt.Sprintf("No %s was read before this rep, and the last one before it is her baseline: throw one first, or choose another baseline on the pitcher's page.", pitch)
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
		return fmt.Sprintf("In %s the %s was read from %s and this from %s, and readings from two places are never mixed: read a %s from %s, or correct where the gun stood.",
			drillWords(drill), pitch, otherPlace.words(), in.gun.words(), pitch, in.gun.words())
	case otherDrill:
		return fmt.Sprintf("No %s was read in %s, which has a baseline of its own: throw one in it.", pitch, drillWords(drill))
	}
	return fmt.Sprintf("No %s has a reading in this bullpen: throw one, or type a baseline on the pitcher's page.", pitch)
}

// unsettled says why a reading that is asked about has no gap.
const unsettled = "This reading is asked about and counts in nothing until it is settled: put it right, or say that it is right."

// leftOut says which readings count in nothing because they are asked about, "" for none.
func leftOut(asked []*throw) string {
	switch len(asked) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("The reading of rep %d (%s) is asked about and left out of this until it is settled.", asked[0].rep.Order, asked[0].reading)
	}
	orders := make([]string, len(asked))
	for i, t := range asked {
		orders[i] = strconv.Itoa(t.rep.Order)
	}
	last := len(orders) - 1
	return fmt.Sprintf("The readings of reps %s and %s are asked about and left out of this until they are settled.", strings.Join(orders[:last], ", "), orders[last])
}

// noBand says why a pitch has no verdict although it has a gap.
func noBand(p Pitch) string {
	return fmt.Sprintf("The %s has no band, because it is not meant to be slower: set one on the pitcher's page if hers is.", p.name())
}

// noWay says what a band in milliseconds lacks.
const noWay = "Her band is set in milliseconds at the plate, and that takes her pitching distance, extension and ball: set them on the pitcher's page."

// isBaseline says why the pitch that gaps are counted from has none itself.
func isBaseline(p Pitch) string {
	return fmt.Sprintf("The %s is what gaps are counted from.", p.name())
}

// badBand says that a stored band can't be used.
func badBand(p Pitch) string {
	return fmt.Sprintf("The band of the %s makes no sense as it is set: write it again on the pitcher's page.", p.name())
}
