package server

import (
	"net"
	"net/http"
	"net/url"
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
		switch {
		case !ownHost(r.Host):
			s.forbid(w, r, "This address is not tenoff's own; open it as http://127.0.0.1 with the port it printed.")
		case !ownOrigin(r):
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

// ownHost reports whether a Host header names this machine's loopback: then no
// foreign DNS name was made to point here. The port is left open, because a
// tunnel may change it.
func ownHost(hostport string) bool {
	host := (&url.URL{Host: hostport}).Hostname()
	if host == "localhost" {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// ownOrigin reports whether a request's Origin, if it has one, is the very
// address it was sent to.
func ownOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	return err == nil && u.Scheme == "http" && u.Host == r.Host
}
