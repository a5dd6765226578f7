package tells

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/evidence/evidencetest"
)

// Of 4 and 4 there are 70 relabellings (binomial coefficient), each once, the last of which
// is how they were thrown.
func TestRelabel(t *testing.T) {
	seen := map[string]bool{}
	last := ""
	relabel(filmsOf(8, 4, nil), 100, func(off []int) {
		last = fmt.Sprint(off)
		if !slices.IsSorted(off) || seen[last] {
			t.Errorf("%s again", last)
		}
		seen[last] = true
	})
	if len(seen) != 70 || last != "[4 5 6 7]" {
		t.Errorf("%d relabellings up to %s", len(seen), last)
	}
	for _, c := range []struct{ n, k, want int }{{8, 4, 70}, {12, 6, 924}, {16, 4, 1820}, {16, 8, 5001}, {60, 30, 5001}} {
		if got := ways(c.n, c.k, 5000); got != c.want {
			t.Errorf("%d of %d can be chosen in %d ways, want %d", c.k, c.n, got, c.want)
		}
	}
	var chosen [20]int
	first := true
	relabel(filmsOf(20, 5, nil), 4000, func(off []int) {
		if first && !slices.Equal(off, []int{15, 16, 17, 18, 19}) {
			t.Errorf("the first at random is %v", off)
		}
		first = false
		for _, i := range off {
			chosen[i]++
		}
	})
	for i, n := range chosen { // 1000 each, with a standard deviation of 27
		if n < 880 || n > 1120 {
			t.Errorf("delivery %d is chosen %d times of 4000", i, n)
		}
	}
}

// Deliveries are relabelled among those of their own film.
func TestRelabelWithinFilms(t *testing.T) {
	names := []string{"a", "b", "b", "b", "a", "a", "b"} // the last three are off-speed
	for _, most := range []int{100, 10} {
		seen := map[string]int{}
		relabel(filmsOf(7, 3, names), most, func(off []int) {
			a := 0
			for _, i := range off {
				if names[i] == "a" {
					a++
				}
			}
			if a != 2 || len(off) != 3 {
				t.Errorf("%v has %d of film a", off, a)
			}
			seen[fmt.Sprint(off)]++
		})
		if most == 100 && len(seen) != 3*4 || len(seen) < 4 {
			t.Errorf("up to %d: %v", most, seen)
		}
	}
}

// Two films on which she looks otherwise only because the phone was moved between them make
// no tell, however the pitches lie on them.
func TestFilmsAreNoTell(t *testing.T) {
	dice := rand.New(rand.NewPCG(4, 4))
	films := map[bool]string{false: "a", true: "b"}
	bullpens, tell, naive := 200, 0, 0
	for range bullpens {
		var fast, off []Delivery
		var names []string
		throw := func(moved bool) Delivery {
			names = append(names, films[moved])
			d := Delivery{make([]float64, 20)}
			for s := range d[0] {
				d[0][s] = dice.NormFloat64()
				if moved {
					d[0][s] += 30
				}
			}
			return d
		}
		for i := range 10 {
			fast = append(fast, throw(i >= 2))
		}
		for i := range 10 {
			off = append(off, throw(i >= 8))
		}
		count := func(of *int, made Origin) {
			if found, _ := find(fast, off, []float64{0}, made, 199); len(found.Tells) > 0 {
				*of++
			}
		}
		count(&tell, Origin{Films: names})
		count(&naive, Origin{})
	}
	if tell > 20 || naive < bullpens/2 { // one in twenty, and luck
		t.Errorf("of %d bullpens %d have a tell, and %d if it is not known what is on which film", bullpens, tell, naive)
	}
}

// What a single delivery did not show is left out, a look that hardly anybody showed is
// not compared, and one at which nothing ever moves makes nothing apart.
func TestCompareWhatIsSeen(t *testing.T) {
	nan := math.NaN()
	fast := [][]float64{{1, 3, nan, 7}, {2, 3, nan, 7}, {3, 3, nan, 7}, {nan, 3, 1, 7}}
	off := [][]float64{{11, 3, 2, 7}, {12, 3, 3, 7}, {13, 3, 1, 7}, {12, 3, 2, 7}}
	c, ok := Compare(fast, off, []Axis{{4, 0}})
	if !ok || c.Relabelled != 70 || c.Features[2].Seen || c.Features[2].Apart {
		t.Fatalf("%+v", c)
	}
	l := c.Features[0]
	// Variances 1 and 2/3 over 3 and 4 (worked by hand).
	if want := 10 / math.Sqrt(1.0/3+2.0/3/4); math.Abs(l.Fast-2) > 1e-12 || math.Abs(l.Off-12) > 1e-12 || math.Abs(l.T-want) > 1e-12 {
		t.Errorf("%+v, want T %v", l, want)
	}
	if c.Features[1].T != 0 || c.Features[1].Off != 3 || c.Features[3].Apart {
		t.Errorf("what never moves differs: %+v", c.Features)
	}
	if _, ok := Compare(fast[:3], off, []Axis{{4, 0}}); ok {
		t.Error("3 fastballs are compared")
	}
}

// Where the chance that a bullpen's pitches share is less than one of the labellings, nothing
// is said however far apart they are, and the chance is never nothing: as they were thrown is
// one of the labellings. Of 4 and 4 on two films there are 6 times 6.
func TestTooFewLabellings(t *testing.T) {
	dice := rand.New(rand.NewPCG(9, 4))
	films := []string{"a", "a", "b", "b", "a", "a", "b", "b"}
	for _, wide := range []float64{0.3, 0.6, 1, 1.5} {
		var fast, off [][]float64
		for range 4 {
			fast = append(fast, []float64{dice.NormFloat64()})
			off = append(off, []float64{50 + wide*dice.NormFloat64()})
		}
		for _, c := range []struct {
			made  Origin
			ways  int
			apart bool
		}{{Origin{}, 70, true}, {Origin{Among: 4}, 70, false}, {Origin{Films: films, Among: 4}, 36, false}} {
			got, ok := compare(fast, off, []Axis{{1, 0}}, c.made, allUpTo)
			if !ok || got.Relabelled != c.ways || got.Features[0].Apart != c.apart || got.Chance < 1/float64(c.ways) {
				t.Errorf("%+v, scattering %v times: %+v", c.made, wide, got)
			}
		}
	}
}

// byR compares in R: Welch's t at each look by t.test, as a normal deviate by Wallace's
// formula, its mean over neighbours, and the maximum over all relabellings by combn, in which
// who was relabelled scatters as the new label does about the mean of all, whose part in the
// difference is made up for (by the residuals of lm).
const byR = `
d <- read.csv(commandArgs(TRUE)[1], header = FALSE)
for (k in unique(d[[1]])) {
  x <- d[d[[1]] == k, ]
  near <- x[1, 3]; off <- which(x[[2]] == 1); n <- nrow(x)
  X <- as.matrix(x[, -(1:3)]); L <- ncol(X)
  stat <- function(X, off) {
    fast <- setdiff(1:n, off)
    z <- sapply(1:L, function(i) {
      w <- t.test(X[off, i], X[fast, i]); t <- w$statistic; v <- w$parameter
      sign(t) * (8 * v + 1) / (8 * v + 3) * sqrt(v * log(1 + t^2 / v))
    })
    sapply(1:L, function(i) mean(z[max(1, i - near):min(L, i + near)]))
  }
  z <- stat(X, off)
  k <- length(off)
  level <- function(Y) mean(log(apply(Y, 2, var) * (nrow(Y) - 1) / 2) - digamma((nrow(Y) - 1) / 2))
  ratio <- exp(level(X[off, ]) - level(X[-off, ]))
  weights <- ifelse(1:n %in% off, 1 / ratio, 1)
  left <- function(o) sum(lm.fit(cbind(sqrt(weights)), ifelse(1:n %in% o, sqrt(ratio) / k, -1 / (n - k)))$residuals^2)
  all <- combn(n, k, function(o) {
    by <- sqrt(ratio)^((1:n %in% o) - (1:n %in% off))
    max(abs(stat(apply(X, 2, function(v) { m <- weighted.mean(v, weights); m + by * (v - m) }), o))) * sqrt(left(off) / left(o))
  })
  bar <- sort(all, decreasing = TRUE)[1 + floor(0.05 * length(all))]
  cat(format(c(z, mean(all >= max(abs(z)) * (1 - 1e-9)), bar), digits = 17), sep = "\n")
}
`

// R finds the same at every look, and by all relabellings the same chance of the
// farthest and the same bar.
func TestCompareAgreesWithR(t *testing.T) {
	dice := rand.New(rand.NewPCG(20, 2))
	var data strings.Builder
	var ours []float64
	const looks = 5
	for k, c := range []struct {
		fast, off, near int
		by, wide        float64
	}{{4, 4, 0, 4, 1}, {5, 4, 0, 1, 0.6}, {4, 4, 1, 3, 2}, {6, 4, 1, 0, 1.5}, {4, 6, 1, 1, 0.4}, {5, 5, 2, 2, 1}} {
		var groups [2][][]float64
		for i := range c.fast + c.off {
			isOff := max(0, min(1, i-c.fast+1))
			row := make([]float64, looks)
			fmt.Fprintf(&data, "%d,%d,%d", k, isOff, c.near)
			for j := range row {
				row[j] = 10 * dice.NormFloat64() * float64(1+j)
				if isOff == 1 {
					row[j] = c.wide*row[j] + 10*c.by
				}
				data.WriteString("," + strconv.FormatFloat(row[j], 'g', -1, 64))
			}
			data.WriteString("\n")
			groups[isOff] = append(groups[isOff], row)
		}
		got, _ := Compare(groups[0], groups[1], []Axis{{looks, c.near}})
		for _, l := range got.Features {
			ours = append(ours, l.Around)
		}
		ours = append(ours, got.Chance, got.Bar)
	}
	evidencetest.AgreesWithR(t, byR, data.String(), 1e-9, ours, "look 0", "look 1", "look 2", "look 3", "look 4", "chance", "bar")
}
