package bullpen

// Judge computes every number of a bullpen: baseline, gap, verdict and doubt of
// each rep, and a summary of each pitch, drill and gun place. reps may come in any
// order (Rep.Order counts); films are only asked for their clocks.
func Judge(pitcher Pitcher, pen Bullpen, films []Film, reps []Rep) Sheet {
	return Sheet{}
}
