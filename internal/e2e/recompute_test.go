package e2e

import (
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/server/wire"
)

// recompute works the change-up's summary out of the readings in the CSV alone,
// in R: mean, spread, gap, Wilson's interval by prop.test's formula, and the
// Student-t predictive chance over the rounding cells of a whole-number display.
const recompute = `
d <- read.csv(commandArgs(TRUE)[1])
d <- d[!is.na(d$reading) & (is.na(d$warmUp) | d$warmUp == ""), ]
fb <- d$reading[d$pitch == "fastball"]; ch <- d$reading[d$pitch == "change-up"]
base <- mean(fb); gap <- base - ch; n <- length(ch)
k <- sum(round(gap, 9) >= 8 & round(gap, 9) <= 12)
w <- prop.test(k, n, correct = FALSE)$conf.int
first <- ceiling(round(base - 12, 9)); last <- floor(round(base - 8, 9))
scale <- max(sd(ch), 1/sqrt(12)) * sqrt(1 + 1/n)
p <- pt((last + 0.5 - mean(ch))/scale, n - 1) - pt((first - 0.5 - mean(ch))/scale, n - 1)
cat(format(c(base, sd(fb), mean(ch), sd(ch), mean(gap), sd(gap), k/n, w[1], w[2], p), digits = 17), sep = "\n")
`

// The demo bullpen's summary, recomputed by R from the exported CSV, agrees to 1e-9.
func TestSummaryAgreesWithR(t *testing.T) {
	_, _, options := demo.Bullpen()
	take, err := demo.Plan(options)
	if err != nil {
		t.Fatal(err)
	}
	p := serve(t, t.TempDir())
	var pen wire.Bullpen
	p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &pen)
	for _, r := range take.Truth().Reps {
		reading := wire.Reading(r.Reading)
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{Pitch: r.Pitch, Reading: &reading}, nil)
	}
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	_, csv, err := p.try(t.Context(), http.MethodGet, "/api/bullpens/"+pen.ID+"/reps.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file, script := filepath.Join(dir, "reps.csv"), filepath.Join(dir, "recompute.R")
	for name, text := range map[string][]byte{file: csv, script: []byte(recompute)} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := exec.Command("Rscript", "--vanilla", script, file).Output()
	if err != nil {
		t.Fatalf("R (go run ./cmd/dev setup installs it): %v", err)
	}
	var fast, change wire.Summary
	for _, s := range sheet.Summaries {
		switch s.Pitch {
		case bullpen.Fastball:
			fast = s
		case bullpen.ChangeUp:
			change = s
		}
	}
	ours := []float64{
		fast.Baseline.Speed.MPH, fast.SD.MPH, change.Mean.MPH, change.SD.MPH, change.MeanGap.MPH, change.SDGap.MPH,
		change.Share.Value, change.Share.Lo, change.Share.Hi, *change.NextInBand,
	}
	theirs := strings.Fields(string(out))
	if len(theirs) != len(ours) {
		t.Fatalf("R said %q", out)
	}
	for i, name := range []string{"baseline", "its spread", "mean", "spread", "mean gap", "spread of gaps", "share", "Wilson low", "Wilson high", "chance"} {
		want, err := strconv.ParseFloat(theirs[i], 64)
		if err != nil || math.Abs(ours[i]-want) > 1e-9 {
			t.Errorf("%s: %.12f here, %s in R (%v)", name, ours[i], theirs[i], err)
		}
	}
}
