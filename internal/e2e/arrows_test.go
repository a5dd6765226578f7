// Package e2e holds tests only: of the whole program, from outside.
package e2e

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "tenoff/"

// arrows says which of our packages each package may import. Dependencies run one
// way, towards plain data; a package that isn't listed may not exist.
var arrows = map[string][]string{
	"internal/evidence":      {},
	"internal/bullpen":       {"internal/evidence"},
	"internal/peak":          {},
	"internal/posture":       {"internal/bullpen", "internal/evidence"},
	"internal/rhythm":        {},
	"internal/align":         {"internal/peak"},
	"internal/tells":         {},
	"internal/tempo":         {"internal/bullpen", "internal/evidence", "internal/peak", "internal/align", "internal/trace"},
	"internal/trace":         {"internal/bullpen", "internal/peak", "internal/align"},
	"internal/trust":         {"internal/bullpen", "internal/evidence", "internal/tempo"},
	"internal/caption":       {"internal/bullpen", "internal/texts"},
	"internal/ledger":        {"internal/bullpen", "internal/judged", "internal/posture", "internal/tempo"},
	"internal/proc":          {},
	"internal/throttle":      {},
	"internal/disk":          {},
	"internal/blob":          {"internal/bullpen", "internal/disk"},
	"internal/blob/s3test":   {},
	"internal/blob/s3server": {},
	"internal/postgres":      {"internal/bullpen"},
	"internal/errand":        {},
	"internal/store":         {"internal/bullpen", "internal/disk", "internal/errand", "internal/postgres"},
	"internal/vitals":        {"internal/store"},
	"internal/store/million": {},

	"internal/postgres/cluster": {},

	"internal/jobs":          {"internal/bullpen", "internal/errand", "internal/proc", "internal/store"},
	"internal/film":          {"internal/bullpen", "internal/proc", "internal/trace", "internal/disk"},
	"internal/clip":          {"internal/bullpen", "internal/proc", "internal/film", "internal/caption", "internal/disk", "internal/texts"},
	"internal/backup":        {"internal/bullpen", "internal/store", "internal/blob", "internal/disk"},
	"internal/propose":       {"internal/bullpen", "internal/posture", "internal/store", "internal/jobs", "internal/blob", "internal/trace", "internal/tempo"},
	"internal/field":         {"internal/bullpen", "internal/rhythm", "internal/propose", "internal/store"},
	"internal/intake":        {"internal/bullpen", "internal/film", "internal/store", "internal/jobs", "internal/blob", "internal/trace", "internal/throttle", "internal/disk"},
	"internal/shelf":         {"internal/bullpen", "internal/film", "internal/clip", "internal/caption", "internal/store", "internal/jobs", "internal/blob", "internal/ledger", "internal/posture", "internal/tempo", "internal/trace", "internal/judged", "internal/texts", "internal/disk"},
	"internal/texts":         {},
	"internal/judged":        {"internal/bullpen", "internal/posture", "internal/texts", "internal/propose", "internal/store", "internal/tells", "internal/tempo", "internal/trace", "internal/trust"},
	"internal/deliverysheet": {"internal/bullpen", "internal/blob", "internal/caption", "internal/film", "internal/judged", "internal/posture", "internal/texts", "internal/tempo"},
	"internal/homework":      {"internal/bullpen", "internal/blob", "internal/disk", "internal/texts", "internal/store", "internal/intake"},
	"internal/passphrase":    {"internal/bullpen"},
	"internal/demo":          {"internal/bullpen", "internal/proc", "internal/demo/motion", "internal/demo/paint", "internal/demo/sound"},
	"internal/demo/motion":   {},
	"internal/demo/paint":    {"internal/demo/motion"},
	"internal/demo/sound":    {},
	"internal/demo/demotest": {"internal/demo"},
	"internal/film/filmtest": {"internal/proc"},
	"internal/server/wire":   {"internal/bullpen", "internal/posture", "internal/field", "internal/trust", "internal/tempo"},
	"internal/server": {
		"internal/bullpen", "internal/errand", "internal/tempo", "internal/trace", "internal/trust", "internal/caption",
		"internal/joints", "internal/posture", "internal/ledger", "internal/proc", "internal/blob", "internal/store", "internal/jobs", "internal/film",
		"internal/clip", "internal/intake", "internal/shelf", "internal/backup", "internal/propose", "internal/field", "internal/judged", "internal/deliverysheet", "internal/homework", "internal/passphrase", "internal/texts", "internal/server/wire",
	},
	"internal/e2e": {},
	"web":          {},
	"cmd/dev":      {"internal/joints/parts", "internal/blob/s3server"},

	"internal/joints":         {"internal/bullpen", "internal/film", "internal/joints/parts", "internal/posture"},
	"internal/joints/convert": {},
	"internal/joints/parts":   {"internal/joints/convert"},

	"internal/evidence/evidencetest": {"internal/proc"},
	"internal/posture/posturetest":   {"internal/bullpen", "internal/posture"},
}

// pure packages compute: no file, process, network, database or log.
var pure = []string{"internal/bullpen", "internal/evidence", "internal/joints/convert", "internal/joints/parts", "internal/peak", "internal/posture", "internal/rhythm", "internal/align", "internal/tells", "internal/tempo", "internal/trace", "internal/trust"}

// outside is what a pure package does not import.
var outside = []string{"os", "net", "database", "log", "syscall", "io/fs", "path/filepath", "embed"}

type listed struct {
	ImportPath string
	Imports    []string
}

// TestArrows fails on an import that the house's plan has no arrow for.
func TestArrows(t *testing.T) {
	packages := list(t)
	if len(packages) < 10 {
		t.Fatalf("go list names only %d of our packages", len(packages))
	}
	for _, p := range packages {
		name := strings.TrimPrefix(p.ImportPath, module)
		allowed, known := arrows[name]
		if !known && name != "cmd/tenoff" {
			t.Errorf("%s has no place in the plan: add it to arrows", name)
			continue
		}
		for _, imported := range p.Imports {
			ours, is := strings.CutPrefix(imported, module)
			switch {
			case is && name != "cmd/tenoff" && !slices.Contains(allowed, ours):
				t.Errorf("%s imports %s: there is no such arrow", name, ours)
			case imported == "os/exec" && name != "internal/proc" && name != "cmd/dev" && name != "internal/postgres/cluster" && name != "internal/blob/s3server": // servers, for tests
				t.Errorf("%s imports os/exec: only internal/proc starts processes", name)
			case slices.Contains(pure, name) && reaches(imported):
				t.Errorf("%s imports %s: it only computes", name, imported)
			}
		}
	}
}

// reaches reports whether a package of the standard library lies outside pure
// computation.
func reaches(imported string) bool {
	return slices.ContainsFunc(outside, func(o string) bool {
		return imported == o || strings.HasPrefix(imported, o+"/")
	})
}

// list returns our packages as go list sees them.
func list(t *testing.T) []listed {
	t.Helper()
	var stderr bytes.Buffer
	cmd := exec.Command("go", "list", "-deps", "-json=ImportPath,Imports", "tenoff/...")
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	var ours []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			return ours
		}
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(p.ImportPath, module) {
			ours = append(ours, p)
		}
	}
}
