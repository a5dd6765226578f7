package store

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// same fails if err is not nil or got differs from want.
func same(t testing.TB, got, want any, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("differs (-want +got):\n%s", diff)
	}
}
