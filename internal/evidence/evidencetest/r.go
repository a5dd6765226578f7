// Package evidencetest holds numbers of ours against those of another program.
package evidencetest

import (
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/proc"
)

// AgreesWithR holds ours against the numbers that an R program prints from data, a file
// whose path is its first argument: as many of them, each within that share of its size, or
// of 1 if it is smaller. names name the numbers of a case, over and over.
func AgreesWithR(t *testing.T, program, data string, within float64, ours []float64, names ...string) {
	t.Helper()
	dir := t.TempDir()
	file, script := filepath.Join(dir, "data.csv"), filepath.Join(dir, "another.R")
	for path, text := range map[string]string{file: data, script: program} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out []byte
	_, err := proc.Run(t.Context(), proc.Cmd{Name: "Rscript", Args: []string{"--vanilla", script, file}, Stdout: func(r io.Reader) (err error) {
		out, err = io.ReadAll(r)
		return err
	}})
	if err != nil {
		t.Fatalf("R (go run ./cmd/dev setup installs it): %v", err)
	}
	theirs := strings.Fields(string(out))
	if len(theirs) != len(ours) {
		t.Fatalf("R said %d numbers, want %d", len(theirs), len(ours))
	}
	for i, word := range theirs {
		want, err := strconv.ParseFloat(word, 64)
		// Not "is further off": what is no number is within nothing.
		if near := math.Abs(ours[i]-want) <= within*max(1, math.Abs(want)); err != nil || !near {
			t.Errorf("case %d, %s: %.15g, R says %s", i/len(names), names[i%len(names)], ours[i], word)
		}
	}
}
