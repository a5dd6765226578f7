package main

import "context"

// test sets the machine up and runs everything. The program is compiled before
// the page exists, because it must compile then too.
func test(ctx context.Context, args []string) error {
	if err := setup(ctx, nil); err != nil {
		return err
	}
	steps := []func(context.Context) error{
		func(ctx context.Context) error { return run(ctx, "go", "build", goTags, "./...") },
		buildPage,
		checkPage,
		testPage,
		lintGo,
		buildJoints,
		buildProgram,
		func(ctx context.Context) error { return buildStorage(ctx, nil) },
	}
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return err
		}
	}
	if len(args) == 0 {
		args = []string{"./..."}
	}
	// -p 1 would be slower, but two packages that encode films at once already
	// fill two cores. go vet has run above, over the tests too. A result from the cache
	// would say nothing of the program that the tests of the whole build and start: Go
	// does not see that they do.
	flags := []string{"test", goTags, "-race", "-vet=off", "-count=1", "-p=2", "-timeout=20m"}
	for _, p := range arithmetic {
		flags = append(flags, "-gcflags="+p+"=-race=false")
	}
	return run(ctx, "go", append(flags, args...)...)
}

// arithmetic is code that works through pictures, sound, odds or bytes value by value, which
// the race detector makes many times as slow. It starts nothing that runs beside it, but
// for a backdrop's rows, each drawn by one alone. All that calls it is watched.
var arithmetic = []string{
	"tenoff/internal/demo/motion", "tenoff/internal/demo/paint", "tenoff/internal/demo/sound",
	"tenoff/internal/evidence", "tenoff/internal/peak", "tenoff/internal/posture", "tenoff/internal/rhythm", "tenoff/internal/align", "tenoff/internal/tells", "tenoff/internal/trace",
	"golang.org/x/crypto/argon2", "golang.org/x/crypto/blake2b",
}

func lintGo(ctx context.Context) error {
	if err := run(ctx, "go", "vet", goTags, "./..."); err != nil {
		return err
	}
	return run(ctx, "go", "tool", "staticcheck", goTags, "./...")
}

func buildProgram(ctx context.Context) error {
	return run(ctx, "go", "build", goTags, "-trimpath", "-o", program, "./cmd/tenoff")
}
