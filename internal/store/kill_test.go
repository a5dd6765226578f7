package store

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// killEnv, when set, makes the test binary the child that is killed: it holds the
// data folder and the bullpen to write to.
const killEnv = "TENOFF_TEST_MARKS_IN"

// markForEver logs reps, corrects some, takes some out, and says each on the
// standard output once the store has acknowledged it: "add ID FRAME",
// "set ID VALUE", "out ID"; before the last, "may ID", since an act that was not
// acknowledged may be done or not.
func markForEver(where string) int {
	dir, film, _ := strings.Cut(where, "|")
	ctx := context.Background()
	s, err := Open(ctx, dir)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	f, err := s.Film(ctx, film)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	for i := 0; ; i++ {
		r, _, err := s.AddRep(ctx, marked(f, i%f.Clock.Frames(), bullpen.ChangeUp))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println("add", r.ID, r.Release)
		if i%3 == 0 {
			r.Reading.Value = float64(40 + i%20)
			if r, _, err = s.SaveRep(ctx, r); err != nil {
				fmt.Fprintln(os.Stderr, err)
				return 1
			}
			fmt.Println("set", r.ID, r.Reading.Value)
		}
		if i%5 == 0 {
			fmt.Println("may", r.ID)
			if _, err := s.RemoveRep(ctx, r.ID, r.Version); err != nil {
				fmt.Fprintln(os.Stderr, err)
				return 1
			}
			fmt.Println("out", r.ID)
		}
	}
}

// TestKillLosesNoMark kills a program that is logging reps at a random instant, many
// times over on the same database. Whatever it had acknowledged is there.
func TestKillLosesNoMark(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "IMG_1.mov", 300, 0)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	rounds := 20
	if testing.Short() {
		rounds = 5
	}
	acknowledged := map[string]string{} // what was last said of each rep
	for range rounds {
		for _, line := range killed(t, dir+"|"+f.ID) {
			said, rest, _ := strings.Cut(line, " ")
			id, value, _ := strings.Cut(rest, " ")
			acknowledged[id] = said + " " + value
		}
	}
	if len(acknowledged) < rounds {
		t.Fatalf("only %d marks in %d rounds: the program was killed before it began", len(acknowledged), rounds)
	}
	t.Logf("%d marks acknowledged in %d lives", len(acknowledged), rounds)
	s = at(t, dir)
	var sound string
	if err := s.write.QueryRow(`PRAGMA integrity_check`).Scan(&sound); err != nil || sound != "ok" {
		t.Fatalf("integrity: %s, %v", sound, err)
	}
	reps, err := s.Reps(t.Context(), b.ID)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bullpen.Rep{}
	for i, r := range reps {
		there[r.ID] = r
		if r.Order != i+1 {
			t.Fatalf("rep %d has order %d", i+1, r.Order)
		}
	}
	for id, last := range acknowledged {
		r, ok := there[id]
		said, value, _ := strings.Cut(last, " ")
		switch {
		case said == "out" && ok:
			t.Errorf("rep %s was taken out and is there", id)
		case said != "out" && said != "may" && !ok:
			t.Errorf("rep %s (%s) is lost", id, last)
		case said == "add" && fmt.Sprint(r.Release) != value, said == "set" && fmt.Sprint(r.Reading.Value) != value:
			t.Errorf("rep %s is %+v, last said %s", id, r, last)
		}
	}
}

// killed runs the child for a random while, kills it and returns what it said.
func killed(t *testing.T, where string) []string {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), killEnv+"="+where)
	var complaint strings.Builder
	cmd.Stderr = &complaint
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var lines []string
	first := make(chan struct{})
	done := make(chan struct{})
	go func() {
		defer close(done)
		in := bufio.NewReader(out)
		for {
			line, err := in.ReadString('\n')
			if err != nil {
				return // a half line was not said
			}
			if lines = append(lines, strings.TrimSpace(line)); len(lines) == 1 {
				close(first)
			}
		}
	}()
	select {
	case <-first:
		time.Sleep(time.Duration(rand.IntN(100_000)) * time.Microsecond)
	case <-done:
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Errorf("the child ended by itself: %s", complaint.String())
	}
	<-done
	if err := cmd.Wait(); cmd.ProcessState.Exited() {
		t.Fatalf("the child ended by itself: %v %s", err, complaint.String())
	}
	return lines
}
