package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"text/tabwriter"

	"tenoff/internal/ledger"
)

// columns says what each column means: those that cut reads, and those of reps.csv.
func columns(_ context.Context, io streams, flags *flag.FlagSet, args []string) error {
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	return writeColumns(io.out)
}

func writeColumns(w io.Writer) error {
	fmt.Fprintln(w, "REPS.csv, which cut reads: time or frame, pitch and reading are needed, the others may be left out.")
	if err := writeList(w, ledger.Read); err != nil {
		return err
	}
	fmt.Fprintln(w, "\nreps.csv, which cut and the page write; reps.json has the same fields. cut reads it back.")
	return writeList(w, ledger.Columns)
}

func writeList(w io.Writer, columns []ledger.Column) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range columns {
		fmt.Fprintf(table, "  %s\t%s\n", c.Name, c.Meaning)
	}
	return table.Flush()
}
