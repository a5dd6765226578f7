package bullpen

// Doubt returns one sentence that asks whether a reading can be right, or "": it
// lies outside 15..90 mph, or more than four standard deviations from the others.
// others are the readings of the same pitch, drill and gun place without this
// one; it takes three of them. A question, never a refusal.
func Doubt(r Reading, others []Reading) string { return "" }
