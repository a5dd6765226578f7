package server

import (
	"context"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// guard refuses what a foreign page could make a browser send: a Host that is not
// this machine's own name (a rebound DNS name), a foreign Origin, and, by the
// standard library's check, any unsafe request that crosses sites.
func (s *Server) guard(next http.Handler) http.Handler {
	crossing := http.NewCrossOriginProtection()
	crossing.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.forbid(w, r, "This request came from another site; tenoff answers only its own page.")
	}))
	next = crossing.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		scheme, host := s.addressed(r)
		r.Host = host
		r = r.WithContext(context.WithValue(r.Context(), originKey{}, scheme+"://"+host))
		switch {
		case !s.ownHost(host):
			s.forbid(w, r, "This address is not tenoff's own; open it as http://127.0.0.1 with the port it printed.")
		case !ownOrigin(r, scheme, host):
			s.forbid(w, r, "This request came from another site; tenoff answers only its own page.")
		default:
			next.ServeHTTP(w, r)
		}
	})
}

func (s *Server) forbid(w http.ResponseWriter, r *http.Request, sentence string) {
	s.log.WarnContext(r.Context(), "foreign request refused", "method", r.Method)
	writeProblem(w, refusal(http.StatusForbidden, sentence))
}

// ownHost reports whether a request was sent to this machine's loopback, or to one of
// the names that the server was given: then no foreign DNS name was made to point
// here. The port is left open, because a tunnel may change it.
func (s *Server) ownHost(hostport string) bool {
	host := (&url.URL{Host: hostport}).Hostname()
	return loopback(hostport) || slices.ContainsFunc(s.deps.Access.Hosts, func(own string) bool { return strings.EqualFold(own, host) })
}

// loopback reports whether a host is this machine to itself.
func loopback(hostport string) bool {
	host := (&url.URL{Host: hostport}).Hostname()
	if host == "localhost" {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// ownOrigin reports whether a request's Origin, if it has one, is the very
// address it was sent to.
func ownOrigin(r *http.Request, scheme, host string) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	return err == nil && u.Scheme == scheme && u.Host == host
}
