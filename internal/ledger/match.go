package ledger

import (
	"cmp"
	"slices"

	"tenoff/internal/bullpen"
)

// Pair is one reading beside one rep; either may be missing.
type Pair struct {
	Entry *Entry
	Rep   *bullpen.Rep
	// OtherPitch says that the rep is logged as another pitch than was typed.
	OtherPitch bool
	Doubt      string // one sentence that asks whether the reading can be right
}

// Pitch returns the pitch the pair speaks of: the typed one, or else the rep's.
func (p Pair) Pitch() bullpen.Pitch {
	if p.Entry != nil && p.Entry.Pitch != "" {
		return p.Entry.Pitch
	}
	if p.Rep != nil {
		return p.Rep.Pitch
	}
	return ""
}

// Preview is how readings would fall on reps.
type Preview struct {
	Pairs   []Pair // in order; surplus on either side is in its place
	Matched int    // pairs that have both
	Over    int    // entries without a rep
	Missing int    // reps without an entry
}

// Match lays entries beside reps in the order thrown, the first entry on the first
// rep. A positive shift leaves that many reps free before the first entry; a
// negative one leaves that many entries out before the first rep. Nothing is ever
// shifted unasked, and whatever finds no partner is shown without one.
func Match(entries []Entry, reps []bullpen.Rep, shift int) Preview {
	inOrder := slices.Clone(reps)
	slices.SortStableFunc(inOrder, func(a, b bullpen.Rep) int { return cmp.Compare(a.Order, b.Order) })
	// Entry i and rep i+shift stand at place i+ahead.
	ahead := min(max(shift, 0), len(inOrder))
	skip := min(max(-shift, 0), len(entries))
	var p Preview
	for place := 0; place < max(len(entries)+ahead, len(inOrder)+skip); place++ {
		var pair Pair
		if i := place - ahead; i >= 0 && i < len(entries) {
			pair.Entry = &entries[i]
		}
		if i := place - skip; i >= 0 && i < len(inOrder) {
			pair.Rep = &inOrder[i]
		}
		switch {
		case pair.Rep == nil:
			p.Over++
		case pair.Entry == nil:
			p.Missing++
		default:
			p.Matched++
			pair.OtherPitch = pair.Entry.Pitch != "" && pair.Entry.Pitch != pair.Rep.Pitch
		}
		p.Pairs = append(p.Pairs, pair)
	}
	p.doubt()
	return p
}

// doubt asks about each reading, given the others of its pitch and drill.
func (p Preview) doubt() {
	type key struct {
		pitch bullpen.Pitch
		drill string
	}
	keyOf := func(pair Pair) key {
		k := key{pitch: pair.Pitch()}
		if pair.Rep != nil {
			k.drill = bullpen.DrillKey(pair.Rep.Drill)
		}
		return k
	}
	readings := map[key][]bullpen.Reading{}
	for _, pair := range p.Pairs {
		if pair.Entry != nil && pair.Entry.Reading != nil {
			readings[keyOf(pair)] = append(readings[keyOf(pair)], *pair.Entry.Reading)
		}
	}
	doubts := make(map[key][]string, len(readings))
	for k, all := range readings {
		doubts[k] = bullpen.Doubts(all)
	}
	for i := range p.Pairs {
		pair := &p.Pairs[i]
		if pair.Entry == nil || pair.Entry.Reading == nil {
			continue
		}
		k := keyOf(*pair)
		pair.Doubt, doubts[k] = doubts[k][0], doubts[k][1:]
	}
}
