package server

// byID is the input of an operation on one thing.
type byID struct {
	ID string `path:"id" maxLength:"64"`
}

// sent is the input of an operation that only takes a body.
type sent[T any] struct{ Body T }

// to is the input of an operation that sends a body to one thing.
type to[T any] struct {
	ID   string `path:"id" maxLength:"64"`
	Body T
}

// remove is the input of a deletion.
type remove struct {
	ID      string `path:"id" maxLength:"64"`
	Version int64  `query:"version" doc:"the version you saw; 409 when it is no longer the current one; 0 or none: whatever it is now"`
}

// removeAll is the input of a deletion that takes much with it.
type removeAll struct {
	ID      string `path:"id" maxLength:"64"`
	Version int64  `query:"version" doc:"the version you saw; 409 when it is no longer the current one; 0 or none: whatever it is now"`
	Confirm string `query:"confirm" maxLength:"64" doc:"demanded: what the count before (…/removal) answered as confirm; 422 without it, 409 when it is no longer that"`
}
