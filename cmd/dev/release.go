package main

import (
	"bytes"
	"cmp"
	"context"
	"debug/buildinfo"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"tenoff/internal/joints/parts"
)

const releaseDir = outDir + "/release"

// release makes what is installed without a compiler: Debian's package, an archive
// for other Linux systems, and one for Windows. With -try they are installed and run.
func release(ctx context.Context, args []string) error {
	flags := flag.NewFlagSet("release", flag.ContinueOnError)
	try := flags.Bool("try", false, "install and run the packages too: in a fresh Debian, and under Wine")
	root := flags.String("debian", "", "with -try: a `FOLDER` with a fresh Debian that debootstrap made, instead of making one")
	ffmpeg := flags.String("ffmpeg", "", "with -try: a `FOLDER` with ffmpeg.exe and ffprobe.exe, with which a film is taken in under Wine")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *ffmpeg != "" {
		var err error
		if *ffmpeg, err = filepath.Abs(*ffmpeg); err != nil {
			return err
		}
	}
	if runtime.GOOS != "linux" || runtime.GOARCH != "amd64" {
		return errors.New("releases are made on Linux on amd64")
	}
	tools := append(toolsToRun(), toolsToRelease()...)
	if *try {
		tools = append(tools, toolsToTry()...)
	}
	if err := install(ctx, tools); err != nil {
		return err
	}
	if err := buildPage(ctx); err != nil {
		return err
	}
	if err := os.MkdirAll(releaseDir, 0o755); err != nil {
		return err
	}
	version, when, err := commit(ctx)
	if err != nil {
		return err
	}
	linux, err := forLinux(ctx, version, when)
	if err != nil {
		return err
	}
	windows, err := forWindows(ctx, version, when)
	if err != nil || !*try {
		return err
	}
	return errors.Join(tryDebian(ctx, linux, *root), tryWindows(ctx, windows, *ffmpeg))
}

// forSystem is the environment in which go builds for a system.
func forSystem(system string) []string {
	env := []string{"CGO_ENABLED=1", "GOARCH=amd64", "GOOS=" + system}
	if system == "windows" {
		env = append(env, "CC=x86_64-w64-mingw32-gcc")
	}
	return env
}

// built is a program as it is handed on, with what goes with it.
type built struct {
	version               string
	when                  time.Time // the commit's
	exe, readme, licences []byte
	joints                []piece // what finds joints, by their names in parts.Folder; none for a system without
}

// commit says which version is released, and of when it is: the tag of this commit, or
// else a version before all tagged ones by its time, as Go writes it.
func commit(ctx context.Context) (version string, when time.Time, err error) {
	said, err := output(ctx, "git", "log", "-1", "--format=%ct %H")
	if err != nil {
		return "", when, err
	}
	var seconds int64
	var hash string
	if _, err := fmt.Sscan(string(said), &seconds, &hash); err != nil {
		return "", when, fmt.Errorf("git says of this commit %q: %w", said, err)
	}
	when = time.Unix(seconds, 0).UTC()
	tag, err := output(ctx, "git", "tag", "--points-at=HEAD", "--list", "v[0-9]*", "--sort=-version:refname")
	if err != nil {
		return "", when, err
	}
	changed, err := output(ctx, "git", "status", "--porcelain")
	if err != nil {
		return "", when, err
	}
	version, _, _ = strings.Cut(string(tag), "\n")
	version = cmp.Or(version, "v0.0.0-"+when.Format("20060102150405")+"-"+hash[:min(12, len(hash))])
	if len(changed) > 0 {
		version += "+dirty"
	}
	return version, when, nil
}

// buildFor builds the program for a system, stripped, and gives it its version.
func buildFor(ctx context.Context, system, version string, when time.Time) (b built, err error) {
	b.version, b.when = version, when
	path := filepath.Join(releaseDir, "tenoff-"+system)
	if err := runIn(ctx, ".", forSystem(system), "go", "build", goTags, "-trimpath", "-ldflags=-s -w -X=main.released="+b.version, "-o", path, "./cmd/tenoff"); err != nil {
		return b, err
	}
	info, err := buildinfo.ReadFile(path)
	if err != nil {
		return b, err
	}
	if b.exe, err = os.ReadFile(path); err != nil {
		return b, err
	}
	if b.readme, err = os.ReadFile("README.md"); err != nil {
		return b, err
	}
	if b.licences, err = licences(ctx, b.version, system); err != nil {
		return b, err
	}
	for _, m := range info.Deps { // the program's own word for what is linked in
		if !bytes.Contains(b.licences, []byte("\n  "+m.Path+" "+m.Version+"\n")) {
			return b, fmt.Errorf("%s is linked in, but the licence notes don't have it", m.Path)
		}
	}
	return b, os.Remove(path)
}

// pieces are the files of an archive for a system, in a folder of its own.
func (b built) pieces(exe string, more ...piece) []piece {
	folder := "tenoff-" + b.version + "/"
	list := append([]piece{
		{exe, 0o755, b.exe},
		{"README.md", 0o644, b.readme},
		{"LICENCES.txt", 0o644, b.licences},
	}, more...)
	for _, p := range b.joints {
		list = append(list, piece{parts.Folder + "/" + p.name, p.mode, p.body})
	}
	for i := range list {
		list[i].name = folder + list[i].name
	}
	return list
}

// forLinux makes the packages for Linux and returns Debian's.
func forLinux(ctx context.Context, version string, when time.Time) (string, error) {
	b, err := buildFor(ctx, "linux", version, when)
	if err != nil {
		return "", err
	}
	if b.joints, err = jointsPieces(ctx); err != nil {
		return "", err
	}
	archive, err := tarGz(b.pieces("tenoff"), b.when)
	if err != nil {
		return "", err
	}
	if _, err := put("tenoff-"+b.version+"-linux-amd64.tar.gz", archive); err != nil {
		return "", err
	}
	pack, err := deb(b, "amd64")
	if err != nil {
		return "", err
	}
	return put("tenoff_"+debianVersion(b.version)+"_amd64.deb", pack)
}

// startCmd is what is double-clicked on Windows, where a program's window closes with
// it and would take the reason along.
const startCmd = "@echo off\r\n\"%~dp0tenoff.exe\" serve\r\npause\r\n"

// forWindows makes the archive for Windows and returns it.
func forWindows(ctx context.Context, version string, when time.Time) (string, error) {
	b, err := buildFor(ctx, "windows", version, when)
	if err != nil {
		return "", err
	}
	archive, err := zipped(b.pieces("tenoff.exe", piece{"start.cmd", 0o644, []byte(startCmd)}), b.when)
	if err != nil {
		return "", err
	}
	return put("tenoff-"+b.version+"-windows-amd64.zip", archive)
}

// put writes a package and says so.
func put(name string, body []byte) (string, error) {
	path := filepath.Join(releaseDir, name)
	fmt.Fprintf(os.Stderr, "made %s, %.1f MB\n", path, float64(len(body))/1e6)
	return path, os.WriteFile(path, body, 0o644)
}
