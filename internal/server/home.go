package server

import (
	"context"
	"net/http"
	"time"

	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// homeBullpens is how many bullpens the first page lists.
const homeBullpens = 24

func (s *Server) homeRoutes() {
	serve(s, op("home", http.MethodGet, "/api/home", "What the first page shows"), s.home)
}

func (s *Server) home(ctx context.Context, _ *struct{}) (wire.Home, error) {
	home := wire.Home{Today: today()}
	cards, _, err := s.deps.Store.Bullpens(ctx, "", store.Page{Limit: homeBullpens})
	if err != nil {
		return home, err
	}
	home.Bullpens = bullpenCards(cards)
	if home.Inbox, err = s.inbox(ctx); err != nil {
		return home, err
	}
	pitchers, err := s.deps.Store.Pitchers(ctx)
	if err != nil {
		return home, err
	}
	home.Pitchers = pitcherCards(pitchers)
	jobs, err := s.deps.Store.Jobs(ctx, "")
	if err != nil {
		return home, err
	}
	home.Jobs = jobsOf(jobs)
	films, err := s.deps.Store.UnsettledFilms(ctx)
	if err != nil {
		return home, err
	}
	home.Films = s.filmsOf(films, jobs)
	return home, nil
}

// today is the server's day: it runs where the instructor is.
func today() string { return time.Now().Format(time.DateOnly) }
