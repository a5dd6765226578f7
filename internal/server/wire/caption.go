package wire

// CaptionAsked is a POST body: text that may come to stand in a clip.
type CaptionAsked struct {
	Text string `json:"text" maxLength:"200"`
}

// CaptionAnswer says what can't be burned in.
type CaptionAnswer struct {
	Missing string `json:"missing,omitempty" doc:"a sentence; missing when all of it can be burned in"`
}
