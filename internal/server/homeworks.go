package server

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) homeworkRoutes() {
	serve(s, op("listHomework", http.MethodGet, "/api/homework", "Homework, what needs you first"), s.listHomework)
	serve(s, op("addHomework", http.MethodPost, "/api/homework", "Hand a workout out: it is copied, with a bullpen of its own"), s.addHomework)
	serve(s, op("getHomework", http.MethodGet, "/api/homework/{id}", "One homework"), s.getHomework)
	serve(s, op("editHomework", http.MethodPatch, "/api/homework/{id}", "Change the day it is due"), s.editHomework)
	serve(s, answering(http.StatusOK, op("beginReview", http.MethodPost, "/api/homework/{id}/review", "Say that you look at what came")), s.beginReview)
	serve(s, answering(http.StatusOK, op("needsNoAnswer", http.MethodPost, "/api/homework/{id}/seen", "Say that what came since the answer was seen and that the answer stands")), s.needsNoAnswer)
	serve(s, op("writeReply", http.MethodPut, "/api/homework/{id}/reply", "Write the reply; the student sees nothing of it before it is sent"), s.writeReply)
	serve(s, answering(http.StatusOK, op("sendReply", http.MethodPost, "/api/homework/{id}/send", "Make the reply visible on the slip's page")), s.sendReply)
}

type listHomework struct {
	Pitcher string `query:"pitcher" maxLength:"64" doc:"only hers"`
}

func (s *Server) listHomework(ctx context.Context, in *listHomework) (wire.HomeworkList, error) {
	cards, err := s.homeworkCards(ctx, in.Pitcher)
	return wire.HomeworkList{Homework: cards}, err
}

// urgency is the order of an inbox.
var urgency = []bullpen.HomeworkState{
	bullpen.HomeworkNew, bullpen.HomeworkInReview, bullpen.HomeworkOverdue, bullpen.HomeworkOut, bullpen.HomeworkAnswered,
}

// soreFirst is 0 for words about pain that nobody has answered, else 1.
func soreFirst(h wire.HomeworkCard) int {
	if h.Sore && h.State != bullpen.HomeworkAnswered {
		return 0
	}
	return 1
}

func (s *Server) homeworkCards(ctx context.Context, pitcherID string) ([]wire.HomeworkCard, error) {
	list, err := s.deps.Store.Homeworks(ctx, pitcherID)
	return byUrgency(list, s.today()), err
}

// byUrgency says homework as cards, what needs the instructor first.
func byUrgency(list []store.HomeworkCard, today string) []wire.HomeworkCard {
	out := make([]wire.HomeworkCard, len(list))
	for i, h := range list {
		out[i] = homeworkCardOf(h, today)
	}
	slices.SortStableFunc(out, func(a, b wire.HomeworkCard) int {
		return cmp.Or(cmp.Compare(soreFirst(a), soreFirst(b)), cmp.Compare(slices.Index(urgency, a.State), slices.Index(urgency, b.State)))
	})
	return out
}

func homeworkCardOf(h store.HomeworkCard, today string) wire.HomeworkCard {
	return wire.HomeworkCard{
		ID: h.ID, PitcherID: h.PitcherID, PitcherLabel: h.PitcherLabel, BullpenID: h.BullpenID, Title: h.Workout.Title,
		Due: h.Due, State: h.State(today), Created: h.Created, FilmAt: h.FilmAt, SentAt: h.Sent.SentAt,
		Films: h.Films, Reps: h.Reps, Places: h.Workout.Reps(),
		CameAt: h.CameAt(), Note: h.Student.Note, Earlier: h.Earlier(), Sore: h.Sore(), Typed: len(h.Student.Readings),
	}
}

func (s *Server) addHomework(ctx context.Context, in *sent[wire.NewHomework]) (wire.Homework, error) {
	her, err := s.deps.Store.Pitcher(ctx, in.Body.PitcherID)
	if err != nil {
		return wire.Homework{}, err
	}
	w, err := s.handedOut(ctx, in.Body)
	if err != nil {
		return wire.Homework{}, err
	}
	drills, err := s.drillsFor(ctx, w)
	if err != nil {
		return wire.Homework{}, err
	}
	pen := her.Begin(s.today())
	pen.Title = "Homework: " + w.Title
	h, err := s.deps.Store.AddHomework(ctx, bullpen.Homework{Workout: w, Drills: drills, Due: in.Body.Due}, pen)
	if err != nil {
		return wire.Homework{}, err
	}
	return s.getHomework(ctx, &byID{ID: h.ID})
}

// handedOut is the workout that somebody hands out: one of hers, or one to start with.
func (s *Server) handedOut(ctx context.Context, n wire.NewHomework) (bullpen.Workout, error) {
	if starter, ok := bullpen.StarterOf(n.Starter); ok {
		return starter.Workout, nil
	}
	w, err := s.deps.Store.Workout(ctx, n.WorkoutID)
	return w.Workout, err
}

// drillsFor returns the drills that a workout names, in the order they come; one
// that is on no list has its name only.
func (s *Server) drillsFor(ctx context.Context, w bullpen.Workout) ([]bullpen.Drill, error) {
	all, err := s.deps.Store.Drills(ctx)
	if err != nil {
		return nil, err
	}
	known := map[string]bullpen.Drill{}
	for _, d := range all {
		known[bullpen.DrillKey(d.Name)] = d
	}
	out := []bullpen.Drill{}
	for _, p := range w.Places() {
		key := bullpen.DrillKey(p.Drill)
		if key == "" || slices.ContainsFunc(out, func(d bullpen.Drill) bool { return bullpen.DrillKey(d.Name) == key }) {
			continue
		}
		d := known[key]
		d.Name = p.Drill
		out = append(out, d)
	}
	return out, nil
}

func (s *Server) getHomework(ctx context.Context, in *byID) (wire.Homework, error) {
	h, err := s.deps.Store.Homework(ctx, in.ID)
	if err != nil {
		return wire.Homework{}, err
	}
	cards, err := s.deps.Store.Homeworks(ctx, h.PitcherID)
	if err != nil {
		return wire.Homework{}, err
	}
	at := slices.IndexFunc(cards, func(c store.HomeworkCard) bool { return c.ID == h.ID })
	if at < 0 { // it went while we looked
		return wire.Homework{}, bullpen.Errorf(bullpen.NotFound, "There is no such homework.")
	}
	out := wire.Homework{
		HomeworkCard: homeworkCardOf(cards[at], s.today()), Version: h.Version, Workout: wire.HandedWorkoutOf(h.Workout),
		Drills: drillsOf(h.Drills), Student: studentOf(h.Student), Draft: wire.ReplyOf(h.Draft), Slips: []wire.Slip{},
	}
	if out.Sore {
		out.Caution = bullpen.PainCaution
	}
	if h.Sent.SentAt != 0 {
		sent := wire.ReplyOf(h.Sent)
		out.Sent = &sent
		if out.Moved, err = s.moved(ctx, h); err != nil {
			return wire.Homework{}, err
		}
	}
	slips, err := s.deps.Store.Slips(ctx, h.ID)
	if err != nil {
		return wire.Homework{}, err
	}
	for _, p := range slips {
		out.Slips = append(out.Slips, wire.SlipOf(p, s.deps.Store.Now()))
	}
	if out.Arriving, err = s.arriving(ctx, h.ID); err != nil {
		return wire.Homework{}, err
	}
	out.Consent, err = s.deps.Store.Consented(ctx, h.PitcherID, bullpen.ForHomework)
	return out, err
}

func studentOf(w bullpen.Student) wire.StudentWords {
	return wire.StudentWords{Note: w.Note, Gun: string(w.Gun), Readings: placeReadingsOf(w)}
}

func placeReadingsOf(w bullpen.Student) []wire.PlaceReading {
	out := make([]wire.PlaceReading, 0, len(w.Readings))
	for place, r := range w.Readings {
		out = append(out, wire.PlaceReading{Place: place, Value: r.Value, Unit: r.Unit})
	}
	slices.SortFunc(out, func(a, b wire.PlaceReading) int { return a.Place - b.Place })
	return out
}

func (s *Server) arriving(ctx context.Context, homeworkID string) ([]wire.Arriving, error) {
	list, err := s.deps.Homework.Arriving(ctx, homeworkID)
	out := make([]wire.Arriving, len(list))
	for i, a := range list {
		out[i] = wire.Arriving(a)
	}
	return out, err
}

func (s *Server) editHomework(ctx context.Context, in *to[wire.HomeworkEdit]) (wire.Homework, error) {
	h, err := s.deps.Store.Homework(ctx, in.ID)
	if err != nil {
		return wire.Homework{}, err
	}
	h.Version = in.Body.Version
	if in.Body.Due.Sent {
		h.Due = ""
		if in.Body.Due.Value != nil {
			h.Due = *in.Body.Due.Value
		}
	}
	if _, err := time.Parse(time.DateOnly, h.Due); err != nil && h.Due != "" {
		return wire.Homework{}, bullpen.Errorf(bullpen.Invalid, "The day it is due is written YYYY-MM-DD.")
	}
	if _, err := s.deps.Store.SaveHomework(ctx, h); err != nil {
		return wire.Homework{}, err
	}
	return s.getHomework(ctx, &byID{ID: in.ID})
}

func (s *Server) beginReview(ctx context.Context, in *byID) (wire.Homework, error) {
	if err := s.deps.Store.BeginReview(ctx, in.ID); err != nil {
		return wire.Homework{}, err
	}
	return s.getHomework(ctx, in)
}

func (s *Server) needsNoAnswer(ctx context.Context, in *to[wire.SeenHomework]) (wire.Homework, error) {
	if err := s.deps.Store.NeedsNoAnswer(ctx, in.ID, in.Body.Seen); err != nil {
		return wire.Homework{}, err
	}
	return s.getHomework(ctx, &byID{ID: in.ID})
}
