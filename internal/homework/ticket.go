package homework

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"strings"
	"time"
)

// Ticket opens one file of what a private link's page shows, for as long as the link that
// it was given on is open, and no longer than some hours: it stands in an address, because
// a page can send no header with a film.
type Ticket struct {
	Link string // its ID
	Kind string // what Of is: "clip", "captions", "example", "frame"
	Of   string // an ID, or for a frame REP-FRAME
}

// lasts is how long a ticket opens.
const lasts = 12 * time.Hour

// Sign returns the ticket as text for an address.
func (h *Homework) Sign(t Ticket) string {
	body := strings.Join([]string{t.Link, t.Kind, t.Of, strconv.FormatInt(h.now().Add(lasts).Unix(), 36)}, ".")
	return body + "." + h.mac(body)
}

// Read returns the ticket that Sign made; ok is false for any other text, and for
// one whose time is over.
func (h *Homework) Read(text string) (t Ticket, ok bool) {
	cut := strings.LastIndexByte(text, '.')
	if cut < 0 || !hmac.Equal([]byte(text[cut+1:]), []byte(h.mac(text[:cut]))) {
		return t, false
	}
	parts := strings.Split(text[:cut], ".")
	if len(parts) != 4 {
		return t, false
	}
	until, err := strconv.ParseInt(parts[3], 36, 64)
	return Ticket{Link: parts[0], Kind: parts[1], Of: parts[2]}, err == nil && h.now().Unix() < until
}

func (h *Homework) mac(body string) string {
	m := hmac.New(sha256.New, h.key)
	m.Write([]byte(body))
	return hex.EncodeToString(m.Sum(nil)[:16])
}
