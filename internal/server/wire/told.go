package wire

import "tenoff/internal/bullpen"

// Told is what a pitcher and her parents are told of a bullpen.
type Told struct {
	Language string           `json:"language" enum:"en,es" doc:"the sentences are in it"`
	Headline string           `json:"headline,omitempty" doc:"what the bullpen tells in at most twelve words; missing while there is nothing to say"`
	Next     string           `json:"next,omitempty" doc:"what to do next, in at most two sentences"`
	Moves    string           `json:"moves,omitempty" doc:"how she moves on that pitch against her fastballs, in one sentence; missing where too few were seen"`
	Tell     string           `json:"tell,omitempty" doc:"what gives the pitch away before it is thrown, or that nothing was seen; missing where it can't be told"`
	Others   []string         `json:"others" nullable:"false" doc:"a line on each other off-speed pitch"`
	Pitch    bullpen.Pitch    `json:"pitch,omitempty" doc:"the pitch that both are about; missing while no off-speed pitch was read"`
	Drill    string           `json:"drill,omitempty" doc:"empty: the full pitch"`
	Gun      bullpen.GunPlace `json:"gun,omitempty" doc:"where its readings were taken"`
}
