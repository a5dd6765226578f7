package trust

import (
	"cmp"
	"fmt"
	"slices"

	"tenoff/internal/bullpen"
)

// Thrown is how much was thrown in one bullpen.
type Thrown struct {
	Day    string // YYYY-MM-DD
	Reps   int    // all logged, warm-up included
	WarmUp int    // warm-up reps among them
}

// Day is the load of one day on which something was thrown.
type Day struct {
	Day        string `json:"day"`
	Reps       int    `json:"reps"`       // all reps, warm-up included
	WarmUp     int    `json:"warmUp"`     // warm-up reps among them
	SevenDays  int    `json:"sevenDays"`  // reps in the seven days that end with this one
	DaysInARow int    `json:"daysInARow"` // days with reps in a row, this one included
	// Notes set this day beside published guidance, as information.
	Notes []Note `json:"notes"`
}

// Note sets a day beside one line of published guidance.
type Note struct {
	Text   string `json:"text"`   // one sentence
	Source string `json:"source"` // who published it, and what it is worth
}

// Caution stands wherever a load is shown.
const Caution = "Numbers are guidance and no medical advice: league rules and licensed medical professionals come first. Stop for pain, numbness, or loss of control or speed, and never throw through arm pain."

// LoadOf adds up what was thrown by day, earliest first, and sets it beside the
// guidance of the level (a key of bullpen.Levels). Every logged rep counts as thrown
// at full effort, warm-up and drills included, since the guidance counts those too;
// reps thrown without tenoff are not in it. A day that is no day is left out.
func LoadOf(thrown []Thrown, level string) []Day {
	byDay := map[string]*Day{}
	for _, t := range thrown {
		if _, ok := dayNumber(t.Day); !ok || t.Reps <= 0 {
			continue
		}
		d := byDay[t.Day]
		if d == nil {
			d = &Day{Day: t.Day, Notes: []Note{}}
			byDay[t.Day] = d
		}
		d.Reps += t.Reps
		d.WarmUp += t.WarmUp
	}
	days := make([]Day, 0, len(byDay))
	for _, d := range byDay {
		days = append(days, *d)
	}
	slices.SortFunc(days, func(a, b Day) int { return cmp.Compare(a.Day, b.Day) })
	guides := GuidesFor(level)
	for i := range days {
		d := &days[i]
		today, _ := dayNumber(d.Day)
		d.DaysInARow = 1
		for j := i; j >= 0; j-- {
			before, _ := dayNumber(days[j].Day)
			if today-before >= 7 {
				break
			}
			d.SevenDays += days[j].Reps
		}
		if i > 0 {
			if before, _ := dayNumber(days[i-1].Day); before == today-1 {
				d.DaysInARow = days[i-1].DaysInARow + 1
			}
		}
		for _, g := range guides {
			d.Notes = append(d.Notes, g.most(*d)...)
			d.Notes = append(d.Notes, g.rested(days[:i+1])...)
		}
	}
	return days
}

// most sets the day beside the guide where it lies above it.
func (g Guide) most(d Day) []Note {
	most, when := g.Day, "a day"
	if d.DaysInARow >= 3 && g.ThirdDay != nil {
		most, when = *g.ThirdDay, "on the third day in a row"
	}
	if d.Reps <= most {
		return nil
	}
	return []Note{{
		Text:   fmt.Sprintf("%d reps; published guidance for ages %s is at most %d %s.", d.Reps, g.Ages, most, when),
		Source: g.Source,
	}}
}

// rested sets the last of the days beside the guide where it falls into the rest that
// an earlier one asks for: into the one that is due longest. Days thrown in between
// are no rest, and do not end what is due.
func (g Guide) rested(days []Day) []Note {
	today, _ := dayNumber(days[len(days)-1].Day)
	var due Day
	var until, asked, rest int // the last day of the rest; its days; those without a rep
	for i := len(days) - 2; i >= 0; i-- {
		at, _ := dayNumber(days[i].Day)
		if today-at > mostRest {
			break
		}
		if n, ok := g.RestAfter(days[i].Reps); ok && at+n >= today && at+n >= until {
			due, until, asked = days[i], at+n, n
			rest = today - at - (len(days) - 1 - i)
		}
	}
	if until == 0 {
		return nil
	}
	words := "days"
	if rest == 1 {
		words = "day"
	}
	return []Note{{
		Text:   fmt.Sprintf("%d %s of rest since %d reps on %s; published guidance for ages %s is %d.", rest, words, due.Reps, bullpen.DayText(due.Day), g.Ages, asked),
		Source: g.Source,
	}}
}
