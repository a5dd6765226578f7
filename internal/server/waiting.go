package server

import (
	"fmt"

	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
)

// waiting says what lies in a bullpen and counts in nothing until somebody sees to
// it in the film room: reps that were found and not confirmed, and readings that a
// student typed and nobody put beside her reps. One sentence each.
func waiting(proposals []wire.Proposal, plan *wire.Plan, reps []wire.Rep) []string {
	out := []string{}
	sure, asked := 0, 0
	for _, p := range proposals {
		switch {
		case p.State != "open" || !propose.IsRep(p.Reason):
		case p.Sure:
			sure++
		default:
			asked++
		}
	}
	switch {
	case sure > 0 && asked > 0:
		out = append(out, fmt.Sprintf("%s found in the film and not confirmed yet, and %d more may be one; they count in nothing until you say so.", thatMany(sure, "rep was", "reps were"), asked))
	case sure > 0:
		out = append(out, fmt.Sprintf("%s found in the film and not confirmed yet; they count in nothing until you say so.", thatMany(sure, "rep was", "reps were")))
	case asked > 0:
		out = append(out, fmt.Sprintf("%s in the film may be a rep; nobody has said yet.", thatMany(asked, "stretch", "stretches")))
	}
	if plan == nil {
		return out
	}
	beside, later := typed(plan, reps)
	if beside > 0 {
		out = append(out, fmt.Sprintf("She typed %s not put beside the reps yet.", thatMany(beside, "reading that is", "readings that are")))
	}
	if later > 0 {
		out = append(out, fmt.Sprintf("She typed %s not logged yet.", thatMany(later, "reading whose rep is", "readings whose reps are")))
	}
	return out
}

// typed counts the typed readings that no rep has: beside a rep without one, and of
// places that no rep lies on yet.
func typed(p *wire.Plan, reps []wire.Rep) (beside, later int) {
	at := make(map[int]string, len(p.Reps))
	for _, l := range p.Reps {
		if _, there := at[l.Place]; !there { // of one that was thrown again, the first
			at[l.Place] = l.RepID
		}
	}
	read := make(map[string]bool, len(reps))
	for _, r := range reps {
		read[r.ID] = r.Reading != nil
	}
	for _, r := range p.Typed {
		id, laid := at[r.Place]
		switch {
		case !laid:
			later++
		case !read[id]:
			beside++
		}
	}
	return beside, later
}

func thatMany(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
