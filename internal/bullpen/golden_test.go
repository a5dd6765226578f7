package bullpen

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// golden reads a table of facts from outside. Its header says where they come from.
func golden(t *testing.T, name string) []map[string]string {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", "testdata", "golden", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	in := csv.NewReader(file)
	in.Comment = '#'
	records, err := in.ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%s has %d lines: %v", name, len(records), err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// near fails unless got lies within tolerance of want.
func near[F ~float64](t *testing.T, what string, got, want F, tolerance float64) {
	t.Helper()
	if !(math.Abs(float64(got-want)) <= tolerance) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, tolerance)
	}
}

// strd returns a set of NIST's Statistical Reference Datasets.
func strd(t *testing.T, set string) []float64 {
	t.Helper()
	base := map[string]float64{"numacc2": 1, "numacc3": 1e6, "numacc4": 1e7}[set]
	switch {
	case set == "numacc1":
		return []float64{10000001, 10000003, 10000002}
	case base > 0:
		xs := []float64{base + 0.2}
		for range 500 {
			xs = append(xs, base+0.1, base+0.3)
		}
		return xs
	}
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "golden", "strd", set+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	var xs []float64
	for line := range strings.Lines(string(raw)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		for _, field := range strings.Fields(line) {
			xs = append(xs, float(t, field))
		}
	}
	return xs
}
