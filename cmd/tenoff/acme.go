package main

import (
	"net/url"
	"path/filepath"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// byACME reports whether the certificate comes from an authority, by ACME (RFC 8555).
func (r *reach) byACME() bool { return r.domain != "" && r.cert == "" && r.proxies == "" }

// certificates gets the domain's certificate, and no other, from the authority, and
// renews it. What it got is kept within the data folder dir, apart for each authority: a
// certificate for trying out is not served once the real one is asked. The authority
// sees that the domain is ours by a handshake on port 443 (tls-alpn-01, RFC 8737).
func (r *reach) certificates(dir string) (*autocert.Manager, error) {
	u, err := url.Parse(r.directory)
	if err != nil || u.Scheme != "https" || u.Host == "" {
		return nil, usageError{sentence: "--acme-directory takes an https address, for instance " + acme.LetsEncryptURL}
	}
	return &autocert.Manager{
		Prompt: autocert.AcceptTOS, HostPolicy: autocert.HostWhitelist(r.domain),
		Cache:  autocert.DirCache(filepath.Join(dir, "certificates", url.PathEscape(r.directory))),
		Client: &acme.Client{DirectoryURL: r.directory},
	}, nil
}
