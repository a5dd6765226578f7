package blob

import (
	"cmp"
	"net"
	"net/url"
	"os"
	"regexp"
	"strings"

	"tenoff/internal/bullpen"
)

// Address names a place in a bucket of an S3-compatible object storage.
type Address struct {
	Bucket   string
	Prefix   string // that all keys begin with, "" or ending in a slash
	Endpoint string // the storage's own address; "" is that of the region at AWS
	Region   string
}

// The environment variables that say who asks; nothing on the command line does, which
// others on the machine can read.
const (
	keyVariable        = "TENOFF_S3_KEY"
	secretVariable     = "TENOFF_S3_SECRET"
	secretFileVariable = "TENOFF_S3_SECRET_FILE"
)

var (
	bucketForm = regexp.MustCompile(`^[a-z0-9][a-z0-9.-]{1,61}[a-z0-9]$`)
	prefixForm = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_.-]*(/[A-Za-z0-9][A-Za-z0-9_.-]*)*$`)
)

// ParseAddress reads s3://BUCKET/PREFIX?endpoint=https://HOST:PORT&region=REGION, of which
// all after the bucket may be left out.
func ParseAddress(text string) (a Address, err error) {
	wrong := func(why string) (Address, error) {
		return Address{}, bullpen.Errorf(bullpen.Invalid, "The files' address has to look like s3://BUCKET/PREFIX?endpoint=https://HOST&region=REGION: %s.", why)
	}
	u, err := url.Parse(text)
	switch {
	case err != nil || u.Scheme != "s3":
		return wrong("it begins with s3://")
	case u.User != nil:
		return wrong("no key and no secret stand in it; say them by " + keyVariable + " and " + secretVariable + " or " + secretFileVariable)
	case !bucketForm.MatchString(u.Host):
		return wrong("the bucket's name is of small letters, digits, points and dashes")
	}
	a = Address{Bucket: u.Host, Prefix: strings.Trim(u.Path, "/"), Region: "us-east-1"}
	if a.Prefix != "" {
		if !prefixForm.MatchString(a.Prefix) || len(a.Prefix) > 200 {
			return wrong("the prefix is of letters, digits, points, dashes and slashes")
		}
		a.Prefix += "/"
	}
	for name, values := range u.Query() {
		switch name {
		case "endpoint":
			a.Endpoint = strings.TrimSuffix(values[0], "/")
			e, err := url.Parse(a.Endpoint)
			if err != nil || e.Scheme != "http" && e.Scheme != "https" || e.Host == "" || e.User != nil || e.RawQuery != "" {
				return wrong("the endpoint begins with https:// or http://, and has a host and perhaps a port")
			}
		case "region":
			a.Region = values[0]
		default:
			return wrong("it knows endpoint and region, and not " + name)
		}
	}
	return a, nil
}

// String is the address as people may read it.
func (a Address) String() string {
	return "s3://" + a.Bucket + "/" + strings.TrimSuffix(a.Prefix, "/") + " at " + cmp.Or(a.Endpoint, "AWS, "+a.Region)
}

// Plain reports whether what is sent there can be read along: it is not encrypted, and the
// storage is not on this machine.
func (a Address) Plain() bool {
	u, err := url.Parse(a.Endpoint)
	if err != nil || u.Scheme != "http" {
		return false
	}
	ip := net.ParseIP(u.Hostname())
	return u.Hostname() != "localhost" && (ip == nil || !ip.IsLoopback())
}

// secrets returns who asks, from the environment or a file that it names.
func secrets() (key, secret string, err error) {
	key, secret = os.Getenv(keyVariable), os.Getenv(secretVariable)
	if path := os.Getenv(secretFileVariable); secret == "" && path != "" {
		text, err := os.ReadFile(path)
		if err != nil {
			return "", "", &bullpen.Error{Code: bullpen.Unavailable, Message: "The file that " + secretFileVariable + " names can't be read; check it.", Err: err}
		}
		secret = strings.TrimSpace(string(text))
	}
	if key == "" || secret == "" {
		return "", "", bullpen.Errorf(bullpen.Unavailable, "Say who may use the object storage by %s, and its secret by %s or in the file that %s names.", keyVariable, secretVariable, secretFileVariable)
	}
	return key, secret, nil
}
