package judged

import (
	"fmt"
	"math"
	"slices"

	"tenoff/internal/posture"
	"tenoff/internal/texts"
)

// mostMoves is how many differences are said of a pitch at most.
const mostMoves = 4

// wording says a difference: what of her, the unit, and what more and less of it are.
type wording struct {
	her, unit, more, less string
	share                 bool // of her fastballs' mean, per cent
}

var wordings = map[posture.Kind]wording{
	posture.LeanPlant:   {"At front-foot plant her trunk leans", "degrees", "further over the front leg", "less far over the front leg", false},
	posture.LeanRelease: {"At release her trunk leans", "degrees", "further over the front leg", "less far over the front leg", false},
	posture.HipsOpen:    {"Her hips open", "ms", "earlier", "later", false},
	posture.HipSpeed:    {"Her hips come forward", "%", "faster", "slower", true},
	posture.Stride:      {"Her stride is", "%", "longer", "shorter", true},
	posture.ArmSlot:     {"At release her hand is", "% of her trunk’s length", "further ahead of her hips", "further back", false},
	posture.FrontKnee:   {"At front-foot plant her front knee is", "degrees", "straighter", "more bent", false},
}

// MoveSentence says a difference with its range of 95 %: "At release her trunk leans 4 to 9
// degrees further over the front leg."
func MoveSentence(d posture.Difference) string {
	w := wordings[d.Kind]
	lo, hi, more := shownRange(d)
	way := w.less
	if more {
		way = w.more
	}
	return fmt.Sprintf("%s %s to %s %s %s.", w.her, whole(lo), whole(hi), w.unit, way)
}

// shownRange returns a difference's range of 95 % in the unit that it is shown in, as
// so much more or so much less.
func shownRange(d posture.Difference) (lo, hi float64, more bool) {
	lo, hi = d.By.Interval(0.95)
	scale := scaleOf(d)
	if more = d.By.Value >= 0; !more {
		lo, hi = -hi, -lo
	}
	return max(lo*scale, 0), hi * scale, more
}

// scaleOf is what a difference is multiplied with to be shown in its unit.
func scaleOf(d posture.Difference) float64 {
	switch {
	case d.Kind == posture.ArmSlot:
		return 100
	case wordings[d.Kind].share && d.Fast != 0:
		return 100 / math.Abs(d.Fast)
	}
	return 1
}

func whole(v float64) string { return fmt.Sprintf("%.0f", math.Round(v)+0) }

// Clear returns the differences that are worth a word, the surest first, four at most.
func (m Moves) Clear() []posture.Difference {
	var out []posture.Difference
	for _, d := range m.Differences {
		if d.Clear && len(out) < mostMoves {
			out = append(out, d)
		}
	}
	return out
}

// Sentence says in one sentence what was compared, or why nothing was.
func (m Moves) Sentence() string {
	pitches, fast := texts.English.Pitches(string(m.Pitch)), texts.English.Pitches(string(m.Baseline))
	switch {
	case len(m.Differences) == 0:
		return fmt.Sprintf("How she moves on her %s is said from %d of them and %d %s on, filmed from the same place, with her joints seen; there are %d and %d.", pitches, posture.Least, posture.Least, fast, m.Off, m.Fast)
	case len(m.Clear()) > 0:
		return fmt.Sprintf("On her %s (%d) against her %s (%d), as the camera sees it:", pitches, m.Off, fast, m.Fast)
	}
	return fmt.Sprintf("Nothing in how she moves differs between her %s (%d) and her %s (%d) by more than they differ among themselves%s.", pitches, m.Off, fast, m.Fast, m.wouldSee())
}

// Unseen says of what one camera easily misses that it was seen too seldom, and what shows it
// more often (why it was not seen here nobody checked), or how large it would have had to be to be seen, four times in five: when her hips open, and where her
// hand is as she lets go. Nothing where nothing was compared.
func (m Moves) Unseen() []string {
	out := []string{}
	if len(m.Differences) == 0 {
		return out
	}
	for _, k := range []posture.Kind{posture.HipsOpen, posture.ArmSlot} {
		w := unseens[k]
		i := slices.IndexFunc(m.Differences, func(d posture.Difference) bool { return d.Kind == k })
		switch {
		case i < 0:
			out = append(out, w.not)
		case !m.Differences[i].Clear:
			d := m.Differences[i]
			out = append(out, fmt.Sprintf(w.but, whole(math.Ceil(scaleOf(d)*d.Visible(len(m.Differences))))))
		}
	}
	return out
}

// unseens say that a measure was seen too seldom, and how large it would have had to be.
var unseens = map[posture.Kind]struct{ not, but string }{
	posture.HipsOpen: {
		"When her hips open was seen on too few of these; more light, or 60 frames or more a second from right beside her, shows it more often.",
		"Her hips would have had to open about %s ms earlier or later for it to be seen.",
	},
	posture.ArmSlot: {
		"Where her hand is as she lets go was seen on too few of these; more light, or 60 frames or more a second from right beside her, shows it more often.",
		"Her hand would have had to be about %s %% of her trunk’s length further ahead or back as she lets go for it to be seen. How far out to the side she throws shows from behind, and is not measured.",
	},
}

// wouldSee says how large a lean would mostly have been seen: four times in five. That at
// release where it was seen, else that at front-foot plant.
func (m Moves) wouldSee() string {
	for _, at := range []struct {
		kind posture.Kind
		when string
	}{{posture.LeanRelease, "at release"}, {posture.LeanPlant, "at front-foot plant"}} {
		i := slices.IndexFunc(m.Differences, func(d posture.Difference) bool { return d.Kind == at.kind })
		if i >= 0 {
			return fmt.Sprintf("; a trunk that leans %s degrees further %s would most likely have been seen", whole(math.Ceil(m.Differences[i].Visible(len(m.Differences)))), at.when)
		}
	}
	return ""
}
