package demotest

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"tenoff/internal/demo"
)

// What was measured is measured once, and carries the drawing that it was measured of.
func TestKept(t *testing.T) {
	folder, measured := t.TempDir(), 0
	for range 2 {
		got, err := Kept(folder, "motion", demo.Options{Seed: 7}, func() ([]byte, error) {
			measured++
			return []byte("seen"), nil
		})
		if err != nil || string(got) != "seen" {
			t.Fatalf("%q, %v", got, err)
		}
	}
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	if of := fmt.Sprintf(".d%d.motion", demo.Drawing); measured != 1 || len(files) != 1 || !strings.HasSuffix(files[0].Name(), of) {
		t.Errorf("measured %d times, kept as %v", measured, files)
	}
}
