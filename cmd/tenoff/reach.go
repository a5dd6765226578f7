package main

import (
	"context"
	"crypto/tls"
	"flag"
	"net"
	"net/http"
	"net/netip"
	"os"
	"slices"
	"strings"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"

	"tenoff/internal/bullpen"
	"tenoff/internal/server"
)

// reach says from where a server is to be reached.
type reach struct {
	address   string
	lan       bool
	domain    string
	directory string // the authority's, for a certificate by ACME
	cert, key string
	proxies   string
}

func reachFlags(flags *flag.FlagSet) *reach {
	r := &reach{}
	flags.StringVar(&r.address, "listen", "", "where to listen: `HOST:PORT`, port 0 for any free one (default "+defaultListen+"); anything but loopback asks for the passphrase that tenoff passphrase sets")
	flags.BoolVar(&r.lan, "lan", false, "be reached from this network too, by the passphrase; not encrypted unless with --cert")
	flags.StringVar(&r.domain, "domain", "", "be reached by this name over https; the certificate comes by ACME and needs port 443 open to the world, unless --cert or --behind-proxy is said")
	flags.StringVar(&r.directory, "acme-directory", acme.LetsEncryptURL, "the authority that certifies --domain: the address of its ACME directory (RFC 8555)")
	flags.StringVar(&r.cert, "cert", "", "serve https with this certificate (PEM), and --key")
	flags.StringVar(&r.key, "key", "", "the certificate's key (PEM)")
	flags.StringVar(&r.proxies, "behind-proxy", "", "believe the X-Forwarded headers of the proxies at these addresses, separated by commas; --domain is the name they are reached by")
	return r
}

// way is how a server is reached.
type way struct {
	listen string
	access server.Access
	tls    *tls.Config       // nil for plain HTTP
	acme   *autocert.Manager // where the certificate comes from; nil for nowhere, or a file
}

// way works out what was asked for. dir is the data folder: a certificate that came
// by ACME is kept there.
func (r *reach) way(dir string) (way, error) {
	w := way{listen: r.address}
	proxies, err := r.proxyList()
	if err != nil {
		return w, err
	}
	w.access.Proxies = proxies
	if w.listen == "" {
		switch {
		case r.byACME():
			w.listen = ":443"
		case r.lan:
			w.listen = ":7300"
		default:
			w.listen = defaultListen
		}
	}
	host, port, err := net.SplitHostPort(w.listen)
	if err != nil {
		return w, usageError{sentence: "--listen takes HOST:PORT, for instance " + defaultListen}
	}
	if (r.cert == "") != (r.key == "") {
		return w, usageError{sentence: "--cert and --key go together"}
	}
	if len(proxies) > 0 && r.domain == "" {
		return w, usageError{sentence: "--behind-proxy needs --domain: the name that the proxy is reached by"}
	}
	w.access.Guarded = r.lan || r.domain != "" || !isLoopback(host)
	if w.access.Guarded {
		if w.access.Hosts, err = hostsOf(host, r.domain); err != nil {
			return w, err
		}
	}
	switch {
	case r.domain != "":
		w.access.Public = "https://" + r.domain
		if r.cert != "" && port != "443" && len(proxies) == 0 {
			w.access.Public += ":" + port
		}
	case r.lan:
		w.access.Public = r.lanAddress(host, port)
	}
	if r.directory != "" && r.directory != acme.LetsEncryptURL && !r.byACME() {
		return w, usageError{sentence: "--acme-directory goes with --domain, and with neither --cert nor --behind-proxy"}
	}
	switch {
	case r.cert != "":
		pair, err := tls.LoadX509KeyPair(r.cert, r.key)
		if err != nil {
			return w, &bullpen.Error{Code: bullpen.Invalid, Message: "The certificate " + r.cert + " and its key " + r.key + " can't be used together: " + err.Error() + ".", Err: err}
		}
		w.tls = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	case r.byACME():
		if w.acme, err = r.certificates(dir); err != nil {
			return w, err
		}
		w.tls = w.acme.TLSConfig()
		w.tls.MinVersion = tls.VersionTLS12
	}
	return w, nil
}

func (r *reach) proxyList() ([]netip.Addr, error) {
	var out []netip.Addr
	for text := range strings.SplitSeq(r.proxies, ",") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		a, err := netip.ParseAddr(text)
		if err != nil {
			return nil, usageError{sentence: "--behind-proxy takes addresses, for instance 127.0.0.1"}
		}
		out = append(out, a.Unmap())
	}
	return out, nil
}

// lanAddress is what a link for this network begins with, "" when it is not known.
func (r *reach) lanAddress(host, port string) string {
	scheme := "http://"
	if r.cert != "" {
		scheme = "https://"
	}
	if ip := net.ParseIP(host); host != "" && (ip == nil || !ip.IsUnspecified()) {
		return scheme + net.JoinHostPort(host, port)
	}
	own, err := ownAddresses()
	if err != nil {
		return ""
	}
	for _, a := range own {
		if a.Is4() && a.IsPrivate() {
			return scheme + net.JoinHostPort(a.String(), port)
		}
	}
	return ""
}

func isLoopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// hostsOf lists by what a server that listens on host may be called: a rebound DNS
// name is none of them.
func hostsOf(host, domain string) ([]string, error) {
	var out []string
	if domain != "" {
		out = append(out, domain)
	}
	if ip := net.ParseIP(host); host != "" && (ip == nil || !ip.IsUnspecified()) {
		return append(out, host), nil
	}
	own, err := ownAddresses()
	if err != nil {
		return nil, err
	}
	for _, a := range own {
		out = append(out, a.String())
	}
	if name, err := os.Hostname(); err == nil && !strings.EqualFold(name, domain) {
		out = append(out, name, name+".local")
	}
	return out, nil
}

// ownAddresses lists this machine's addresses in its networks.
func ownAddresses() ([]netip.Addr, error) {
	list, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var out []netip.Addr
	for _, a := range list {
		prefix, err := netip.ParsePrefix(a.String())
		if err == nil && !prefix.Addr().IsLoopback() {
			out = append(out, prefix.Addr().Unmap().WithZone(""))
		}
	}
	return slices.Compact(out), nil
}

// open listens.
func (w way) open(ctx context.Context) (net.Listener, error) {
	l, err := listenAt(ctx, w.listen)
	if err == nil && w.tls != nil {
		l = tls.NewListener(l, w.tls)
	}
	return l, err
}

// says is the address to print: where l listens, or the public one.
func (w way) says(l net.Listener) string {
	switch {
	case w.access.Public != "":
		return w.access.Public
	case w.tls != nil:
		return "https://" + l.Addr().String()
	}
	return "http://" + l.Addr().String()
}

// locked refuses to be reached from elsewhere before there is a passphrase.
func (p *Program) locked(ctx context.Context, w way) error {
	if !w.access.Guarded {
		return nil
	}
	accounts, err := p.store.Accounts(ctx)
	if err != nil {
		return err
	}
	for _, a := range accounts {
		if a.Owner {
			return nil
		}
	}
	return usageError{sentence: "films of children do not lie open on a network: set a passphrase first, with `tenoff passphrase`"}
}

// secured adds to answers that come over TLS that this address is to be called over
// TLS only (RFC 6797).
func secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.TLS != nil {
			w.Header().Set("Strict-Transport-Security", "max-age=31536000")
		}
		next.ServeHTTP(w, r)
	})
}
