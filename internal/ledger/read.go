package ledger

// Read lists the columns that ReadReps understands, in any order, whatever the case
// of their names. Other columns are passed over.
var Read = []Column{
	{Name: "time", Meaning: "release: seconds of the film (12.48) or minutes (1:02.5); empty for a rep that was not filmed"},
	{Name: "frame", Meaning: "release: index of the frame on the film, from 0"},
	{Name: "film", Meaning: "name of the film, where the file has reps of several"},
	{Name: "pitch", Meaning: "code, key or name of the pitch: ch, c, change-up"},
	{Name: "reading", Meaning: "what the gun showed (47, 46.5, 75 km/h); empty or - for a rep it did not read"},
	{Name: "mph", Meaning: "the same in mph, in the place of reading"},
	{Name: "kmh", Meaning: "the same in km/h, in the place of reading"},
	{Name: "unit", Meaning: "mph or km/h; unless said, as the option says"},
	{Name: "step", Meaning: "the display's step, in unit"},
	{Name: "gun", Meaning: "where the gun stood: behind catcher, behind pitcher, beside pitcher or not said"},
	{Name: "drill", Meaning: "the drill; empty for the full pitch"},
	{Name: "set", Meaning: "the set"},
	{Name: "rep", Meaning: "the rep within the set"},
	{Name: "call", Meaning: "strike or ball"},
	{Name: "warmUp", Meaning: "yes for a warm-up rep, which is left out of every number"},
	{Name: "note", Meaning: "the instructor's note"},
}
