package demotest

import (
	"fmt"
	"io"
	"slices"
	"text/tabwriter"
)

// Figure is one figure over many films.
type Figure struct {
	What     string // with its unit: "worst legs contrast, log"
	Measured float64
	Of       int // how many it was measured on
	limit    float64
	least    bool // the limit is the least that it may be, else the most
}

// AtLeast returns a figure that has to reach a limit.
func AtLeast(what string, limit, measured float64, of int) Figure {
	return Figure{what, measured, of, limit, true}
}

// AtMost returns a figure that must not pass a limit.
func AtMost(what string, limit, measured float64, of int) Figure {
	return Figure{what, measured, of, limit, false}
}

// Holds says whether the figure is as wanted; one that was measured on nothing is not, see
// Measured.
func (f Figure) Holds() bool {
	switch {
	case f.Of == 0:
		return false
	case f.least:
		return f.Measured >= f.limit
	}
	return f.Measured <= f.limit
}

func (f Figure) wanted() string {
	if f.least {
		return fmt.Sprintf(">= %.4g", f.limit)
	}
	return fmt.Sprintf("<= %.4g", f.limit)
}

// String says it in one line, as a failure.
func (f Figure) String() string {
	return fmt.Sprintf("%s: %.4g of %d, wanted %s", f.What, f.Measured, f.Of, f.wanted())
}

// Measured returns the figures that were measured on anything: all that a run over only
// some of the films can be held to.
func Measured(figures []Figure) []Figure {
	return slices.DeleteFunc(slices.Clone(figures), func(f Figure) bool { return f.Of == 0 })
}

// Print writes figures as a table.
func Print(to io.Writer, figures []Figure) {
	w := tabwriter.NewWriter(to, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "figure\twanted\tmeasured\ton\t")
	for _, f := range figures {
		short := ""
		if !f.Holds() {
			short = "short"
		}
		fmt.Fprintf(w, "%s\t%s\t%.4g\t%d\t%s\n", f.What, f.wanted(), f.Measured, f.Of, short)
	}
	w.Flush()
}
