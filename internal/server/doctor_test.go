package server

import (
	"strings"
	"testing"
)

// Where there is no ffmpeg, nothing is said of what it can do.
func TestDoctorWithoutFFmpeg(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	d, err := Tools(t.Context())
	if err != nil || d.OK || len(d.Checks) < 3 {
		t.Fatalf("%+v, %v", d, err)
	}
	for i, c := range d.Checks[:3] {
		if c.OK || (i < 2) != strings.Contains(c.Todo, "is not installed") {
			t.Errorf("%+v", c)
		}
	}
}
