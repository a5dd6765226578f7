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

// recompute works the whole summary out of the readings in the CSV alone, in R, a line
// for each pitch in each drill in the order of their first rep: mean, spread, range,
// baseline of the next rep, gap in every unit, its spread and standard uncertainty, share
// with Wilson's interval by prop.test's formula, aim, the predictive chance over the
// rounding cells of a whole-number display, and what can come back on. Levels and the
// slope are those of the linear model by the general formulas with matrices (Gelman et
// al., Bayesian Data Analysis, 3rd ed., 14.8). NA is what a summary does not have.
const recompute = `
d <- read.csv(commandArgs(TRUE)[1])
d$place <- seq_len(nrow(d)) - 1; upcoming <- nrow(d)
d <- d[!is.na(d$reading) & (is.na(d$warmUp) | d$warmUp == ""), ]
d$drill <- ifelse(is.na(d$drill), "", d$drill)
k <- DRAG; x <- (43 - 6) * 0.3048
reach <- (exp(k * x) - 1) / k
later <- function(v, base) 1000 * reach * (1 / (v * 0.44704) - 1 / (base * 0.44704))
bands <- list("change-up" = c(8, 12, 15), "off-speed" = c(3, 7, 10), curve = c(3, 7, 10))
key <- paste(d$pitch, d$drill, sep = "/"); keys <- unique(key); G <- length(keys); n <- nrow(d)
spread <- ifelse(sub("/.*", "", keys) %in% names(bands), 1.8, 1.2)
X <- cbind(outer(key, keys, "==") * 1, d$place); S <- spread[match(key, keys)]
W <- diag(1 / (S^2 + 1/12)); df <- 4 + n - G; least <- max(1/12 / (S^2 + 1/12))
fit <- function(tau) {
  A <- t(X) %*% W %*% X; A[G + 1, G + 1] <- A[G + 1, G + 1] + 1 / tau^2
  V <- solve(A); b <- V %*% t(X) %*% W %*% d$reading; r <- d$reading - X %*% b
  list(V = V, b = b, tau = tau, s2 = max(least, (4 + t(r) %*% W %*% r + b[G + 1]^2 / tau^2) / df))
}
# A pitch's own spread, as a ratio to what is usual: what its reps leave, and what the others' are worth beside.
own <- function(is, f) {
  left <- diag(W) * as.vector(d$reading - X %*% f$b)^2
  known <- 4 + sum(!is) - (G - 1); share <- if (G > 1) 1 / (1 / known + 1 / 4) else known
  others <- (4 + f$b[G + 1]^2 / f$tau^2 + sum(left[!is])) / known; df <- share + sum(is) - 1
  c(max((diag(W) / 12)[is], (share * others + sum(left[is])) / df), df)
}
f <- fit(2/60); if (f$s2 < 1) f <- fit(2/60 / sqrt(f$s2))
say <- function(c) c(sum(c * f$b), f$s2 * (t(c) %*% f$V %*% c))
unit <- function(j, place = 0) { c <- rep(0, G + 1); c[j] <- 1; c[G + 1] <- place; c }
for (i in seq_len(G)) {
  s <- d[key == keys[i], ]
  v <- s$reading; m <- length(v); pitch <- s$pitch[1]; j <- match(paste0("fastball/", s$drill[1]), keys)
  base <- sapply(s$place, function(p) say(unit(j, p))[1]); gap <- base - v; band <- bands[[pitch]]
  ahead <- say(unit(j, upcoming))[1]; counts <- sum(key == keys[j]) >= 3 && m >= 3
  sd0 <- function(x) if (length(x) > 1) sd(x) else NA
  out <- c(m, mean(v), sd0(v), min(v), max(v), ahead)
  if (pitch == "fastball") out <- c(out, rep(NA, 16)) else {
    g <- say(unit(j) - unit(i))
    a <- d$place[key == keys[j]]; b <- s$place; na <- length(a); nb <- length(b)
    between <- na * nb / (na + nb) * (mean(a) - mean(b))^2; within <- sum((a - mean(a))^2) + sum((b - mean(b))^2)
    # a working autocorrelation of 1/3 where one was thrown after the other
    g[2] <- g[2] * (1 + min(1, between / (between + within) / 0.75) * (1 - 1 / min(na, nb)))
    gain <- (mean(gap) / (mean(v) + mean(gap)))^2 / 3
    wide <- df / (g[2] / (g[2] + gain))^2
    out <- c(out, mean(gap), 1.609344 * mean(gap), mean(100 * v / base), mean(later(v, base)), sd0(gap), sqrt((g[2] + gain) * wide / (wide - 2)))
    if (is.null(band)) out <- c(out, rep(NA, 10)) else {
      r <- round(gap, 9); hits <- sum(r >= band[1] & r <= band[2])
      w <- prop.test(hits, m, correct = FALSE)$conf.int
      first <- ceiling(round(ahead - band[2], 9)); last <- floor(round(ahead - band[1], 9))
      is <- key == keys[i]; o <- own(is, f); far <- upcoming - weighted.mean(d$place[is], diag(W)[is])
      nx <- say(unit(i, upcoming))[1]; scale <- sqrt(o[1] * (1 / sum(diag(W)[is]) + spread[i]^2) + f$s2 * far^2 * f$V[G + 1, G + 1])
      p <- pt((last + 0.5 - nx)/scale, o[2]) - pt((first - 0.5 - nx)/scale, o[2])
      over <- round(mean(gap), 9) > band[2] && counts
      out <- c(out, m, hits, hits/m, w[1], w[2], if (counts) c(ahead - band[2], ahead - band[1], p) else c(NA, NA, NA), if (over) mean(gap) - band[2] else NA, if (over) mean(gap) - band[1] else NA)
    }
  }
  cat(format(out, digits = 17, trim = TRUE), "\n")
}
`

// columnsOf are what recompute says of a summary, as tenoff says it.
func columnsOf(s wire.Summary) []float64 {
	speed := func(v *wire.Speed) float64 {
		if v == nil {
			return math.NaN()
		}
		return v.MPH
	}
	none := math.NaN()
	out := []float64{float64(s.N), s.Mean.MPH, speed(s.SD), s.Range.Lo.MPH, s.Range.Hi.MPH, s.Baseline.Speed.MPH}
	if g := s.MeanGap; g != nil {
		out = append(out, g.MPH, g.KMH, g.Percent, *g.Millis, speed(s.SDGap), speed(s.StandardError))
	} else {
		out = append(out, none, none, none, none, none, none)
	}
	if s.Band == nil {
		return append(out, none, none, none, none, none, none, none, none, none, none)
	}
	out = append(out, float64(s.Judged), float64(s.InBand), s.Share.Value, s.Share.Lo, s.Share.Hi)
	if s.NextInBand != nil {
		out = append(out, s.Aim.Lo.MPH, s.Aim.Hi.MPH, *s.NextInBand)
	} else {
		out = append(out, none, none, none)
	}
	if s.ComeBackOn != nil {
		return append(out, s.ComeBackOn.Lo.MPH, s.ComeBackOn.Hi.MPH)
	}
	return append(out, none, none)
}

var columnNames = strings.Split("n, mean, spread, softest, hardest, baseline, mean gap, km/h, %, ms, spread of gaps, standard error, judged, in the band, share, Wilson low, Wilson high, aim from, aim to, chance, come back on from, come back on to", ", ")

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
	for _, more := range []struct {
		pitch bullpen.Pitch
		drill string
		mph   []float64
	}{
		{bullpen.Fastball, "wall", []float64{50, 51, 49, 50}}, {bullpen.ChangeUp, "wall", []float64{33, 35, 36}},
		{bullpen.OffSpeed, "", []float64{49, 48}}, {bullpen.Drop, "", []float64{52, 53, 53}},
	} {
		for _, mph := range more.mph {
			reading := wire.Reading{Value: mph, Unit: bullpen.MPH, Step: 1, Gun: take.Truth().Reps[0].Reading.Gun}
			p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{Pitch: more.pitch, Drill: more.drill, Reading: &reading}, nil)
		}
	}
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	_, csv, err := p.try(t.Context(), http.MethodGet, "/api/bullpens/"+pen.ID+"/reps.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file, script := filepath.Join(dir, "reps.csv"), filepath.Join(dir, "recompute.R")
	for name, text := range map[string][]byte{file: csv, script: []byte(strings.Replace(recompute, "DRAG", strconv.FormatFloat(drag(), 'g', -1, 64), 1))} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := exec.Command("Rscript", "--vanilla", script, file).Output()
	if err != nil {
		t.Fatalf("R (go run ./cmd/dev setup installs it): %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(sheet.Summaries) {
		t.Fatalf("%d summaries here, R said %q", len(sheet.Summaries), out)
	}
	for i, s := range sheet.Summaries {
		theirs, ours := strings.Fields(lines[i]), columnsOf(s)
		if len(theirs) != len(ours) || len(ours) != len(columnNames) {
			t.Fatalf("%s %s: %d columns here, R said %q", s.PitchName, s.Drill, len(ours), lines[i])
		}
		for j, name := range columnNames {
			want := math.NaN()
			if theirs[j] != "NA" {
				if want, err = strconv.ParseFloat(theirs[j], 64); err != nil {
					t.Fatal(err)
				}
			}
			if missing := math.IsNaN(want); missing != math.IsNaN(ours[j]) || !missing && math.Abs(ours[j]-want) > 1e-9 {
				t.Errorf("%s %s, %s: %.12f here, %s in R", s.PitchName, s.Drill, name, ours[j], theirs[j])
			}
		}
	}
}

// drag is the ball's, which has its own outside check.
func drag() float64 {
	ball, _ := bullpen.BallKindOf("12 in")
	return ball.Drag(bullpen.SeaLevel)
}
