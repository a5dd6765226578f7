package e2e

import (
	"io"
	"net"
	"strings"
	"sync"
	"testing"
	"time"
)

// gate is a line to a program that can be cut and mended, and that goes dead after
// so many bytes, as a phone's signal does. Its address outlives the program's.
type gate struct {
	url string // http://127.0.0.1:PORT

	mu     sync.Mutex
	behind string // HOST:PORT of the program
	open   bool
	most   int64 // bytes that one connection may carry to the program before it stands still; 0: any
	lines  map[net.Conn]struct{}
}

func gateTo(t *testing.T, p *program) *gate {
	t.Helper()
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	g := &gate{url: "http://" + l.Addr().String(), open: true, lines: map[net.Conn]struct{}{}}
	g.lead(p)
	var all sync.WaitGroup
	all.Go(func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return // the listener was closed
			}
			all.Go(func() { g.carry(c) })
		}
	})
	t.Cleanup(func() {
		l.Close()
		g.cut()
		all.Wait()
	})
	return g
}

// lead makes the gate lead to p from now on.
func (g *gate) lead(p *program) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.behind = strings.TrimPrefix(p.url, "http://")
}

// cut ends every connection and lets none in until mend.
func (g *gate) cut() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.open = false
	for c := range g.lines {
		c.Close()
	}
	clear(g.lines)
}

func (g *gate) mend() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.open = true
}

// dieAfter lets a connection carry so many bytes up; 0: any number.
func (g *gate) dieAfter(most int64) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.most = most
}

// keep notes connections that cut has to end; false: the gate is cut.
func (g *gate) keep(cs ...net.Conn) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	for _, c := range cs {
		if g.open {
			g.lines[c] = struct{}{}
		} else {
			c.Close()
		}
	}
	return g.open
}

func (g *gate) carry(from net.Conn) {
	defer from.Close()
	g.mu.Lock()
	behind := g.behind
	g.mu.Unlock()
	to, err := net.Dial("tcp", behind)
	if err != nil {
		return // nobody is there: the phone hears of it by the end of its connection
	}
	defer to.Close()
	if !g.keep(from, to) {
		return
	}
	var down sync.WaitGroup
	down.Go(func() {
		_, _ = io.Copy(from, to) // its end is the connection's
		from.Close()
	})
	g.up(to, from)
	to.Close()
	down.Wait()
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.lines, from)
	delete(g.lines, to)
}

// up carries from the phone to the program until either ends.
func (g *gate) up(to io.Writer, from net.Conn) {
	buf := make([]byte, 16<<10)
	for carried := int64(0); ; {
		g.mu.Lock()
		left, held := g.most-carried, g.most > 0
		_, live := g.lines[from]
		g.mu.Unlock()
		if !live {
			return
		}
		if held && left <= 0 {
			time.Sleep(5 * time.Millisecond)
			continue
		}
		piece := buf
		if held && left < int64(len(piece)) {
			piece = piece[:left]
		}
		n, err := from.Read(piece)
		carried += int64(n)
		if _, failed := to.Write(piece[:n]); failed != nil || err != nil {
			return
		}
	}
}
