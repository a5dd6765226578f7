package tempo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// another works the same statistics out in R from the raw times: Welch's interval
// on the logs by t.test, the quantiles by qt, Fieller's interval as the roots of its
// quadratic, the power formula, and the interval for one more fastball by predict.
const another = `
d <- read.csv(commandArgs(TRUE)[1])
for (k in unique(d$case)) {
  x <- d[d$case == k, ]
  f <- log(x$t[x$side == "fast"]); o <- log(x$t[x$side == "off"])
  w <- t.test(o, f)
  bias <- 0.05 * abs(mean(o) - mean(f)) + 0.005
  half <- sqrt(((w$conf.int[2] - w$conf.int[1]) / 2)^2 + bias^2)
  n <- length(f); m <- length(o)
  pooled <- sqrt(((n - 1) * var(f) + (m - 1) * var(o)) / (n + m - 2))
  a <- mean(exp(o)); b <- mean(exp(f)); va <- var(exp(o)) / m; vb <- var(exp(f)) / n
  q <- qt(0.975, w$parameter)
  r <- sort(Re(polyroot(c(a^2 - q^2 * va, -2 * a * b, b^2 - q^2 * vb))))
  least <- (qt(0.975, 2 * n - 2) + qt(0.8, 2 * n - 2)) * sqrt(pooled^2 + 0.008^2) * sqrt(2 / n)
  p <- predict(lm(f ~ 1), data.frame(x = 1), interval = "prediction", level = 0.95)[1, ]
  cat(format(c(mean(o) - mean(f), half, pooled, w$parameter, q, r, least,
    100 * exp(p[1] - o[1]), (p[3] - p[1]) / qt(0.975, n - 1), o[1] >= p[2] & o[1] <= p[3]), digits = 17), sep = "\n")
}
`

// The statistics agree with R's on random data to 1e-9.
func TestStatisticsAgreeWithR(t *testing.T) {
	dice := rand.New(rand.NewPCG(5, 8))
	var file strings.Builder
	var ours []float64
	names := []string{"contrast", "half-width", "pooled spread", "degrees of freedom", "t", "ratio from", "ratio to", "least found", "pace", "its log uncertainty", "within"}
	file.WriteString("case,side,t\n")
	for k := range 40 {
		n, m := 3+dice.IntN(15), 3+dice.IntN(15)
		side := func(name string, n int, middle float64) []float64 {
			sd := 0.005 + 0.08*dice.Float64()
			times := make([]float64, n)
			for i := range times {
				times[i] = math.Exp(math.Log(middle) + sd*dice.NormFloat64())
				fmt.Fprintf(&file, "%d,%s,%s\n", k, name, strconv.FormatFloat(times[i], 'g', -1, 64))
			}
			return times
		}
		fast, off := side("fast", n, 0.45), side("off", m, 0.45*(1+0.25*dice.Float64()))
		c, ok := Compare(fast, off, 0, 0.05)
		p, ok2 := PaceOf(off[0], fast, 0, false)
		if !ok || !ok2 {
			t.Fatal("not compared")
		}
		w := bullpen.Welch(bullpen.SampleOf(logs(off)), bullpen.SampleOf(logs(fast)))
		q := bullpen.TQuantile(0.975, w.DF)
		a, b := bullpen.SampleOf(off), bullpen.SampleOf(fast)
		lo, hi, _ := bullpen.Fieller(a.Mean, a.SD*a.SD/float64(m), b.Mean, b.SD*b.SD/float64(n), q)
		within := 0.0
		if p.Within {
			within = 1
		}
		ours = append(ours, c.Log, c.U, c.Spread, w.DF, q, lo, hi, LeastFound(n, c.Spread, 0.008), p.Percent, p.U/p.Percent, within)
	}
	dir := t.TempDir()
	data, script := filepath.Join(dir, "times.csv"), filepath.Join(dir, "another.R")
	for name, text := range map[string]string{data: file.String(), script: another} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := exec.CommandContext(t.Context(), "Rscript", "--vanilla", script, data).Output()
	if err != nil {
		t.Fatalf("R (go run ./cmd/dev setup installs it): %v", err)
	}
	theirs := strings.Fields(string(out))
	if len(theirs) != len(ours) {
		t.Fatalf("R said %d numbers, want %d", len(theirs), len(ours))
	}
	for i, word := range theirs {
		want, err := strconv.ParseFloat(word, 64)
		if err != nil || math.Abs(ours[i]-want) > 1e-9*max(1, math.Abs(want)) {
			t.Errorf("case %d, %s: %.15g, R says %s", i/len(names), names[i%len(names)], ours[i], word)
		}
	}
}
