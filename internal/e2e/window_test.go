package e2e

import (
	"context"
	"encoding/json"
	"os/exec"
	"syscall"
	"testing"
	"time"
)

// command is one of WebDriver's: how it is called over HTTP and by name.
// https://www.w3.org/TR/webdriver2/#endpoints
type command struct{ method, path, name string }

var (
	setTimeouts  = command{"POST", "/timeouts", "SetTimeouts"}
	navigate     = command{"POST", "/url", "Navigate"}
	refresh      = command{"POST", "/refresh", "Refresh"}
	newWindow    = command{"POST", "/window/new", "NewWindow"}
	switchTo     = command{"POST", "/window", "SwitchToWindow"}
	windowHandle = command{"GET", "/window", "GetWindowHandle"}
	closeWindow  = command{"DELETE", "/window", "CloseWindow"}
	evaluate     = command{"POST", "/execute/async", "ExecuteAsyncScript"}
	findElement  = command{"POST", "/element", "FindElement"}
	sendKeys     = command{"POST", "/element/{id}/value", "ElementSendKeys"}
	actions      = command{"POST", "/actions", "PerformActions"}
	printPage    = command{"POST", "/print", "Print"}
)

// line is the way to a browser.
type line interface {
	run(ctx context.Context, c command, args map[string]any) (json.RawMessage, error)
}

// window is a browser of any engine, at one of its tabs.
type window struct {
	t    *testing.T
	line line
}

// run asks for a command and decodes its value into out, which may be nil.
func (w *window) run(c command, args map[string]any, out any) {
	w.t.Helper()
	if err := w.try(patience, c, args, out); err != nil {
		w.t.Fatal(err)
	}
}

func (w *window) try(within time.Duration, c command, args map[string]any, out any) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(w.t.Context()), within)
	defer cancel()
	value, err := w.line.run(ctx, c, args)
	if err != nil || out == nil {
		return err
	}
	return json.Unmarshal(value, out)
}

// in is the same browser, led by another test.
func (w *window) in(t *testing.T) *window { return &window{t, w.line} }

func (w *window) visit(url string) {
	w.t.Helper()
	w.run(navigate, map[string]any{"url": url}, nil)
}

// another opens one more tab and goes there. It is closed when the test ends.
func (w *window) another() {
	w.t.Helper()
	var made struct{ Handle string }
	var from string
	w.run(windowHandle, nil, &from)
	w.run(newWindow, map[string]any{"type": "tab"}, &made)
	w.run(switchTo, map[string]any{"handle": made.Handle}, nil)
	w.t.Cleanup(func() {
		w.run(closeWindow, nil, nil)
		w.run(switchTo, map[string]any{"handle": from}, nil)
	})
}

// valueOf works an expression out in the page; a promise is waited for.
func valueOf[T any](w *window, expression string) T {
	w.t.Helper()
	var v T
	w.run(evaluate, map[string]any{
		"script": `const done = arguments[arguments.length - 1];
			Promise.resolve().then(() => (` + expression + `)).then((value) => done({ value }), (problem) => done({ problem: String(problem) }));`,
		"args": []any{},
	}, &struct {
		Value   *T
		Problem *problem
	}{&v, &problem{w.t, expression}})
	return v
}

// problem fails the test when an expression does.
type problem struct {
	t          *testing.T
	expression string
}

func (p *problem) UnmarshalJSON(text []byte) error {
	p.t.Helper()
	if string(text) != "null" {
		p.t.Fatalf("%s: %s", p.expression, text)
	}
	return nil
}

// until waits until an expression holds, and says what the page shows if it never does.
func (w *window) until(expression string) {
	w.t.Helper()
	for began := time.Now(); time.Since(began) < patience; time.Sleep(15 * time.Millisecond) {
		if valueOf[bool](w, "Boolean("+expression+")") {
			return
		}
	}
	w.t.Fatalf("never came: %s\nthe page says: %s", expression, valueOf[string](w, "document.body.innerText.slice(0, 1500)"))
}

// WebDriver's names of keys that are no letters.
// https://www.w3.org/TR/webdriver2/#keyboard-actions
const (
	arrowLeft  = "\ue012"
	arrowRight = "\ue014"
	escape     = "\ue00c"
)

// press presses keys on whatever has the focus.
func (w *window) press(keys ...string) {
	w.t.Helper()
	var strokes []map[string]any
	for _, k := range keys {
		strokes = append(strokes, map[string]any{"type": "keyDown", "value": k}, map[string]any{"type": "keyUp", "value": k})
	}
	w.run(actions, map[string]any{"actions": []any{map[string]any{"type": "key", "id": "keys", "actions": strokes}}}, nil)
}

// write types into the element of a selector, or chooses a file for it.
func (w *window) write(selector, text string) {
	w.t.Helper()
	found := map[string]string{}
	w.run(findElement, map[string]any{"using": "css selector", "value": selector}, &found)
	for _, id := range found {
		w.run(sendKeys, map[string]any{"id": id, "text": text}, nil)
	}
}

// filmNumber reads the number that is burnt into the picture on the screen, -1 if there
// is none. A busy WebKit paints a frame before it lends it to a canvas, which is nobody's
// wrong number: it is asked again.
func (w *window) filmNumber(width, height int) int {
	w.t.Helper()
	pixels := ""
	for began := time.Now(); pixels == "" && time.Since(began) < patience; time.Sleep(15 * time.Millisecond) {
		pixels = valueOf[string](w, picturePixels(width, height))
	}
	return numberIn(w.t, pixels, width, height)
}

// begin starts a program that ends with the test, and its children with it.
func begin(t *testing.T, cmd *exec.Cmd) {
	t.Helper()
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.WaitDelay = 10 * time.Second
	if err := cmd.Start(); err != nil {
		t.Fatalf("%v; `go run ./cmd/dev setup` installs it", err)
	}
	t.Cleanup(func() {
		_ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL)
		_ = cmd.Wait()
	})
}
