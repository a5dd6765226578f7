package server

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

const (
	homeBullpens  = 24 // the first page lists so many,
	homePitchers  = 24 // and so many pitchers, those who threw last, with their targets
	homeWeeks     = 8  // over so many bullpens,
	homeAsked     = 8  // names so many bullpens with readings that are asked about,
	inboxAnswered = 10 // and so many homeworks that are answered.
	// judgedAtOnce is how many bullpens are judged while a list waits for them; the others'
	// glances are stored within seconds.
	judgedAtOnce = 2
)

func (s *Server) homeRoutes() {
	serve(s, op("home", http.MethodGet, "/api/home", "What the first page shows"), s.home)
}

func (s *Server) home(ctx context.Context, _ *struct{}) (wire.Home, error) {
	home := wire.Home{Today: s.today(), Caution: bullpen.PainCaution, Asked: []wire.AskedOf{}}
	cards, _, err := s.deps.Store.Bullpens(ctx, "", store.Page{Limit: homeBullpens})
	if err != nil {
		return home, err
	}
	glances := glancing{judged: s.deps.Judged, left: judgedAtOnce}
	if home.Bullpens, err = s.glancedCards(ctx, cards, &glances); err != nil {
		return home, err
	}
	if home.Inbox, err = s.inbox(ctx); err != nil {
		return home, err
	}
	if home.Pitchers, home.MorePitchers, err = s.roster(ctx, home.Inbox, &glances); err != nil {
		return home, err
	}
	asked, err := s.deps.Store.AskedGlances(ctx, homeAsked)
	if err != nil {
		return home, err
	}
	for _, g := range asked {
		if g.Fresh {
			home.Asked = append(home.Asked, wire.AskedOf{BullpenID: g.BullpenID, PitcherLabel: g.PitcherLabel, Day: g.Day, Readings: g.Asked})
		}
	}
	if home.Moves, err = movesTold(ctx, s.deps.Store); err != nil {
		return home, err
	}
	lessons, err := s.deps.Store.Lessons(ctx)
	if err != nil {
		return home, err
	}
	home.Lessons = make([]wire.Lesson, len(lessons))
	for i, l := range lessons {
		home.Lessons[i] = wire.Lesson{PitcherID: l.PitcherID, Pitcher: l.Pitcher, Day: l.Day, Entries: l.Entries, BullpenID: l.BullpenID}
	}
	jobs, err := s.deps.Store.Jobs(ctx, "")
	if err != nil {
		return home, err
	}
	films, err := s.deps.Store.UnsettledFilms(ctx)
	if err != nil {
		return home, err
	}
	home.Films = s.filmsOf(ctx, films, jobs)
	return home, nil
}

func (s *Server) inbox(ctx context.Context) ([]wire.HomeworkCard, error) {
	list, err := s.deps.Store.Inbox(ctx, inboxAnswered)
	return byUrgency(list, s.today()), err
}

// glancing takes glances as they are stored and judges a few anew that are not.
type glancing struct {
	judged *judged.Bullpens
	left   int
	made   map[string]bullpen.Glance
}

// of returns the glance as it is now; ok is false for one that is still to be made.
func (l *glancing) of(ctx context.Context, g store.GlanceAt) (_ bullpen.Glance, ok bool, err error) {
	if g.Fresh {
		return g.Glance, true, nil
	}
	if made, ok := l.made[g.BullpenID]; ok {
		return made, true, nil
	}
	if l.left == 0 {
		return bullpen.Glance{}, false, nil
	}
	made, err := l.judged.Glance(ctx, g.BullpenID)
	if bullpen.CodeOf(err) == bullpen.NotFound { // removed meanwhile
		return made, false, nil
	}
	l.left--
	if l.made == nil {
		l.made = map[string]bullpen.Glance{}
	}
	l.made[g.BullpenID] = made
	return made, err == nil, err
}

// glancedCards are bullpens in a list with what they tell at a glance.
func (s *Server) glancedCards(ctx context.Context, cards []store.BullpenCard, glances *glancing) ([]wire.BullpenCard, error) {
	out := bullpenCards(cards)
	ids := make([]string, len(cards))
	for i, c := range cards {
		ids[i] = c.ID
	}
	stored, err := s.deps.Store.Glances(ctx, ids)
	if err != nil {
		return nil, err
	}
	by := make(map[string]store.GlanceAt, len(stored))
	for _, g := range stored {
		by[g.BullpenID] = g
	}
	for i := range out {
		if out[i].Reps == 0 {
			continue
		}
		g, ok, err := glances.of(ctx, by[out[i].ID])
		if err != nil {
			return nil, err
		}
		out[i].Counting = !ok
		if ok {
			out[i].Headline, out[i].StillRep, out[i].Target = g.Headline, g.StillRep, wire.SmallTargetOf(out[i].ID, out[i].Day, g)
		}
	}
	return out, nil
}

// roster are the pitchers who threw last, by label, with their target and weeks, and how many
// more there are.
func (s *Server) roster(ctx context.Context, inbox []wire.HomeworkCard, glances *glancing) ([]wire.RosterCard, int, error) {
	pitchers, total, err := s.deps.Store.LatestPitchers(ctx, homePitchers)
	if err != nil {
		return nil, 0, err
	}
	out, recent := make([]wire.RosterCard, len(pitchers)), make([]int, len(pitchers))
	for i, c := range pitcherCards(pitchers) {
		out[i], recent[i] = wire.RosterCard{PitcherCard: c, Weeks: []wire.WeekGap{}, Due: dueOf(inbox, c.ID)}, i
	}
	slices.SortStableFunc(recent, func(a, b int) int { return strings.Compare(out[b].LastDay, out[a].LastDay) })
	for _, i := range recent {
		if out[i].Reps == 0 {
			continue
		}
		latest, err := s.deps.Store.LatestGlances(ctx, out[i].ID, homeWeeks)
		if err != nil {
			return nil, 0, err
		}
		for _, at := range latest {
			g, ok, err := glances.of(ctx, at)
			if err != nil {
				return nil, 0, err
			}
			if !ok {
				continue
			}
			if out[i].Target == nil {
				out[i].Target = wire.SmallTargetOf(at.BullpenID, at.Day, g)
			}
			if t := out[i].Target; t != nil && g.Mean != nil && g.PitchName == t.PitchName && g.Drill == t.Drill && g.Unit == t.Unit {
				out[i].Weeks = append(out[i].Weeks, wire.WeekGap{Day: at.Day, Gap: *g.Mean, Gun: g.Gun})
			}
		}
		slices.Reverse(out[i].Weeks)
	}
	return out, total - len(out), nil
}

// dueOf is the earliest day that one of her homeworks is due which nothing came of, "" for
// none.
func dueOf(inbox []wire.HomeworkCard, pitcherID string) (day string) {
	for _, h := range inbox {
		waits := h.State == bullpen.HomeworkOut || h.State == bullpen.HomeworkOverdue
		if h.PitcherID == pitcherID && waits && h.Due != "" && (day == "" || h.Due < day) {
			day = h.Due
		}
	}
	return day
}

// today is the day where the instructor is, on every machine of an academy the same.
func (s *Server) today() string { return s.deps.Store.Today() }
