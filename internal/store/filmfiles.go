package store

// FilmFiles says which files there are of a film, by key, and how to cut from them.
type FilmFiles struct {
	Original string `json:"original"`
	// Opened says that the original can be stepped as it is until the film was read:
	// its clock is known, and marks may be set.
	Opened bool `json:"opened,omitempty"`
	// Until the film was read there is nothing else.
	Working  string `json:"working,omitempty"`
	Strip    string `json:"strip,omitempty"`
	Motion   string `json:"motion,omitempty"`
	Sound    string `json:"sound,omitempty"` // "" without sound
	Transfer string `json:"transfer,omitempty"`
	Lost     int    `json:"lost,omitempty"` // frames that the file promises and did not give
	Cut      Cut    `json:"cut,omitzero"`
}

// Cut says how to cut from a film exactly, as the reading pass found it.
type Cut struct {
	Key       string  `json:"key"` // the original's, or a copy's in another container
	Container string  `json:"container"`
	Video     int     `json:"video"` // stream indices; -1 without sound
	Audio     int     `json:"audio"`
	FirstTick int64   `json:"firstTick"` // the file's own time of frame 0
	Start     float64 `json:"start"`     // its start time, seconds
}
