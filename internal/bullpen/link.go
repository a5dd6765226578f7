package bullpen

// Link is a private link to what it is embedded in. Its token is known to nobody but who
// holds it.
type Link struct {
	ID       string
	Created  int64 // microseconds UTC, like all times here
	Expires  int64
	Closed   int64 // when it was closed, 0 while it is not
	Restored bool  // it was closed because a backup was brought back: renewing opens it
	LastUsed int64 // 0 for never
}

// Open reports whether the link opens anything at the given time, microseconds UTC.
func (l Link) Open(now int64) bool { return l.Closed == 0 && now < l.Expires }

// Slip is a private link to one homework: its student sees it, and sends films to it.
type Slip struct {
	Link
	HomeworkID string
	MaxBytes   int64 // of all films together
	MaxFiles   int
}

// ShareLink is a private link to what one bullpen tells, for the pitcher and her parents: its
// numbers and the clips that were chosen, to be looked at.
type ShareLink struct {
	Link
	BullpenID string
	ClipIDs   []string // those of them that are still there, as chosen
}
