package main

import (
	"context"
	"fmt"
	"slices"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
)

// makeSeason makes what is missing of the weeks before the demo's filmed bullpens: the
// pitchers, their bullpens without film, their homework. What is there stays as it is.
func (p *Program) makeSeason(ctx context.Context, io streams, seasons []demo.Season) error {
	fmt.Fprintln(io.out, "making up the weeks before")
	for _, s := range seasons {
		her, err := p.demoPitcher(ctx, s.Pitcher)
		if err != nil {
			return err
		}
		cards, err := p.store.AllBullpens(ctx, her.ID)
		if err != nil {
			return err
		}
		if len(cards) < len(s.Bullpens) { // it broke off, or has not begun
			if err := p.demoPractices(ctx, her, s.Bullpens, cards); err != nil {
				return err
			}
		}
		if s.Homework != nil {
			if err := p.demoHomework(ctx, her, *s.Homework); err != nil {
				return err
			}
		}
	}
	return nil
}

// demosOwn finds the pitcher with a label who is a demo's, and her bullpens: she has one
// that a demo made, or none yet. Somebody else's may be called the same.
func (p *Program) demosOwn(ctx context.Context, label string) (her bullpen.Pitcher, cards []store.BullpenCard, ok bool, err error) {
	pitchers, err := p.store.Pitchers(ctx)
	for _, known := range pitchers {
		if known.Label != label {
			continue
		}
		cards, err := p.store.AllBullpens(ctx, known.ID)
		if err != nil || len(cards) == 0 || slices.ContainsFunc(cards, func(c store.BullpenCard) bool { return demo.IsDemo(c.Note) }) {
			return known.Pitcher, cards, err == nil, err
		}
	}
	return her, nil, false, err
}

// demoPitcher finds a demo's pitcher by her label, or adds her with a guardian's consent.
func (p *Program) demoPitcher(ctx context.Context, her bullpen.Pitcher) (bullpen.Pitcher, error) {
	known, _, ok, err := p.demosOwn(ctx, her.Label)
	if err != nil || ok {
		return known, err
	}
	if her, err = p.store.AddPitcher(ctx, her); err != nil {
		return her, err
	}
	_, err = p.store.AddConsent(ctx, bullpen.Consent{PitcherID: her.ID, Guardian: "a parent, made up", Given: today(), For: bullpen.Purposes, Covers: "the demo"})
	return her, err
}

// demoPractices adds the bullpens whose day has none yet, and to one that has no rep its
// reps.
func (p *Program) demoPractices(ctx context.Context, her bullpen.Pitcher, practices []demo.Practice, cards []store.BullpenCard) error {
	known := map[string]bool{}
	for _, c := range cards {
		known[c.Day] = known[c.Day] || c.Reps > 0
	}
	for _, practice := range practices {
		if known[practice.Pen.Day] {
			continue
		}
		pen := practice.Pen
		pen.PitcherID = her.ID
		pen, err := p.store.AddBullpen(ctx, pen, true)
		if err != nil {
			return err
		}
		for _, r := range practice.Reps {
			r.BullpenID = pen.ID
			if _, _, err := p.store.AddRep(ctx, r); err != nil {
				return err
			}
		}
	}
	return nil
}

// demoHomework hands her a starter workout out, with what she wrote and what was answered.
func (p *Program) demoHomework(ctx context.Context, her bullpen.Pitcher, h demo.Homework) error {
	have, err := p.store.Homeworks(ctx, her.ID)
	if err != nil || len(have) > 0 {
		return err
	}
	starter, ok := bullpen.StarterOf(h.Starter)
	if !ok {
		return fmt.Errorf("no starter workout %q", h.Starter)
	}
	var drills []bullpen.Drill
	for _, d := range bullpen.StarterDrills {
		for _, place := range starter.Places() {
			if place.Drill == d.Name {
				drills = append(drills, d)
				break
			}
		}
	}
	pen := her.Begin(today())
	pen.Title = "Homework: " + starter.Title
	made, err := p.store.AddHomework(ctx, bullpen.Homework{
		PitcherID: her.ID, Workout: starter.Workout, Drills: drills, Due: time.Now().AddDate(0, 0, 3).Format(time.DateOnly),
	}, pen)
	if err != nil {
		return err
	}
	if err := p.store.SaveStudent(ctx, made.ID, bullpen.Student{Note: h.Note}); err != nil || h.Words == "" {
		return err
	}
	made.Draft.Words = h.Words
	if made, err = p.store.SaveHomework(ctx, made); err != nil {
		return err
	}
	_, _, err = p.store.SendReply(ctx, made, nil, nil)
	return err
}
