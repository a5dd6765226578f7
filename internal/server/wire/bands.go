package wire

// BandAsked is a POST body: a band that somebody is about to set.
type BandAsked struct {
	PitcherID string `json:"pitcherId" maxLength:"64" doc:"whose baseline, distance and ball it is worked out with"`
	Band      Band   `json:"band"`
}

// BandAnswer is the same band in every unit.
type BandAnswer struct {
	Bands    []Band `json:"bands" nullable:"false" doc:"in every unit it can be said in, the one asked about among them"`
	Problem  string `json:"problem,omitempty" doc:"one sentence, when the band makes no sense"`
	Baseline Speed  `json:"baseline" doc:"what it was worked out under"`
	Known    bool   `json:"known" doc:"the baseline is her latest; else an example"`
}
