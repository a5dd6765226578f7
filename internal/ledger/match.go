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
	// New is the rep that is to be logged for an entry without one; nil for none.
	New *bullpen.Rep
	// behind says that the entry comes after the last rep.
	behind bool
	// OtherPitch says that the rep is logged as another pitch than was typed.
	OtherPitch bool
	// Doubt asks whether the reading can be right, see Ask.
	Doubt bullpen.Question
}

// Pitch returns the pitch the pair speaks of: the typed one, or else the rep's.
func (p Pair) Pitch() bullpen.Pitch {
	if p.Entry != nil && p.Entry.Pitch != "" {
		return p.Entry.Pitch
	}
	if r := p.rep(); r != nil {
		return r.Pitch
	}
	return ""
}

// rep returns the pair's rep, a new one too; nil for none.
func (p Pair) rep() *bullpen.Rep {
	if p.Rep != nil {
		return p.Rep
	}
	return p.New
}

// Preview is how readings would fall on reps.
type Preview struct {
	Pairs   []Pair // in order; surplus on either side is in its place
	Matched int    // pairs that have both
	Replace int    // of these, readings that take the place of another one
	Over    int    // entries without a rep
	Behind  int    // of these, those after the last rep; a negative shift leaves out the others
	New     int    // entries that get a new rep, see LogBehind
	Missing int    // reps without an entry that have no reading either
	Kept    int    // reps without an entry that keep their reading
}

// Free returns the first shift with which the entries replace no reading: from a rep
// without one, up to where they end or the reps do; behind the last rep if there is no
// such place. Before anything is read it is 0. Warm-ups, which are often not read, are no
// place to begin at.
func Free(entries []Entry, reps []bullpen.Rep) int {
	inOrder := thrownOf(reps)
	read := func(r bullpen.Rep) bool { return r.Reading != nil }
	if !slices.ContainsFunc(inOrder, read) {
		return 0
	}
	for i, r := range inOrder {
		under := inOrder[i:min(i+len(entries), len(inOrder))]
		if !r.WarmUp && !slices.ContainsFunc(under, read) {
			return i
		}
	}
	return len(inOrder)
}

// thrownOf returns the reps in the order thrown.
func thrownOf(reps []bullpen.Rep) []bullpen.Rep {
	inOrder := slices.Clone(reps)
	slices.SortStableFunc(inOrder, func(a, b bullpen.Rep) int { return cmp.Compare(a.Order, b.Order) })
	return inOrder
}

// Match lays entries beside reps in the order thrown, the first entry on the first
// rep. A positive shift leaves that many reps free before the first entry; a
// negative one leaves that many entries out before the first rep. Nothing is ever
// shifted unasked, and whatever finds no partner is shown without one.
func Match(entries []Entry, reps []bullpen.Rep, shift int) Preview {
	inOrder := thrownOf(reps)
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
			if pair.behind = place-skip >= len(inOrder); pair.behind {
				p.Behind++
			}
		case pair.Entry == nil && pair.Rep.Reading != nil:
			p.Kept++
		case pair.Entry == nil:
			p.Missing++
		default:
			p.Matched++
			if pair.Rep.Reading != nil && pair.Entry.Reading != nil {
				p.Replace++
			}
			pair.OtherPitch = pair.Entry.Pitch != "" && pair.Entry.Pitch != pair.Rep.Pitch
		}
		p.Pairs = append(p.Pairs, pair)
	}
	return p
}

// LogBehind has a new rep logged for each entry after the last rep, as thrown. A CSV
// read whole says what each one is. Any other takes over from the rep before it, as one
// marked on film does: drill, set, the next number and warm-up. Without a pitch it is a
// fastball. ahead are a workout's places that are still free, one for each entry behind,
// nil without a workout: what is not typed is theirs, and only the warm-up, which has no
// place, is taken over. before is the last rep of the bullpen, the zero Rep for none.
func (p *Preview) LogBehind(before bullpen.Rep, ahead []bullpen.Place) {
	for i := range p.Pairs {
		pair := &p.Pairs[i]
		if !pair.behind {
			continue
		}
		r := after(before, ahead != nil)
		if pair.Entry.Said != nil {
			pair.Entry.Said.Into(&r)
		}
		r.Pitch, r.Reading = pair.Entry.Pitch, pair.Entry.Reading
		if len(ahead) > 0 && !r.WarmUp {
			r.Drill, r.Set, r.Number = cmp.Or(r.Drill, ahead[0].Drill), cmp.Or(r.Set, ahead[0].Set), cmp.Or(r.Number, ahead[0].Number)
			r.Pitch, ahead = cmp.Or(r.Pitch, ahead[0].Pitch), ahead[1:]
		}
		r.Pitch = cmp.Or(r.Pitch, bullpen.Fastball)
		pair.New, before = &r, r
	}
	p.New, p.Over, p.Behind = p.Behind, p.Over-p.Behind, 0
}

// after returns what a rep thrown after another one takes over from it.
func after(before bullpen.Rep, planned bool) bullpen.Rep {
	r := bullpen.Rep{
		BullpenID: before.BullpenID, WarmUp: before.WarmUp,
		Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
	}
	if !planned {
		r.Drill, r.Set, r.Number = before.Drill, before.Set, before.Number
		if r.Number > 0 {
			r.Number++
		}
	}
	return r
}

// Ask asks about each reading as it will be asked once it is saved: given the others of
// the run and those that the bullpen's reps, all of them, keep. One without a rep is
// taken for a full pitch.
func (p *Preview) Ask(pen bullpen.Bullpen, reps []bullpen.Rep) {
	all := slices.Clone(reps)
	at := make(map[string]int, len(all))
	for i, r := range all {
		at[r.ID] = i
	}
	asked := make([]int, len(p.Pairs))
	for i, pair := range p.Pairs {
		asked[i] = -1
		if pair.Entry == nil || pair.Entry.Reading == nil {
			continue
		}
		r := bullpen.Rep{}
		if has := pair.rep(); has != nil {
			r = *has
		}
		r.Reading, r.Pitch = pair.Entry.Reading, cmp.Or(pair.Pitch(), bullpen.Fastball)
		if k, ok := at[r.ID]; ok && pair.Rep != nil {
			asked[i], all[k] = k, r
		} else {
			asked[i], all = len(all), append(all, r)
		}
	}
	questions := bullpen.Questions(pen, all)
	for i, k := range asked {
		if k >= 0 {
			p.Pairs[i].Doubt = questions[k]
		}
	}
}
