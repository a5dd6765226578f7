package e2e

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"strconv"
	"strings"
	"testing"
	"time"
)

// marionette is Firefox's own way to WebDriver's commands: messages of "LENGTH:JSON",
// [0, id, name, arguments] there and [1, id, error, value] back. One at a time.
// https://firefox-source-docs.mozilla.org/testing/marionette/Protocol.html
type marionette struct {
	conn net.Conn
	in   *bufio.Reader
	last int
}

func overMarionette(t *testing.T, port string) line {
	t.Helper()
	m := &marionette{}
	eventually(t, "Marionette", func() bool {
		conn, err := net.Dial("tcp", "127.0.0.1:"+port)
		m.conn = conn
		return err == nil
	})
	t.Cleanup(func() { m.conn.Close() })
	m.in = bufio.NewReader(m.conn)
	if _, err := m.read(); err != nil { // it greets
		t.Fatal(err)
	}
	if _, err := m.ask(t.Context(), "WebDriver:NewSession", map[string]any{}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		_, _ = m.ask(ctx, "Marionette:Quit", map[string]any{"flags": []string{"eForceQuit"}})
	})
	return m
}

func (m *marionette) run(ctx context.Context, c command, args map[string]any) (json.RawMessage, error) {
	value, err := m.ask(ctx, "WebDriver:"+c.name, args)
	if err != nil {
		return nil, err
	}
	// What is one value comes wrapped.
	var wrapped map[string]json.RawMessage
	if json.Unmarshal(value, &wrapped) == nil && len(wrapped) == 1 && wrapped["value"] != nil {
		return wrapped["value"], nil
	}
	return value, nil
}

func (m *marionette) ask(ctx context.Context, name string, args map[string]any) (json.RawMessage, error) {
	m.last++
	text, err := json.Marshal([]any{0, m.last, name, args})
	if err != nil {
		return nil, err
	}
	if until, ok := ctx.Deadline(); ok {
		if err := m.conn.SetDeadline(until); err != nil {
			return nil, err
		}
	}
	if _, err := fmt.Fprintf(m.conn, "%d:%s", len(text), text); err != nil {
		return nil, err
	}
	answer, err := m.read()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var parts [4]json.RawMessage
	if err := json.Unmarshal(answer, &parts); err != nil {
		return nil, err
	}
	if string(parts[2]) != "null" {
		return nil, fmt.Errorf("%s: %s", name, parts[2])
	}
	return parts[3], nil
}

func (m *marionette) read() ([]byte, error) {
	length, err := m.in.ReadString(':')
	if err != nil {
		return nil, err
	}
	n, err := strconv.Atoi(strings.TrimSuffix(length, ":"))
	if err != nil {
		return nil, err
	}
	text := make([]byte, n)
	_, err = io.ReadFull(m.in, text)
	return text, err
}
