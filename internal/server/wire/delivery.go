package wire

// DeliverySheet is four stills of a fastball above the same four of an off-speed rep, as
// one picture.
type DeliverySheet struct {
	Picture     string       `json:"picture" doc:"address of the picture, a JPEG"`
	FileName    string       `json:"fileName" doc:"what a download of it is called; never the pitcher's name"`
	Words       string       `json:"words" doc:"what the picture shows, for whoever can't see it"`
	Sentence    string       `json:"sentence,omitempty" doc:"how the two deliveries' times differ, in one line; missing where nothing is judged"`
	Fast        DeliveryRow  `json:"fast"`
	Off         DeliveryRow  `json:"off"`
	FastChoices []PairChoice `json:"fastChoices" nullable:"false" doc:"reps that can stand in the upper row"`
	OffChoices  []PairChoice `json:"offChoices" nullable:"false" doc:"reps that can stand in the lower row"`
}

// DeliveryRow is one delivery of a sheet.
type DeliveryRow struct {
	RepID    string            `json:"repId"`
	Title    string            `json:"title"`
	FilmID   string            `json:"filmId"`
	Instants []DeliveryInstant `json:"instants" nullable:"false" doc:"drive, plant, top and release"`
}

// DeliveryInstant is one still of a sheet.
type DeliveryInstant struct {
	Name   string `json:"name" enum:"drive,plant,top,release"`
	Frame  int    `json:"frame" doc:"of its film"`
	Millis int    `json:"millis" doc:"before release, as shown"`
}
