package tempo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/evidence/evidencetest"
)

// another works the same statistics out in R from the raw times, by matrices and with
// nothing summed up beforehand: the fastballs' line (Gelman et al., Bayesian Data Analysis,
// 3rd ed., 2013, 14.8), the off-speed reps against it, how widely each side scatters beside the
// other, Welch and Satterthwaite's degrees of freedom, Fieller's interval as the roots of its quadratic, the power formula, one rep's
// pace, the chance that one more fastball takes as long, and that one of her others does.
const another = `
d <- read.csv(commandArgs(TRUE)[1])
tau <- 2 / 55 / 60; own <- 0.02; other <- 0.03; worth <- 4
for (k in unique(d$case)) {
  x <- d[d$case == k, ]
  f <- x[x$side == "fast", ]; o <- x[x$side == "off", ]
  n <- nrow(f); m <- nrow(o); y <- log(f$t)
  X <- cbind(1, f$place); W <- diag(1 / (own^2 + f$u^2))
  df <- worth + n - 1
  # either side's scale, with what the other's says of it
  beside <- function(squares, free, others, othersfree, least) {
    known <- worth + othersfree; share <- 1 / (1 / known + 1 / worth)
    c(max(least, (share * (worth + others) / known + squares) / (share + free)), share + free)
  }
  least <- max(f$u^2 / (own^2 + f$u^2))
  alone <- function(squares) max(least, (worth + squares) / df)
  fit <- function(tau, scale2) {
    A <- t(X) %*% W %*% X; A[2, 2] <- A[2, 2] + 1 / tau^2
    V <- solve(A); b <- V %*% t(X) %*% W %*% y; r <- y - X %*% b
    squares <- c(t(r) %*% W %*% r + b[2]^2 / tau^2)
    list(V = V, b = b, squares = squares, s2 = scale2(squares))
  }
  settled <- function(scale2) {
    l <- fit(tau, scale2); if (l$s2 < 1) l <- fit(tau / sqrt(l$s2), scale2) # a slope's prior is never narrower
    l
  }
  l <- settled(alone)
  V <- l$V; b <- l$b; s2 <- c(l$s2)
  line <- function(p) b[1] + b[2] * p
  level <- function(p) s2 * c(1, p) %*% V %*% c(1, p)
  e <- log(o$t) - line(o$place); u2 <- mean(o$u^2)
  expected <- other^2 + u2; off <- sum((e - mean(e))^2) / expected
  both <- settled(function(squares) beside(squares, n - 1, off, m - 1, least)[1])
  own2 <- beside(both$squares, n - 1, off, m - 1, least)
  off2 <- beside(off, m - 1, both$squares, n - 1, u2 / expected)
  at <- c(1, mean(o$place)); contrast <- mean(log(o$t)) - sum(at * both$b)
  v <- off2[1] * expected; dff <- own2[2]; dfo <- off2[2]
  va <- own2[1] * c(t(at) %*% both$V %*% at); vb <- v / m
  nu <- (va + vb)^2 / (va^2 / dff + vb^2 / dfo)
  half <- sqrt(nu * 0 + (qt(0.975, nu) * sqrt(va + vb))^2 + (0.05 * abs(contrast) + 0.005)^2)
  fast <- own2[1] * (own^2 + mean(f$u^2))
  pooled <- sqrt((dff * fast + dfo * v) / (dff + dfo))
  nx <- sqrt(level(o$place[1]) + s2 * (own^2 + o$u[1]^2))
  by <- e[1] - 0.005 - 0.05 * abs(e[1]) - 0.01
  w <- max(0, (8 * (s2 * own^2 + u2) + sum((e - mean(e))^2)) / (8 + m - 1) - u2 - s2 * own^2)
  a <- mean(o$t); g <- mean(f$t); vo <- var(o$t) / m; vf <- var(f$t) / n
  r2 <- sort(Re(polyroot(c(a^2 - 4 * vo, -2 * a * g, g^2 - 4 * vf))))
  least <- (qt(0.975, 2 * n - 2) + qt(0.8, 2 * n - 2)) * sqrt(pooled^2 + 0.008^2) * sqrt(2 / n)
  cat(format(c(contrast, half, pooled, r2, least, 100 * exp(-e[1]), nx * sqrt(df / (df - 2)),
    abs(e[1]) <= qt(0.975, df) * nx, 1 - pt(by / nx, df), 1 - pt(by / sqrt(nx^2 + w), df)), digits = 17), sep = "\n")
}
`

// The statistics agree with R's on random data to 1e-9.
func TestStatisticsAgreeWithR(t *testing.T) {
	dice := rand.New(rand.NewPCG(5, 8))
	var file strings.Builder
	var ours []float64
	names := []string{"contrast", "half-width", "pooled spread", "ratio from", "ratio to", "least found", "pace", "its log uncertainty", "within", "chance by itself", "among its like"}
	file.WriteString("case,side,t,place,u\n")
	exact := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	for k := range 40 {
		n, m := 3+dice.IntN(15), 3+dice.IntN(15)
		order := dice.Perm(n + m)
		side := func(name string, places []int, middle float64) (times []float64, out []lapTime) {
			sd := 0.005 + 0.08*dice.Float64()
			for _, p := range places {
				seconds, u := math.Exp(math.Log(middle)+sd*dice.NormFloat64()), 0.03*dice.Float64()
				times = append(times, seconds)
				out = append(out, lapTime{place: float64(p + 1), log: math.Log(seconds), u: u})
				fmt.Fprintf(&file, "%d,%s,%s,%d,%s\n", k, name, exact(seconds), p+1, exact(u))
			}
			return times, out
		}
		fast, fastLaps := side("fast", order[:n], 0.45)
		off, offLaps := side("off", order[n:], 0.45*(1+0.25*dice.Float64()))
		o := ownOf(fastLaps)
		c, ok := o.compare(offLaps, 0.05)
		p := o.paceOf(offLaps[0])
		if !ok || p == nil {
			t.Fatal("not compared")
		}
		a, b := bullpen.SampleOf(off), bullpen.SampleOf(fast)
		lo, hi, _ := bullpen.Fieller(a.Mean, a.SD*a.SD/float64(m), b.Mean, b.SD*b.SD/float64(n), 2)
		within := 0.0
		if p.Within {
			within = 1
		}
		ours = append(ours, c.Log, c.U, c.Spread, lo, hi, LeastFound(n, c.Spread, 0.008), p.Percent, p.U/p.Percent, within, o.chanceOfSlower(offLaps[0], 0.05, 0.01, 0), o.chanceOfSlower(offLaps[0], 0.05, 0.01, o.wider(offLaps)))
	}
	evidencetest.AgreesWithR(t, another, file.String(), 1e-9, ours, names...)
}
