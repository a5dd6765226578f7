package clip

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/proc"
)

// Run makes the clip and publishes it as dest by rename: dest is complete or not
// there, and nothing else is left beside it. progress, when not nil, is told the
// share done, in [0, 1] and rising. The error is ctx's when that ended, else a
// *bullpen.Error.
func Run(ctx context.Context, p Plan, dest string, progress func(float64)) (err error) {
	dest, err = filepath.Abs(dest)
	if err != nil {
		return failed(err)
	}
	dir, err := os.MkdirTemp(filepath.Dir(dest), ".clip-")
	if err != nil {
		return failed(err)
	}
	defer disk.RemoveAll(dir)
	if err := p.write(dir); err != nil {
		return failed(err)
	}
	if err := encode(ctx, p, dir, progress); err != nil {
		return err
	}
	made := filepath.Join(dir, outputName)
	if err := persist(made); err != nil {
		return failed(err)
	}
	if err := os.Rename(made, dest); err != nil {
		return failed(err)
	}
	if progress != nil {
		progress(1)
	}
	return nil
}

// write puts what ffmpeg reads beside the film into dir. The fonts are all the
// renderer finds: a machine's own ones are kept from it.
func (p Plan) write(dir string) error {
	files := append([]File{{fontsConfig, []byte("<fontconfig></fontconfig>\n")}}, p.Files...)
	for _, f := range files {
		path := filepath.Join(dir, f.Name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.Data, 0o600); err != nil {
			return err
		}
	}
	return nil
}

const fontsConfig = "fonts.conf"

func encode(ctx context.Context, p Plan, dir string, progress func(float64)) error {
	args := []string{"-hide_banner", "-nostdin", "-loglevel", "error", "-copyts"}
	args = append(append(args, proc.ProgressFlags()...), p.Args...)
	most := 0.0
	cmd := proc.Cmd{
		Name: "ffmpeg", Args: append(args, outputName), Dir: dir,
		Env: []string{"FONTCONFIG_FILE=" + filepath.Join(dir, fontsConfig)},
		Progress: func(r proc.Progress) {
			if progress == nil || p.Length <= 0 {
				return
			}
			most = max(most, min(float64(r.Time)/float64(p.Length), 1))
			progress(most)
		},
		// A clip is seconds long: what takes longer than this has stalled.
		Limit: 10*time.Minute + 20*p.Length,
	}
	_, err := proc.Run(ctx, cmd)
	missing, isMissing := errors.AsType[*proc.MissingError](err)
	switch {
	case err == nil:
		return nil
	case context.Cause(ctx) != nil:
		return context.Cause(ctx)
	case isMissing:
		return &bullpen.Error{Code: bullpen.Unavailable, Message: missing.Error(), Err: err}
	case proc.Said(err, "No space left on device"):
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "There is no room left on the disk for this clip; free some and try again.", Err: err}
	}
	return failed(fmt.Errorf("%w (%q)", err, args))
}

func failed(err error) error {
	return &bullpen.Error{Code: bullpen.Internal, Message: "This clip could not be made; the log has the details. Try again, and if it fails again check that the film still plays.", Err: err}
}

// persist makes sure that a file survives a power cut.
func persist(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0) // Windows flushes only what may be written
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}
