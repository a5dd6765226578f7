package joints

import (
	"debug/elf"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// The library that is loaded can't talk to anybody: it imports nothing that opens a
// connection or looks a name up. Films of children must not leave the machine, nor word of
// them.
func TestLibraryIsQuiet(t *testing.T) {
	kit := kitOf(t)
	if runtime.GOOS != "linux" {
		t.Skip("the library of this system is no ELF file")
	}
	file, err := elf.Open(kit.Library)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	symbols, err := file.ImportedSymbols()
	if err != nil || len(symbols) < 100 {
		t.Fatalf("%d imported symbols, %v", len(symbols), err)
	}
	for _, s := range symbols {
		if slices.Contains([]string{"socket", "connect", "getaddrinfo", "gethostbyname", "sendto", "sendmsg", "curl_easy_perform"}, s.Name) {
			t.Errorf("the library uses %s", s.Name)
		}
	}
	libraries, err := file.ImportedLibraries()
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range libraries {
		if slices.ContainsFunc([]string{"curl", "ssl", "resolv"}, func(part string) bool { return strings.Contains(l, part) }) {
			t.Errorf("the library needs %s", l)
		}
	}
}
