package main

import (
	"bytes"
	"crypto/md5" // what dpkg checks files by
	"debug/elf"
	_ "embed"
	"fmt"
	"strconv"
	"strings"

	"tenoff/internal/joints/parts"
)

var (
	//go:embed deb/tenoff.service
	service []byte
	//go:embed deb/postinst
	postinst []byte
	//go:embed deb/prerm
	prerm []byte
)

// deb makes Debian's package of a program (deb(5), deb-control(5)), with what goes
// with it.
func deb(b built, arch string) ([]byte, error) {
	libc, err := needsLibc(b.exe)
	if err != nil {
		return nil, err
	}
	files := []piece{
		{"usr/bin/tenoff", 0o755, b.exe},
		{"usr/lib/systemd/user/tenoff.service", 0o644, service},
		{"usr/share/doc/tenoff/README.md", 0o644, b.readme},
		{"usr/share/doc/tenoff/copyright", 0o644, b.licences},
	}
	needs := fmt.Sprintf("libc6 (>= %s), ffmpeg (>= 7:5.1)", libc)
	for _, p := range b.joints {
		files = append(files, piece{"usr/lib/tenoff/" + parts.Folder + "/" + p.name, p.mode, p.body})
	}
	if len(b.joints) > 0 {
		needs += ", libstdc++6, libgcc-s1" // what ONNX Runtime wants
	}
	var size int
	var sums bytes.Buffer
	for _, f := range files {
		size += (len(f.body) + 1023) / 1024
		fmt.Fprintf(&sums, "%x  %s\n", md5.Sum(f.body), f.name)
	}
	control := fmt.Sprintf(`Package: tenoff
Version: %s
Architecture: %s
Maintainer: tenoff <tenoff@localhost>
Installed-Size: %d
Depends: %s
Section: video
Priority: optional
Description: change-up bullpens on film, with the radar reading
 Finds each rep of a fastpitch pitcher's bullpen on phone film, joins it with the
 radar reading, and says whether the change-up came in 8 to 12 mph under her
 fastball with the body as fast as ever. A local web server: the films stay on
 this machine.
`, debianVersion(b.version), arch, size, needs)
	about, err := tarGz([]piece{
		{"control", 0o644, []byte(control)},
		{"md5sums", 0o644, sums.Bytes()},
		{"postinst", 0o755, postinst},
		{"prerm", 0o755, prerm},
	}, b.when)
	if err != nil {
		return nil, err
	}
	data, err := tarGz(files, b.when)
	if err != nil {
		return nil, err
	}
	return ar([]piece{
		{"debian-binary", 0o644, []byte("2.0\n")},
		{"control.tar.gz", 0o644, about},
		{"data.tar.gz", 0o644, data},
	}, b.when), nil
}

// debianVersion writes a version of Go's as Debian orders them (deb-version(7)): what
// comes before a release, 1.2.0-rc1, is less than 1.2.0, and it begins with a digit.
func debianVersion(v string) string {
	v = strings.ReplaceAll(strings.TrimPrefix(v, "v"), "-", "~")
	if v == "" || v[0] < '0' || v[0] > '9' {
		return "0~" + v
	}
	return v
}

// needsLibc returns the oldest version of the C library that a program runs with: the
// newest that it has a symbol of.
func needsLibc(exe []byte) (string, error) {
	file, err := elf.NewFile(bytes.NewReader(exe))
	if err != nil {
		return "", err
	}
	symbols, err := file.ImportedSymbols()
	if err != nil {
		return "", err
	}
	var major, minor int
	for _, s := range symbols {
		at, ok := strings.CutPrefix(s.Version, "GLIBC_")
		if !ok {
			continue
		}
		a, b, _ := strings.Cut(at, ".")
		b, _, _ = strings.Cut(b, ".")
		x, err := strconv.Atoi(a)
		y, err2 := strconv.Atoi(b)
		if err == nil && err2 == nil && (x > major || x == major && y > minor) {
			major, minor = x, y
		}
	}
	if major == 0 {
		return "", fmt.Errorf("the program uses no C library, so it is not the one that was meant")
	}
	return fmt.Sprintf("%d.%d", major, minor), nil
}
