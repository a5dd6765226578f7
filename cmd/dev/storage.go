package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"

	"tenoff/internal/blob/s3server"
)

// buildStorage builds the object storage at its first use: a minute on a machine that has
// compiled none of it. It is a program beside tenoff's own and stands in no go.mod of ours;
// Go's checksum database vouches for its version.
func buildStorage(ctx context.Context, _ []string) error {
	if _, err := s3server.Built(); err == nil {
		return nil
	}
	into, err := filepath.Abs(filepath.FromSlash(s3server.Folder))
	if err != nil {
		return err
	}
	return runIn(ctx, ".", []string{"GOBIN=" + into}, "go", "install", s3server.Module+"@"+s3server.Version)
}

// startStorage starts it over a folder that is made.
func startStorage(ctx context.Context, dir string) (*s3server.Server, error) {
	if err := os.Mkdir(dir, 0o700); err != nil {
		return nil, err
	}
	// Ctrl-C is ours to pass on.
	return s3server.Start(ctx, dir, func(cmd *exec.Cmd) { cmd.SysProcAttr = apart() })
}
