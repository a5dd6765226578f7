package main

import (
	"archive/zip"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// inside runs a program in a place that is not this system: a fresh Debian, or Wine.
type inside struct {
	start  []string // what comes before the program's own command line
	env    []string
	tenoff string // how the program is called there
}

func (in inside) command(ctx context.Context, args ...string) *exec.Cmd {
	line := append(append([]string{}, in.start...), args...)
	fmt.Fprintln(os.Stderr, "+", strings.Join(line, " "))
	cmd := exec.CommandContext(ctx, line[0], line[1:]...)
	cmd.Env = append(os.Environ(), in.env...)
	cmd.Stderr = os.Stderr
	return cmd
}

// says runs tenoff and fails unless it ends with the exit code and prints the words.
func (in inside) says(ctx context.Context, code int, words string, args ...string) error {
	cmd := in.command(ctx, append([]string{in.tenoff}, args...)...)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = io.MultiWriter(&out, os.Stderr), io.MultiWriter(&out, os.Stderr)
	err := cmd.Run()
	if exit := (*exec.ExitError)(nil); err != nil && !errors.As(err, &exit) {
		return err
	}
	if got := cmd.ProcessState.ExitCode(); got != code || !strings.Contains(out.String(), words) {
		return fmt.Errorf("tenoff %s ended with %d, want %d and %q", strings.Join(args, " "), got, code, words)
	}
	return nil
}

// serving starts tenoff on a data folder, waits until health and page answer, does
// what is to be done meanwhile, and ends it.
func (in inside) serving(ctx context.Context, data, address string, meanwhile func() error) error {
	cmd := in.command(ctx, in.tenoff, "serve", "--data", data, "--listen", address)
	if err := cmd.Start(); err != nil {
		return err
	}
	defer func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}()
	const tries = 240 // of a quarter of a second: Wine sets itself up at its first start
	for i := range tries {
		if err := answers(ctx, "http://"+address+"/api/health", `"ok":true`); err == nil {
			break
		} else if i == tries-1 {
			return err
		}
		time.Sleep(time.Second / 4)
	}
	return errors.Join(answers(ctx, "http://"+address+"/", "<title>"), meanwhile())
}

func answers(ctx context.Context, address, words string) error {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return err
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err == nil && (res.StatusCode != http.StatusOK || !strings.Contains(string(body), words)) {
		err = fmt.Errorf("%s answers %s without %s", address, res.Status, words)
	}
	return err
}

// drawFilm makes a film of two seconds with sound.
func drawFilm(ctx context.Context, path string) error {
	return run(ctx, "ffmpeg", "-loglevel", "error", "-y", "-f", "lavfi", "-i", "testsrc2=s=640x360:r=30:d=2", "-f", "lavfi", "-i", "sine=d=2",
		"-c:v", "libx264", "-pix_fmt", "yuv420p", "-c:a", "aac", path)
}

// freshDebian makes a Debian in a folder, from where apt has its packages.
func freshDebian(ctx context.Context, root string) error {
	mirror, err := output(ctx, "apt-get", "indextargets", "--format", "$(REPO_URI)", "Created-By: Packages", "Codename: bookworm", "Component: main")
	if err != nil {
		return err
	}
	from := strings.Fields(string(mirror))
	if len(from) == 0 {
		return errors.New("apt knows no place that bookworm comes from")
	}
	return run(ctx, "debootstrap", "--variant=minbase", "bookworm", root, from[0])
}

// tryDebian installs the package in a fresh Debian, or in the one that lies in root,
// runs it as an ordinary user, installs it again over itself, removes it, and looks at
// what is left.
func tryDebian(ctx context.Context, pack, root string) error {
	if os.Geteuid() != 0 {
		return errors.New("trying the package in a fresh Debian takes root")
	}
	if root == "" {
		var err error
		if root, err = os.MkdirTemp("", "tenoff-debian"); err != nil {
			return err
		}
		defer os.RemoveAll(root)
		if err := os.Chmod(root, 0o755); err != nil { // it becomes everybody's /
			return err
		}
		if err := freshDebian(ctx, root); err != nil {
			return err
		}
	}
	// A program finds what lies beside it by asking /proc where it is itself.
	proc := filepath.Join(root, "proc")
	if err := run(ctx, "mount", "-t", "proc", "proc", proc); err != nil {
		return err
	}
	defer func() { _ = run(context.WithoutCancel(ctx), "umount", proc) }()
	if err := run(ctx, "cp", pack, filepath.Join(root, "tenoff.deb")); err != nil {
		return err
	}
	if err := drawFilm(ctx, filepath.Join(root, "film.mp4")); err != nil {
		return err
	}
	as := func(name string, args ...string) error {
		return runIn(ctx, "/", []string{"DEBIAN_FRONTEND=noninteractive", "HOME=/root"}, "chroot", append([]string{root, name}, args...)...)
	}
	user := inside{start: []string{"chroot", "--userspec=pitch", root, "env", "-i", "HOME=/home/pitch", "PATH=/usr/bin:/bin"}, tenoff: "tenoff"}
	const address = "127.0.0.1:7399"
	install := []string{"-y", "--no-install-recommends", "--reinstall", "install", "/tenoff.deb"}
	steps := []func() error{
		func() error { return as("useradd", "--create-home", "pitch") },
		func() error { return as("apt-get", install...) },
		func() error { return as("dpkg", "--verify", "tenoff") },
		func() error { return user.says(ctx, 0, "tenoff ", "version") },
		func() error { return user.says(ctx, 0, "everything the job needs", "doctor") },
		func() error { return user.says(ctx, 0, "joints               looked for in films", "doctor") },
		func() error {
			return as("sh", "-c", "! ldd /usr/lib/tenoff/joints/libonnxruntime.so.1 | grep 'not found'")
		},
		func() error {
			return user.serving(ctx, "/home/pitch/.local/share/tenoff", address, func() error {
				return user.says(ctx, 1, "Another tenoff works on this data folder", "serve", "--listen", "127.0.0.1:0")
			})
		},
		func() error { return user.says(ctx, 0, "", "add", "--pitcher", "June", "/film.mp4") },
		func() error { return as("apt-get", install...) },
		func() error { return as("apt-get", "-y", "purge", "tenoff") },
		func() error { return left(root) },
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	fmt.Fprintln(os.Stderr, "the package was installed, run and removed in a fresh Debian; her data is still there")
	return nil
}

// left fails if a removed package left something, or took the user's data along.
func left(root string) error {
	if _, err := os.Stat(filepath.Join(root, "home/pitch/.local/share/tenoff/tenoff.db")); err != nil {
		return fmt.Errorf("removing the package took the data along: %w", err)
	}
	for _, pattern := range []string{"usr/bin/tenoff*", "usr/lib/tenoff*", "usr/share/doc/tenoff*", "usr/lib/systemd/user/tenoff*", "var/lib/dpkg/info/tenoff*", "etc/systemd/user/*/tenoff*"} {
		found, err := filepath.Glob(filepath.Join(root, pattern))
		if err != nil || len(found) > 0 {
			return errors.Join(err, fmt.Errorf("the removed package left %v", found))
		}
	}
	return nil
}

// atWindows are the packages that do something of their own on Windows, and which of
// their tests run under Wine too.
var atWindows = map[string]string{"disk": ".", "proc": "Pipe"}

// tryWindows runs the program for Windows under Wine, in a prefix of its own: without
// ffmpeg it says what to install, it serves, and keeps a second one off its data. If
// there is a folder with ffmpeg for Windows, a film is sent to it.
func tryWindows(ctx context.Context, archive, ffmpeg string) error {
	dir, err := os.MkdirTemp("", "tenoff-wine")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	exe, err := unzip(archive, dir)
	if err != nil {
		return err
	}
	prefix := filepath.Join(dir, "wine")
	wine := inside{start: []string{"wine"}, tenoff: exe, env: []string{
		"WINEPREFIX=" + prefix, "WINEDEBUG=-all", "DISPLAY=", "WINEDLLOVERRIDES=mscoree,mshtml="}}
	defer func() { _ = wine.ended(context.WithoutCancel(ctx)) }()
	random := filepath.Join(prefix, "drive_c/windows/system32/bcryptprimitives.dll")
	const address, data = "127.0.0.1:7398", `C:\her data`
	steps := []func() error{
		func() error { return wine.command(ctx, "wineboot", "--init").Run() },
		func() error {
			return run(ctx, "x86_64-w64-mingw32-gcc", "-shared", "-O1", "-o", random, "cmd/dev/wine/bcryptprimitives.c", "-ladvapi32")
		},
		func() error { return wine.says(ctx, 0, "tenoff ", "version") },
		func() error { return wine.says(ctx, 3, "winget install", "doctor") },
		func() error { return wine.says(ctx, 3, `AppData\Local\tenoff`, "doctor") },
		func() error { return wine.tests(ctx, dir) },
	}
	serves := func(meanwhile func() error) error {
		return wine.serving(ctx, data, address, func() error {
			return errors.Join(wine.says(ctx, 1, "Another tenoff works on this data folder", "serve", "--data", data, "--listen", "127.0.0.1:0"), meanwhile())
		})
	}
	steps = append(steps, func() error { return serves(func() error { return nil }) })
	if ffmpeg != "" {
		film := filepath.Join(dir, "film.mp4")
		steps = append(steps, func() error { return drawFilm(ctx, film) }, func() error {
			wine.env = append(wine.env, "WINEPATH=Z:"+strings.ReplaceAll(ffmpeg, "/", `\`))
			return serves(func() error { return filmIn(ctx, "http://"+address, film) })
		})
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	fmt.Fprintln(os.Stderr, "the program for Windows runs under Wine: it says what it lacks, serves, and keeps a second one off its data")
	return nil
}

// tests runs the tests of atWindows there.
func (in inside) tests(ctx context.Context, dir string) error {
	for name, tests := range atWindows {
		path := filepath.Join(dir, name+".test.exe")
		if err := runIn(ctx, ".", append(forSystem("windows"), "CGO_ENABLED=0"), "go", "test", "-c", "-o", path, "./internal/"+name); err != nil {
			return err
		}
		cmd := in.command(ctx, path, "-test.run="+tests)
		cmd.Stdout = os.Stderr
		if err := cmd.Run(); err != nil {
			return fmt.Errorf("the tests of %s: %w", name, err)
		}
	}
	return nil
}

// filmIn sends a film to a server, and waits until it is read.
func filmIn(ctx context.Context, server, film string) error {
	var bullpen struct{ ID string }
	if err := send(ctx, http.MethodPost, server+"/api/bullpens", "application/json", strings.NewReader(`{"pitcherLabel":"June"}`), &bullpen); err != nil {
		return err
	}
	f, err := os.Open(film)
	if err != nil {
		return err
	}
	defer f.Close()
	var came struct {
		Film struct{ ID string }
	}
	if err := send(ctx, http.MethodPut, server+"/api/bullpens/"+bullpen.ID+"/films?name=film.mp4", "application/octet-stream", f, &came); err != nil {
		return err
	}
	const tries = 240 // of a quarter of a second
	var read struct {
		State, Refusal string
		Frames         int
	}
	for range tries {
		if err := send(ctx, http.MethodGet, server+"/api/films/"+came.Film.ID, "", nil, &read); err != nil {
			return err
		}
		if read.State != "reading" {
			break
		}
		time.Sleep(time.Second / 4)
	}
	if read.State != "ready" || read.Frames != 60 {
		return fmt.Errorf("a film of 60 frames is %s with %d frames: %s", read.State, read.Frames, read.Refusal)
	}
	return nil
}

// send sends a request and reads its answer into a value.
func send(ctx context.Context, method, address, kind string, body io.Reader, into any) error {
	req, err := http.NewRequestWithContext(ctx, method, address, body)
	if err != nil {
		return err
	}
	req.Header.Set("Content-Type", kind)
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode >= http.StatusBadRequest {
		err = fmt.Errorf("%s %s: %s %s", method, address, res.Status, text)
	}
	return cmp.Or(err, json.Unmarshal(text, into))
}

// ended waits for the end of what Wine left running in its prefix.
func (in inside) ended(ctx context.Context) error {
	in.start = nil
	return in.command(ctx, "wineserver", "-k").Run()
}

// unzip unpacks an archive's files into dir and returns the program's path.
func unzip(archive, dir string) (exe string, err error) {
	r, err := zip.OpenReader(archive)
	if err != nil {
		return "", err
	}
	defer r.Close()
	for _, f := range r.File {
		from, err := f.Open()
		if err != nil {
			return "", err
		}
		body, err := io.ReadAll(from)
		path := filepath.Join(dir, filepath.Base(f.Name))
		if err = errors.Join(err, from.Close()); err == nil {
			err = os.WriteFile(path, body, f.Mode())
		}
		if err != nil {
			return "", err
		}
		if filepath.Ext(path) == ".exe" {
			exe = path
		}
	}
	return exe, nil
}
