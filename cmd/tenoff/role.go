package main

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"time"

	"tenoff/internal/vitals"
)

// role is which part of the work a program does where several share it.
type role string

const (
	roleBoth role = "both"
	roleWeb  role = "web"  // answers, and leaves films and clips to others
	roleWork role = "work" // reads films and makes clips, and shows no pages
)

func (r role) answers() bool { return r != roleWork }
func (r role) works() bool   { return r != roleWeb }

// node is how a program takes its part among several.
type node struct {
	role  role
	watch string        // where those who run it ask for its vitals, "" for nowhere
	token string        // what they send for the figures, "" where only this machine can ask
	leave time.Duration // how long it goes on answering once it was told to stop
	flags *flag.FlagSet // that it comes from
}

// watchToken is the variable that holds the token for the figures.
const watchToken = "TENOFF_WATCH_TOKEN"

func nodeFlags(flags *flag.FlagSet) *node {
	n := &node{token: os.Getenv(watchToken), flags: flags}
	flags.StringVar((*string)(&n.role), "role", string(roleBoth), "with --store: `web` answers and leaves films and clips to others, work reads films and makes clips and shows no pages, both does both")
	flags.StringVar(&n.watch, "watch", "", "answer /live, /ready and /metrics (for Prometheus) at this `HOST:PORT`; anything but loopback asks for the token in "+watchToken+" before it tells figures")
	flags.DurationVar(&n.leave, "leave", 5*time.Second, "with --store: how long a server that was told to stop goes on answering, /ready saying no, until a load balancer has seen it")
	return n
}

// reaching are the flags that say how pages are reached, see reachFlags.
var reaching = []string{"listen", "lan", "domain", "acme-directory", "cert", "key", "behind-proxy"}

// said reports whether a flag was given, and not as it is anyway.
func (n *node) said(name string) (said bool) {
	n.flags.Visit(func(f *flag.Flag) { said = said || f.Name == name && f.Value.String() != f.DefValue })
	return said
}

// check refuses what does not go together. shared says that other programs may be at work on
// the same rows.
func (n *node) check(shared bool) error {
	switch {
	case n.role != roleBoth && n.role != roleWeb && n.role != roleWork:
		return usageError{sentence: "--role is web, work or both"}
	case n.role != roleBoth && !shared:
		return usageError{sentence: "--role " + string(n.role) + " goes with --store: one program alone on a data folder does both"}
	case n.leave < 0 || n.leave > time.Minute:
		return usageError{sentence: "--leave takes up to a minute, for instance 5s"}
	case !shared && n.said("leave"):
		return usageError{sentence: "--leave goes with --store: a program alone has no other that could be asked meanwhile"}
	}
	if !n.role.answers() {
		for _, name := range reaching {
			if n.said(name) {
				return usageError{sentence: "--" + name + " goes with a role that answers: --role work shows no pages and listens nowhere; --watch says where its vitals are told"}
			}
		}
	}
	if n.watch == "" {
		return nil
	}
	host, _, err := net.SplitHostPort(n.watch)
	if err != nil {
		return usageError{sentence: "--watch takes HOST:PORT, for instance 127.0.0.1:7301"}
	}
	if isLoopback(host) {
		n.token = ""
	} else if len(n.token) < 16 {
		return usageError{sentence: "--watch " + n.watch + " can be reached from elsewhere: put a token of 16 letters or more into the variable " + watchToken + ", which Prometheus sends along"}
	}
	return nil
}

// open opens where the vitals are told; nil for nowhere.
func (n *node) open(ctx context.Context) (net.Listener, error) {
	if n.watch == "" {
		return nil, nil
	}
	return listenAt(ctx, n.watch)
}

// watched tells a program's vitals on l until ctx ends.
func watched(ctx context.Context, l net.Listener, v *vitals.Vitals, token string, log *slog.Logger) error {
	h := v.Handler(token, log)
	if token == "" {
		h = onlyHere(h)
	}
	s := &http.Server{Handler: h, ReadTimeout: 10 * time.Second, WriteTimeout: time.Minute, MaxHeaderBytes: 16 << 10, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	stop := context.AfterFunc(ctx, func() { _ = s.Close() }) // Serve says how it ended
	defer stop()
	if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// onlyHere refuses what was sent to another name than this machine's own to itself: a foreign
// page that made its name point here (DNS rebinding) would hear the figures. Where a token is
// asked for no page has it.
func onlyHere(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !isLoopback((&url.URL{Host: r.Host}).Hostname()) {
			http.Error(w, "This address is not tenoff's own; ask for http://127.0.0.1 with the port of --watch.", http.StatusForbidden)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// until is the longer of the two times that answers under way may take once no more come.
func (p *Program) until() time.Duration {
	if p.store.Ours() {
		return goodbye
	}
	return cmp.Or(p.finish, 4*goodbye)
}
