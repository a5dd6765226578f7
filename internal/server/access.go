package server

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/store"
)

// Access says who may reach a server and how.
type Access struct {
	// Guarded: the instructor's pages ask for a passphrase. A server that is reached
	// from anywhere but its own machine is always guarded.
	Guarded bool
	// Hosts are the names and addresses it may be called by, beside this machine's
	// own; without ports.
	Hosts []string
	// Public is what links for others begin with ("https://name"), "" for the address
	// that a request came to.
	Public string
	// Proxies are the addresses whose X-Forwarded headers are believed.
	Proxies []netip.Addr
}

// Who may call a route.
type who string

const (
	anybody      who = "anybody"           // what tells nothing about anyone: the page, health, signing in
	slipHolder   who = "slip holder"       // a student, with the token of an open slip
	ticketHolder who = "ticket holder"     // such a page's films, with a ticket in the address
	shareHolder  who = "share holder"      // a pitcher or her parents, with the token of an open link to a result
	fieldHolder  who = "field link holder" // the phone at the fence, with the token of an open link; an instructor too
	instructor   who = "instructor"
	owner        who = "owner"
)

// whoMay says who may call a path. What is not named here is the instructor's.
func whoMay(path string) who {
	switch {
	case !under(path, "/api"):
		return anybody
	case path == "/api/health" || path == "/api/session":
		return anybody
	case strings.HasPrefix(path, "/api/slip/files/"), strings.HasPrefix(path, "/api/share/files/"):
		return ticketHolder
	case under(path, "/api/field"):
		return fieldHolder
	case under(path, "/api/slip"):
		return slipHolder
	case under(path, "/api/share"):
		return shareHolder
	case under(path, "/api/accounts"), under(path, "/api/academy"):
		return owner
	}
	return instructor
}

// under reports whether a path is dir or lies in it.
func under(path, dir string) bool {
	rest, ok := strings.CutPrefix(path, dir)
	return ok && (rest == "" || rest[0] == '/')
}

// caller is who is asking.
type caller struct {
	account store.Account // zero when the server is open
	open    bool
	token   string // the session's
}

type (
	callerKey struct{}
	originKey struct{}
)

func callerOf(ctx context.Context) caller {
	c, _ := ctx.Value(callerKey{}).(caller)
	return c
}

// originOf is the address, without a path, that a request came to.
func originOf(ctx context.Context) string {
	o, _ := ctx.Value(originKey{}).(string)
	return o
}

// admit lets a request through to whom its path is for, and within whose data.
// Whoever is refused hears the same whether the thing exists or not.
func (s *Server) admit(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var err error
		r = readIn(r)
		switch whoMay(r.URL.Path) {
		case anybody:
			r, err = s.recognise(r)
		case slipHolder:
			r, err = s.admitSlip(r)
		case fieldHolder:
			r, err = s.admitField(r)
		case shareHolder:
			r, err = s.admitShare(r)
		case ticketHolder:
		case instructor:
			r, err = s.admitInstructor(r, false)
		case owner:
			r, err = s.admitInstructor(r, true)
		}
		if err != nil {
			writeProblem(w, s.problemOf(r.Context(), err))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// recognise notes who is asking, if anybody is known.
func (s *Server) recognise(r *http.Request) (*http.Request, error) {
	if !s.deps.Access.Guarded {
		return r.WithContext(context.WithValue(r.Context(), callerKey{}, caller{open: true})), nil
	}
	cookie, err := r.Cookie(s.cookieName(r))
	if err != nil || cookie.Value == "" {
		return r, nil
	}
	account, ok, err := s.deps.Store.Session(r.Context(), cookie.Value)
	if err != nil || !ok {
		return r, err
	}
	ctx := context.WithValue(r.Context(), callerKey{}, caller{account: account, token: cookie.Value})
	return r.WithContext(store.Within(ctx, account.Academy)), nil
}

func (s *Server) admitInstructor(r *http.Request, mustOwn bool) (*http.Request, error) {
	r, err := s.recognise(r)
	if err != nil {
		return r, err
	}
	c := callerOf(r.Context())
	switch {
	case !c.open && c.account.ID == "":
		return r, refusal(http.StatusUnauthorized, "Sign in with your passphrase.")
	case mustOwn && !c.open && !c.account.Owner:
		return r, refusal(http.StatusForbidden, "Only the owner may do this.")
	}
	return r, nil
}

// slipHeader carries a slip's token.
const slipHeader = "Slip"

type passKey struct{}

// passOf is what the slip that a request came with opens.
func passOf(ctx context.Context) homework.Pass {
	p, _ := ctx.Value(passKey{}).(homework.Pass)
	return p
}

func (s *Server) admitSlip(r *http.Request) (*http.Request, error) {
	slip, academy, err := s.deps.Store.OpenSlip(r.Context(), r.Header.Get(slipHeader))
	if err := s.opens(r, err); err != nil {
		return r, err
	}
	r, err = s.within(r, slip, academy)
	return r, err
}

// within puts what a slip opens into the request.
func (s *Server) within(r *http.Request, slip bullpen.Slip, academy string) (*http.Request, error) {
	ctx := store.Within(r.Context(), academy)
	h, err := s.deps.Store.Homework(ctx, slip.HomeworkID)
	if err != nil {
		return r, err
	}
	return r.WithContext(context.WithValue(ctx, passKey{}, homework.Pass{Slip: slip, Homework: h, Academy: academy})), nil
}

// proxied reports whether a request came through a proxy that is believed.
func (s *Server) proxied(r *http.Request) bool {
	addr, err := netip.ParseAddrPort(r.RemoteAddr)
	return err == nil && slices.Contains(s.deps.Access.Proxies, addr.Addr().Unmap())
}

// atMachine reports whether a request comes from somebody at this very machine: over
// loopback, to a loopback name, and through no proxy or tunnel that says that it is one.
// One that does not say so can't be told from her: it is no leave to do without limit
// what others may not.
func (s *Server) atMachine(r *http.Request) bool {
	addr, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil || !addr.Addr().Unmap().IsLoopback() || s.proxied(r) || !loopback(r.Host) {
		return false
	}
	for _, name := range []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-Ip", "Via"} {
		if r.Header.Get(name) != "" {
			return false
		}
	}
	return true
}

// remote is the address that a request came from.
func (s *Server) remote(r *http.Request) string {
	if s.proxied(r) {
		hops := strings.Split(r.Header.Get("X-Forwarded-For"), ",")
		if last, err := netip.ParseAddr(strings.TrimSpace(hops[len(hops)-1])); err == nil { // what that proxy itself saw
			return last.Unmap().String()
		}
	}
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// addressed returns the scheme and host that a request was sent to.
func (s *Server) addressed(r *http.Request) (scheme, host string) {
	scheme, host = "http", r.Host
	if r.TLS != nil {
		scheme = "https"
	}
	if s.proxied(r) {
		if v := r.Header.Get("X-Forwarded-Proto"); v == "http" || v == "https" {
			scheme = v
		}
		if v := r.Header.Get("X-Forwarded-Host"); v != "" {
			host = v
		}
	}
	return scheme, host
}
