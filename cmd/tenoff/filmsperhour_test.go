//go:build unix

package main

import (
	"bytes"
	"flag"
	"fmt"
	"net/http"
	"os"
	"testing"
	"time"

	"tenoff/internal/intake"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

var perHour = flag.Int("perhour", 0, "so many films are read by one machine, and as many by four")

// More machines read more films in an hour, where there are cores for them, and none of them
// takes more processor for a film: what they have to say to each other costs next to nothing.
// The figures are for people; on a machine with other work they say little.
func TestFilmsPerHour(t *testing.T) {
	if *perHour == 0 {
		t.Skip("-perhour says of how many films")
	}
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	var alone time.Duration // processor a film
	for _, workers := range []int{1, 4} {
		a := newAcademy(t)
		rows, err := store.OpenPostgres(t.Context(), a.address)
		if err != nil {
			t.Fatal(err)
		}
		defer rows.Close()
		web := a.begin("UTC", "--zone", "UTC", "--role", string(roleWeb))
		for i := range *perHour {
			var pen wire.Bullpen
			if err := web.call(http.MethodPost, "/api/bullpens", map[string]any{"pitcherLabel": fmt.Sprint("Kit ", i)}, &pen); err != nil {
				t.Fatal(err)
			}
			mine := append(bytes.Clone(film), box(fmt.Sprint("tail of film ", i))...)
			var taken wire.UploadResult
			if err := web.send(http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=wren.mp4", "video/mp4", mine, &taken); err != nil {
				t.Fatal(err)
			}
		}
		began := time.Now()
		machines := []*machine{web}
		for range workers {
			machines = append(machines, a.work())
		}
		for {
			queues, err := rows.Queues(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if len(queues) == 0 {
				break
			}
			time.Sleep(100 * time.Millisecond)
		}
		took := time.Since(began)
		time.Sleep(time.Second) // what the last one took is counted after its end
		uses, err := rows.Uses(t.Context(), "", []string{intake.Kind, intake.LongKind})
		if err != nil || len(uses) != 1 || uses[0].FilmsRead != *perHour {
			t.Fatalf("%+v, %v", uses, err)
		}
		each := uses[0].Processor / time.Duration(*perHour)
		t.Logf("%d work nodes: %d films in %.1f s, %.0f an hour; %.2f s of processor a film", workers, *perHour, took.Seconds(), float64(*perHour)/took.Hours(), each.Seconds())
		if workers == 1 {
			alone = each
		} else {
			t.Logf("processor a film: %.3f of what it is with one", each.Seconds()/alone.Seconds())
		}
		for _, m := range machines {
			m.kill()
		}
	}
}
