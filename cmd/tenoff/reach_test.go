package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/acme"
)

// certificate writes a self-signed certificate and its key.
func certificate(t *testing.T) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	keyDER, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(t.TempDir(), "cert.pem"), filepath.Join(t.TempDir(), "key.pem")
	for path, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: keyDER}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

func TestWay(t *testing.T) {
	cert, key := certificate(t)
	for _, c := range []struct {
		what    string
		r       reach
		listen  string
		guarded bool
		tls     bool
		public  string
		host    string // one of those it may be called by
	}{
		{"as it is", reach{}, defaultListen, false, false, "", ""},
		{"another port", reach{address: "localhost:7000"}, "localhost:7000", false, false, "", ""},
		{"IPv6 loopback", reach{address: "[::1]:7000"}, "[::1]:7000", false, false, "", ""},
		{"all addresses", reach{address: "0.0.0.0:7000"}, "0.0.0.0:7000", true, false, "", ""},
		{"no address", reach{address: ":7000"}, ":7000", true, false, "", ""},
		{"one of a network", reach{address: "192.168.1.4:7000"}, "192.168.1.4:7000", true, false, "", "192.168.1.4"},
		{"this network", reach{lan: true, address: "10.0.0.9:7300"}, "10.0.0.9:7300", true, false, "http://10.0.0.9:7300", "10.0.0.9"},
		{"a name", reach{domain: "films.example", directory: acme.LetsEncryptURL}, ":443", true, true, "https://films.example", "films.example"},
		{"a name and a certificate", reach{domain: "films.example", cert: cert, key: key, address: ":8443"}, ":8443", true, true, "https://films.example:8443", "films.example"},
		{"behind a proxy on this machine", reach{domain: "films.example", proxies: "127.0.0.1, ::1"}, defaultListen, true, false, "https://films.example", "films.example"},
		{"a certificate on loopback", reach{cert: cert, key: key}, defaultListen, false, true, "", ""},
	} {
		w, err := c.r.way(t.TempDir())
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		if w.listen != c.listen || w.access.Guarded != c.guarded || (w.tls != nil) != c.tls || w.access.Public != c.public {
			t.Errorf("%s: %+v", c.what, w)
		}
		if c.host != "" && !slices.Contains(w.access.Hosts, c.host) {
			t.Errorf("%s: may be called by %v", c.what, w.access.Hosts)
		}
	}
	for _, directory := range []string{"", "directory", "http://ca.example/directory", "https:///directory"} {
		if _, err := (&reach{domain: "films.example", directory: directory}).way(""); err == nil {
			t.Errorf("an authority at %q", directory)
		}
	}
	if _, err := (&reach{cert: key, key: cert}).way(""); err == nil {
		t.Error("a key for a certificate")
	}
}

// A guarded server over TLS: a passphrase is set on the command line, a stranger
// sees nothing, and who knows it gets a cookie that holds to this host.
func TestGuardedServer(t *testing.T) {
	dir := t.TempDir()
	var out bytes.Buffer
	if code := dispatch(t.Context(), streams{strings.NewReader("seven quiet wall balls\n"), &out, &out}, []string{"passphrase", "--data", dir, "--name", "Robin"}); code != exitOK {
		t.Fatalf("%d: %s", code, out.String())
	}
	cert, key := certificate(t)
	way, err := (&reach{domain: "127.0.0.1", cert: cert, key: key, address: "127.0.0.1:0"}).way(dir)
	if err != nil {
		t.Fatal(err)
	}
	l, err := way.open(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewProgram(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if err := p.locked(t.Context(), way); err != nil {
		t.Fatal(err)
	}
	p.access = way.access
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- p.Run(ctx, l) }()
	defer func() {
		stop()
		<-ended
		p.Close()
	}()
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}} // self-signed, on loopback
	defer client.CloseIdleConnections()
	url := "https://" + l.Addr().String()
	res, err := client.Get(url + "/api/pitchers")
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusUnauthorized || res.Header.Get("Strict-Transport-Security") == "" {
		t.Errorf("a stranger: %d %v", res.StatusCode, res.Header)
	}
	res, err = client.Post(url+"/api/session", "application/json", strings.NewReader(`{"name":"Robin","passphrase":"seven quiet wall balls"}`))
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	cookie := res.Header.Get("Set-Cookie")
	if res.StatusCode != http.StatusOK || !strings.HasPrefix(cookie, "__Host-tenoff=") || !strings.Contains(cookie, "Secure") {
		t.Errorf("signing in: %d %q", res.StatusCode, cookie)
	}
}
