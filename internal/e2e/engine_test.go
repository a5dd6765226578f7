package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// engine is a kind of browser that the page is tried in. All of them are led by the
// commands of the W3C's WebDriver; only the way there differs.
type engine struct {
	name  string
	start func(*testing.T) line
	lacks []string // what can't be tried in it
}

const paper = "has no command to print"

var engines = []engine{{"Chromium", startChromium, nil}, {"Firefox", startFirefox, nil}, {"WebKit", startWebKit, []string{paper}}}

// open starts the browser, at its one tab.
func (e engine) open(t *testing.T) *window {
	t.Helper()
	w := &window{t: t, line: e.start(t)}
	w.run(setTimeouts, map[string]any{"script": patience.Milliseconds(), "pageLoad": patience.Milliseconds()}, nil)
	return w
}

func startChromium(t *testing.T) line {
	port := freePort(t)
	spawn(t, nil, "chromedriver", "--port="+port)
	return overHTTP(t, port, map[string]any{"goog:chromeOptions": map[string]any{
		"binary": chromium(t),
		"args": []string{
			"--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking", "--disable-component-update",
			"--disable-sync", "--autoplay-policy=no-user-gesture-required", "--window-size=1200,900", "--user-data-dir=" + t.TempDir(),
		},
	}})
}

// startFirefox leads Firefox by its own protocol, Marionette, which is WebDriver over a
// plain connection: Debian has no driver for it beside.
func startFirefox(t *testing.T) line {
	profile := t.TempDir()
	prefs := map[string]any{
		"marionette.port": 0, "media.autoplay.default": 0, "app.update.disabledForTesting": true, "datareporting.policy.dataSubmissionEnabled": false,
		"network.captive-portal-service.enabled": false, "network.connectivity-service.enabled": false, "extensions.getAddons.cache.enabled": false,
		"services.settings.server": "data:,#", "browser.safebrowsing.malware.enabled": false, "browser.safebrowsing.phishing.enabled": false,
		"media.gmp-manager.updateEnabled": false, "browser.shell.checkDefaultBrowser": false, "toolkit.telemetry.enabled": false,
	}
	var js strings.Builder
	for name, value := range prefs {
		text, _ := json.Marshal(value)
		fmt.Fprintf(&js, "user_pref(%q, %s);\n", name, text)
	}
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(js.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	spawn(t, []string{"HOME=" + profile}, firefox(t), "--headless", "--no-remote", "--marionette", "--profile", profile, "--width", "1200", "--height", "900")
	port := ""
	eventually(t, "Firefox", func() bool {
		text, err := os.ReadFile(filepath.Join(profile, "MarionetteActivePort"))
		port = strings.TrimSpace(string(text))
		return err == nil && port != ""
	})
	return overMarionette(t, port)
}

func firefox(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"firefox-esr", "firefox"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("there is no Firefox; `go run ./cmd/dev setup` installs it")
	return ""
}

// startWebKit leads the small browser that comes with WebKitGTK. It needs a screen, for
// which there is one in memory.
func startWebKit(t *testing.T) line {
	found, _ := filepath.Glob("/usr/lib/*/webkit2gtk-4.*/MiniBrowser")
	if len(found) == 0 {
		t.Fatal("there is no WebKitGTK; `go run ./cmd/dev setup` installs it")
	}
	home := t.TempDir()
	port := freePort(t)
	spawn(t, []string{
		"DISPLAY=" + screen(t), "HOME=" + home, "XDG_RUNTIME_DIR=" + home, "XDG_CACHE_HOME=" + home, "XDG_DATA_HOME=" + home,
		"GDK_BACKEND=x11", "LIBGL_ALWAYS_SOFTWARE=1", "NO_AT_BRIDGE=1", "GSETTINGS_BACKEND=memory",
	}, "WebKitWebDriver", "--port="+port)
	return overHTTP(t, port, map[string]any{"webkitgtk:browserOptions": map[string]any{"binary": found[0], "args": []string{"--automation"}}})
}

// screen starts a screen in memory and returns its name.
func screen(t *testing.T) string {
	t.Helper()
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer read.Close()
	cmd := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1300x1000x24", "-nolisten", "tcp")
	cmd.ExtraFiles = []*os.File{write}
	begin(t, cmd)
	write.Close()
	text, err := io.ReadAll(io.LimitReader(read, 8))
	number := strings.TrimSpace(string(text))
	if err != nil && number == "" {
		t.Fatalf("Xvfb named no display: %v", err)
	}
	return ":" + number
}

// spawn starts a program that ends with the test, with its children.
func spawn(t *testing.T, env []string, name string, args ...string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), env...)
	begin(t, cmd)
}

func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return strconv.Itoa(l.Addr().(*net.TCPAddr).Port)
}

// eventually waits until something has begun.
func eventually(t *testing.T, what string, begun func() bool) {
	t.Helper()
	for began := time.Now(); !begun(); time.Sleep(50 * time.Millisecond) {
		if time.Since(began) > patience {
			t.Fatalf("%s never began", what)
		}
	}
}

// httpLine is WebDriver as the standard has it, over HTTP.
type httpLine struct{ session string }

func overHTTP(t *testing.T, port string, wanted map[string]any) line {
	t.Helper()
	base := "http://127.0.0.1:" + port
	eventually(t, "the driver", func() bool {
		res, err := http.Get(base + "/status")
		if err != nil {
			return false
		}
		res.Body.Close()
		return res.StatusCode == http.StatusOK
	})
	var got struct{ SessionID string }
	value, err := httpLine{base}.ask(t.Context(), http.MethodPost, "/session", map[string]any{"capabilities": map[string]any{"alwaysMatch": wanted}})
	if err == nil {
		err = json.Unmarshal(value, &got)
	}
	if err != nil {
		t.Fatalf("the browser was not started: %v", err)
	}
	l := httpLine{base + "/session/" + got.SessionID}
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		_, _ = l.ask(ctx, http.MethodDelete, "", nil)
	})
	return l
}

func (l httpLine) run(ctx context.Context, c command, args map[string]any) (json.RawMessage, error) {
	path := c.path
	if id, ok := args["id"].(string); ok {
		path = strings.ReplaceAll(path, "{id}", id)
	}
	return l.ask(ctx, c.method, path, args)
}

func (l httpLine) ask(ctx context.Context, method, path string, args map[string]any) (json.RawMessage, error) {
	var body io.Reader
	if method == http.MethodPost {
		text, err := json.Marshal(args)
		if err != nil {
			return nil, err
		}
		body = strings.NewReader(string(text))
	}
	req, err := http.NewRequestWithContext(ctx, method, l.session+path, body)
	if err != nil {
		return nil, err
	}
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close()
	var answer struct{ Value json.RawMessage }
	if err := json.NewDecoder(res.Body).Decode(&answer); err != nil {
		return nil, err
	}
	if res.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("%s %s: %s", method, path, answer.Value)
	}
	return answer.Value, nil
}
