package main

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
)

// clockAhead is the variable by which a program that was built with clocks apart goes ahead
// of this machine's clock, a duration in whole seconds; see TestClocksApart.
const clockAhead = "CLOCK_AHEAD"

// testClocks runs the test of machines whose clocks differ. A clock can't be set for one
// process alone, and Go's programs read it past every library that could be put in between:
// so the test and all it starts are built with a time.Now that adds the difference. All of Go
// is compiled anew for that, which takes minutes.
func testClocks(ctx context.Context, args []string) error {
	overlay, err := clocksApart(ctx)
	if err != nil {
		return err
	}
	flags := []string{"test", goTags, "-overlay", overlay, "./cmd/tenoff", "-run", "^TestClocksApart$", "-v", "-count=1", "-timeout=1h", "-clocks"}
	return run(ctx, "go", append(flags, args...)...)
}

// clocksApart writes Go's time package with the difference in it beside an overlay for the
// build (`go help build`, -overlay), and returns the overlay's path.
func clocksApart(ctx context.Context) (overlay string, err error) {
	root, err := output(ctx, "go", "env", "GOROOT")
	if err != nil {
		return "", err
	}
	original := filepath.Join(strings.TrimSpace(string(root)), "src", "time", "time.go")
	text, err := os.ReadFile(original)
	if err != nil {
		return "", err
	}
	const reads = "func Now() Time {\n\tsec, nsec, mono := runtimeNow()\n"
	if strings.Count(string(text), reads) != 1 {
		return "", errors.New("this version of Go reads the clock otherwise; see time.Now and put that into cmd/dev/clocks.go")
	}
	changed := strings.Replace(string(text), reads, reads+"\tsec += ahead\n", 1)
	changed = strings.Replace(changed, "import (\n", "import (\n\t\"syscall\"\n", 1) + `
var ahead = func() int64 {
	text, _ := syscall.Getenv("` + clockAhead + `")
	by, _ := ParseDuration(text)
	return int64(by / Second)
}()
`
	dir, err := filepath.Abs(filepath.Join(outDir, "clocks"))
	if err != nil {
		return "", err
	}
	replaced := filepath.Join(dir, "time.go")
	plan, err := json.Marshal(map[string]map[string]string{"Replace": {original: replaced}})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(dir, "overlay.json")
	return overlay, errors.Join(os.MkdirAll(dir, 0o700), os.WriteFile(replaced, []byte(changed), 0o600), os.WriteFile(overlay, plan, 0o600))
}
