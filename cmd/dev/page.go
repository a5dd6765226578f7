package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
)

const (
	pageDir = "web"
	apiFile = outDir + "/openapi.json"
)

// buildPage installs the page's packages when its lock file changed, writes the
// API's description, generates the client's types from it, and bundles the page.
func buildPage(ctx context.Context) error {
	if err := installPage(ctx); err != nil {
		return err
	}
	if err := os.MkdirAll(outDir, 0o755); err != nil {
		return err
	}
	doc, err := output(ctx, "go", "run", goTags, "./cmd/tenoff", "openapi")
	if err != nil {
		return err
	}
	if err := os.WriteFile(apiFile, doc, 0o644); err != nil {
		return err
	}
	api, err := filepath.Abs(apiFile)
	if err != nil {
		return err
	}
	if err := npm(ctx, []string{"OPENAPI=" + api}, "run", "types"); err != nil {
		return err
	}
	return npm(ctx, nil, "run", "build")
}

func checkPage(ctx context.Context) error { return npm(ctx, nil, "run", "check") }

func testPage(ctx context.Context) error { return npm(ctx, nil, "test") }

func npm(ctx context.Context, env []string, args ...string) error {
	return runIn(ctx, pageDir, append(env, "npm_config_update_notifier=false"), "npm", args...)
}

// installPage runs npm ci only when the lock file is not the one that was
// installed last.
func installPage(ctx context.Context) error {
	lock, err := os.ReadFile(filepath.Join(pageDir, "package-lock.json"))
	if err != nil {
		return fmt.Errorf("the page's lock file: %w", err)
	}
	sum := sha256.Sum256(lock)
	want := hex.EncodeToString(sum[:])
	stamp := filepath.Join(pageDir, "node_modules", ".lock-sha256")
	if have, err := os.ReadFile(stamp); err == nil && string(have) == want {
		return nil
	}
	if err := npm(ctx, nil, "ci", "--no-audit", "--no-fund"); err != nil {
		return err
	}
	return os.WriteFile(stamp, []byte(want), 0o644)
}
