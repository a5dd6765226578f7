package demotest

import (
	"fmt"
	"io"
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

// Holds says whether the figure is as wanted; one that was measured on nothing is.
func (f Figure) Holds() bool {
	switch {
	case f.Of == 0:
		return true
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

// Print writes figures as a table; those that were measured on nothing are left out.
func Print(to io.Writer, figures []Figure) {
	w := tabwriter.NewWriter(to, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "figure\twanted\tmeasured\ton\t")
	for _, f := range figures {
		if f.Of == 0 {
			continue
		}
		short := ""
		if !f.Holds() {
			short = "short"
		}
		fmt.Fprintf(w, "%s\t%s\t%.4g\t%d\t%s\n", f.What, f.wanted(), f.Measured, f.Of, short)
	}
	w.Flush()
}
