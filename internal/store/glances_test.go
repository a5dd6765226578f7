package store

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"tenoff/internal/bullpen"
)

// The database and Homework.State agree on what is settled, whatever came when.
func TestSettledAsHomeworkSaysIt(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	her, err := s.AddPitcher(ctx, bullpen.Pitcher{Label: "Wren"})
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(18, 1))
	when := func() int64 { return int64(random.IntN(6)) }
	want := map[string]bool{}
	settled := 0
	for i := range 200 {
		h := bullpen.Homework{
			PitcherID: her.ID, Workout: bullpen.Workout{Title: fmt.Sprint(i)}, Student: bullpen.Student{NotedAt: when(), PainAt: when()},
			Sent: bullpen.Reply{SentAt: when(), Seen: when()}, FilmAt: when(), ReviewAt: when(),
		}
		made, err := s.AddHomework(ctx, h, bullpen.Bullpen{PitcherID: her.ID, Day: "2026-05-01"})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.write.Exec(`UPDATE homeworks SET film_at = ?, review_at = ? WHERE id = ?`, h.FilmAt, h.ReviewAt, made.ID); err != nil {
			t.Fatal(err)
		}
		want[made.ID] = h.State("2026-05-01") == bullpen.HomeworkAnswered
		if want[made.ID] {
			settled++
		}
	}
	if settled < 20 || settled > 180 {
		t.Fatalf("%d of 200 are settled: too much alike to tell", settled)
	}
	inbox, err := s.Inbox(ctx, 1000)
	if err != nil || len(inbox) != 200 {
		t.Fatalf("%d homeworks, %v", len(inbox), err)
	}
	for i, h := range inbox {
		if first := i < 200-settled; want[h.ID] == first {
			t.Errorf("settled %t: %+v", want[h.ID], h.Homework)
		}
	}
	if few, err := s.Inbox(ctx, 3); err != nil || len(few) != 200-settled+3 {
		t.Errorf("%d homeworks with three that are answered, %v", len(few), err)
	}
}
