package e2e

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// judging is a call of what only internal/judged may call: everybody else reads what it
// says, so that one fact has one value wherever it is shown.
var judging = regexp.MustCompile(`\b(bullpen\.Judge|tempo\.Assess|trust\.Evaluate|trust\.TrendOf)\(`)

// TestOnePlaceJudges looks through the program's sources for somebody else who judges.
func TestOnePlaceJudges(t *testing.T) {
	seen := 0
	for _, root := range []string{"../../internal", "../../cmd"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			found := judging.FindAllString(string(text), -1)
			if filepath.Base(filepath.Dir(path)) == "judged" {
				seen += len(found)
			} else if len(found) > 0 {
				t.Errorf("%s calls %s: read it from internal/judged", path, found)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if seen < 4 {
		t.Errorf("internal/judged calls them %d times; are they called otherwise now?", seen)
	}
}
