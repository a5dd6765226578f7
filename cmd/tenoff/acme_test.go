package main

import (
	"crypto/tls"
	"crypto/x509"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/letsencrypt/pebble/v2/ca"
	"github.com/letsencrypt/pebble/v2/db"
	"github.com/letsencrypt/pebble/v2/va"
	"github.com/letsencrypt/pebble/v2/wfe"
	"github.com/miekg/dns"
)

// authority is an ACME authority to test against (RFC 8555), in this process. It looks
// for every domain on this machine.
type authority struct {
	*httptest.Server
	roots  *x509.CertPool
	orders atomic.Int32
}

// newAuthority starts an authority that checks domains by handshakes on the given port.
func newAuthority(t *testing.T, port int) *authority {
	t.Helper()
	t.Setenv("PEBBLE_VA_NOSLEEP", "1")
	t.Setenv("PEBBLE_WFE_NONCEREJECT", "0")
	quiet := log.New(io.Discard, "", 0)
	known := db.NewMemoryStore()
	signer := ca.New(quiet, known, "", "ecdsa", 0, 1, map[string]ca.Profile{"default": {}})
	front := wfe.New(quiet, known, va.New(quiet, port, port, true, names(t), known), signer, []string{"ca.example"}, true, false, 1, 1)
	a := &authority{roots: x509.NewCertPool()}
	a.roots.AddCert(signer.GetRootCert(0).Cert)
	answer := front.Handler()
	a.Server = httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, "/order-plz") {
			a.orders.Add(1)
		}
		answer.ServeHTTP(w, r)
		if strings.HasPrefix(r.URL.Path, "/chalZ/") || strings.HasPrefix(r.URL.Path, "/finalize-order/") {
			time.Sleep(50 * time.Millisecond) // it is done, mostly, when it is first asked: the client asks once a second
		}
	}))
	t.Cleanup(a.Close)
	return a
}

// names is the address of a name server that knows every name as this machine's.
func names(t *testing.T) string {
	t.Helper()
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &dns.Server{Listener: l, Handler: dns.HandlerFunc(func(w dns.ResponseWriter, ask *dns.Msg) {
		m := new(dns.Msg).SetReply(ask)
		if q := ask.Question[0]; q.Qtype == dns.TypeA {
			m.Answer = []dns.RR{&dns.A{Hdr: dns.RR_Header{Name: q.Name, Rrtype: q.Qtype, Class: q.Qclass, Ttl: 1}, A: net.IPv4(127, 0, 0, 1)}}
		}
		_ = w.WriteMsg(m) // whoever asked may be gone
	})}
	go func() { _ = s.ActivateAndServe() }() // ends with Shutdown
	t.Cleanup(func() { _ = s.Shutdown() })
	return l.Addr().String()
}

// A certificate for the domain is got from an authority when somebody first calls, is
// served for the domain only, and is still there after a restart, for the same authority.
func TestCertificateByACME(t *testing.T) {
	dir := t.TempDir()
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ca := newAuthority(t, l.Addr().(*net.TCPAddr).Port)
	serve := func(directory string) *tls.Config {
		t.Helper()
		w, err := (&reach{domain: "films.example", directory: directory}).way(dir)
		if err != nil {
			t.Fatal(err)
		}
		w.acme.Client.HTTPClient = ca.Client() // it trusts the authority's own certificate
		return w.tls
	}
	var now atomic.Pointer[tls.Config]
	now.Store(serve(ca.URL + "/dir"))
	s := &http.Server{ReadHeaderTimeout: time.Minute, ErrorLog: log.New(io.Discard, "", 0), Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = io.WriteString(w, "films") // the test sees what is missing
	})}
	go func() {
		_ = s.Serve(tls.NewListener(l, &tls.Config{GetConfigForClient: func(*tls.ClientHelloInfo) (*tls.Config, error) { return now.Load(), nil }})) // ends with Close
	}()
	defer s.Close()
	call := func(name string) (string, error) {
		dial := &http.Transport{TLSClientConfig: &tls.Config{ServerName: name, RootCAs: ca.roots}}
		defer dial.CloseIdleConnections()
		res, err := (&http.Client{Transport: dial}).Get("https://" + l.Addr().String())
		if err != nil {
			return "", err
		}
		defer res.Body.Close()
		text, err := io.ReadAll(res.Body)
		return string(text), err
	}

	if text, err := call("films.example"); err != nil || text != "films" {
		t.Fatalf("first called: %q, %v", text, err)
	}
	if n := ca.orders.Load(); n != 1 {
		t.Errorf("%d certificates were ordered", n)
	}
	for _, name := range []string{"other.example", "sub.films.example", "127.0.0.1"} {
		if text, err := call(name); err == nil {
			t.Errorf("%s is served: %q", name, text)
		}
	}
	now.Store(serve(ca.URL + "/dir"))
	if text, err := call("films.example"); err != nil || text != "films" {
		t.Errorf("after a restart: %q, %v", text, err)
	}
	if n := ca.orders.Load(); n != 1 {
		t.Errorf("%d certificates were ordered in all", n)
	}
	now.Store(serve(ca.URL + "/dir?another")) // whose certificates are other ones
	if text, err := call("films.example"); err != nil || text != "films" || ca.orders.Load() != 2 {
		t.Errorf("from another authority: %q, %v, %d certificates were ordered", text, err, ca.orders.Load())
	}
}
