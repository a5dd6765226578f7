package wire

import "tenoff/internal/bullpen"

// Link is a private link, without its token.
type Link struct {
	ID       string `json:"id"`
	State    string `json:"state" enum:"open,expired,revoked,restored" doc:"restored: closed because a backup was brought back; renewing opens it"`
	Created  int64  `json:"created" doc:"microseconds UTC"`
	Expires  int64  `json:"expires" doc:"microseconds UTC"`
	LastUsed int64  `json:"lastUsed,omitempty" doc:"when its page was last looked at, microseconds UTC"`
}

// MadeLink is a link that was just made. It is told this once and can't be asked for
// again; a lost one is replaced by a new one, which closes the others.
type MadeLink struct {
	Link      string `json:"link" doc:"the page's address with the token behind a #, which no server log sees"`
	Reachable bool   `json:"reachable" doc:"false: the link leads to this machine only, and hint says what to do"`
	Hint      string `json:"hint,omitempty"`
	QrSvg     string `json:"qrSvg" doc:"the link as a QR code: a data: URL of an SVG"`
	QrPng     string `json:"qrPng" doc:"the same as a PNG to save: a data: URL"`
	ShareText string `json:"shareText" doc:"a text with the link to copy; nothing is sent anywhere"`
}

// RenewLink is a POST body.
type RenewLink struct {
	Days int `json:"days,omitempty" minimum:"1" maximum:"90" doc:"counted from now; 14 unless said"`
}

// LinkOf returns l as the API says it, at the given time in microseconds UTC.
func LinkOf(l bullpen.Link, now int64) Link {
	state := "open"
	switch {
	case l.Closed != 0 && l.Restored:
		state = "restored"
	case l.Closed != 0:
		state = "revoked"
	case !l.Open(now):
		state = "expired"
	}
	return Link{ID: l.ID, State: state, Created: l.Created, Expires: l.Expires, LastUsed: l.LastUsed}
}
