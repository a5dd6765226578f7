package evidence

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/evidence/evidencetest"
)

// another works the posterior out in R by the general formulas, with matrices: the design
// of a 0/1 column for each group and one of places, the slope's prior as a precision
// (Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, 14.8). Nothing is centred there,
// and nothing summed up by group.
const another = `
d <- read.csv(commandArgs(TRUE)[1])
for (k in unique(d$case)) {
  x <- d[d$case == k, ]
  tau <- x$tau[1]; worth <- x$worth[1]
  groups <- sort(unique(x$group)); G <- length(groups); n <- nrow(x)
  X <- cbind(outer(x$group, groups, "==") * 1, x$place)
  W <- diag(1 / (x$spread^2 + x$known))
  df <- worth + n - G
  least <- max(x$known / (x$spread^2 + x$known))
  fit <- function(tau) {
    A <- t(X) %*% W %*% X; A[G + 1, G + 1] <- A[G + 1, G + 1] + 1 / tau^2
    V <- solve(A); b <- V %*% t(X) %*% W %*% x$value
    r <- x$value - X %*% b
    list(V = V, b = b, tau = tau, s2 = max(least, (worth + t(r) %*% W %*% r + b[G + 1]^2 / tau^2) / df))
  }
  f <- fit(tau)
  if (f$s2 < 1) f <- fit(tau / sqrt(f$s2)) # a slope's prior is never narrower than tau
  V <- f$V; b <- f$b; s2 <- f$s2
  say <- function(c, more = 0) c(sum(c * b), sqrt(s2 * (t(c) %*% V %*% c + more)))
  first <- c(1, rep(0, G)); last <- first * 0; last[G] <- 1
  at <- 41
  place <- first; place[G + 1] <- at
  g <- say(first - last)
  # The first group's own spread: what its reps leave, and what the others' are worth beside.
  is <- x$group == groups[1]; left <- diag(W) * as.vector(x$value - X %*% b)^2
  known <- worth + sum(!is) - (G - 1); share <- 1 / (1 / known + 1 / worth)
  others2 <- (worth + b[G + 1]^2 / f$tau^2 + sum(left[!is])) / known
  dfn <- share + sum(is) - 1
  own2 <- max((x$known * diag(W))[is], (share * others2 + sum(left[is])) / dfn)
  far <- at - weighted.mean(x$place[is], diag(W)[is])
  nx <- c(sum(place * b), sqrt(own2 * (1 / sum(diag(W)[is]) + x$spread[is][1]^2 + 0.09) + s2 * far^2 * V[G + 1, G + 1]))
  out <- c(say(c(rep(0, G), 1)), say(place), g, nx, df, sqrt(s2), dfn,
    pt((3 - g[1]) / g[2], df), g[1] - qt(0.975, df) * g[2], g[2] * sqrt(df / (df - 2)),
    pt((60 - nx[1]) / nx[2], dfn) - pt((50 - nx[1]) / nx[2], dfn))
  cat(format(out, digits = 17), sep = "\n")
}
`

var names = []string{"slope", "its scale", "level", "its scale", "gap", "its scale", "next", "its scale", "degrees of freedom", "scale", "next's degrees of freedom",
	"chance below 3", "interval from", "standard uncertainty", "chance of 50 to 60"}

// R recomputes 200 random bullpens to 1e-9.
func TestLineAgreesWithR(t *testing.T) {
	dice := rand.New(rand.NewPCG(14, 8))
	var file strings.Builder
	var ours []float64
	file.WriteString("case,group,place,value,known,spread,tau,worth\n")
	exact := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	for k := range 200 {
		groups := 2 + dice.IntN(3)
		prior := Prior{Slope: 0.005 + 0.1*dice.Float64(), Worth: 3 + 5*dice.Float64()}
		for range groups {
			prior.Spreads = append(prior.Spreads, 0.5+2*dice.Float64())
		}
		wide, drift := 0.4+0.8*dice.Float64(), 0.05*dice.NormFloat64()
		var reps []Rep
		for i := range groups + dice.IntN(40) {
			g := dice.IntN(groups)
			if i < groups {
				g = i
			}
			r := Rep{Group: g, Place: float64(i + 1), Known: []float64{0, 1.0 / 12, 0.5}[dice.IntN(3)]}
			r.Value = 55 - 5*float64(g) + drift*r.Place + 2*wide*prior.Spreads[g]*dice.NormFloat64()*dice.Float64()
			reps = append(reps, r)
			fmt.Fprintf(&file, "%d,%d,%s,%s,%s,%s,%s,%s\n", k, g, exact(r.Place), exact(r.Value), exact(r.Known), exact(prior.Spreads[g]), exact(prior.Slope), exact(prior.Worth))
		}
		l := LineOf(prior, reps)
		gap, next := l.Gap(0, groups-1), l.Next(0, 41, 0.09)
		lo, _ := gap.Interval(0.95)
		ours = append(ours, l.Slope().Value, l.Slope().Scale, l.Level(0, 41).Value, l.Level(0, 41).Scale, gap.Value, gap.Scale,
			next.Value, next.Scale, l.DF(), l.scale, next.DF, gap.Below(3), lo, gap.U(), next.Between(50, 60))
	}
	evidencetest.AgreesWithR(t, another, file.String(), 1e-9, ours, names...)
}

// R's p.adjust agrees on which of 300 random families of chances are found.
func TestHolmAgreesWithR(t *testing.T) {
	dice := rand.New(rand.NewPCG(65, 70))
	var file strings.Builder
	var ours []float64
	file.WriteString("case,p\n")
	for k := range 300 {
		p := make([]float64, 1+dice.IntN(12))
		for i := range p {
			p[i] = math.Pow(dice.Float64(), 4)
			if i > 0 && dice.IntN(6) == 0 {
				p[i] = p[i-1]
			}
			fmt.Fprintf(&file, "%d,%s\n", k, strconv.FormatFloat(p[i], 'g', -1, 64))
		}
		for _, found := range Holm(p, 0.05) {
			if found {
				ours = append(ours, 1)
			} else {
				ours = append(ours, 0)
			}
		}
	}
	evidencetest.AgreesWithR(t, `
d <- read.csv(commandArgs(TRUE)[1])
for (k in unique(d$case)) cat(paste0(as.integer(p.adjust(d$p[d$case == k], "holm") <= 0.05), "\n"), sep = "")
`, file.String(), 1e-9, ours, "found")
}
