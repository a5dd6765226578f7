package film

import (
	"bytes"
	"slices"
	"unicode"
	"unicode/utf8"
)

// The containers, by the names of the demuxers that read them.
const (
	mov      = "mov" // MP4, QuickTime, 3GP
	matroska = "matroska"
	avi      = "avi"
	mpegts   = "mpegts"
)

// sniffSize is how much of a file's beginning tells its container.
const sniffSize = 1024

// sniff tells the container from a file's first bytes, or why it is none: the end
// of a sentence about the file.
func sniff(head []byte) (container, why string) {
	switch {
	case len(head) == 0:
		return "", "is empty: nothing of it arrived. Send it again."
	case isList(head):
		return "", "is a list that points to other files, not a film. Send the film itself."
	case isText(head):
		return "", "is a text, not a film. Send the film itself, as the phone made it (MOV or MP4)."
	case isMP4(head):
		if brand := string(head[8:min(len(head), 12)]); string(head[4:8]) == "ftyp" && slices.Contains(pictures, brand) {
			return "", "is a still picture, not a film."
		}
		return mov, ""
	case bytes.HasPrefix(head, []byte("\x1a\x45\xdf\xa3")): // RFC 8794, 11.2.4: the EBML element
		return matroska, ""
	case bytes.HasPrefix(head, []byte("RIFF")) && len(head) >= 12 && string(head[8:12]) == "AVI ":
		return avi, ""
	case isTransport(head, 0, 188) || isTransport(head, 4, 192):
		return mpegts, ""
	}
	return "", "is not a video that tenoff can read. Send the film as the phone made it (MOV or MP4)."
}

// pictures are the brands of still pictures in the same boxes as films (ISO/IEC
// 23008-12, HEIF; AVIF).
var pictures = []string{"heic", "heix", "heim", "heis", "hevc", "mif1", "msf1", "avif", "avis", "crx "}

// isMP4 reports whether head begins with a box that can be the first of an MP4 or
// QuickTime file (ISO/IEC 14496-12; QuickTime File Format).
func isMP4(head []byte) bool {
	if len(head) < 8 {
		return false
	}
	switch string(head[4:8]) {
	case "ftyp", "styp", "moov", "mdat", "free", "skip", "wide", "pnot":
		return true
	}
	return false
}

// isTransport reports whether head is an MPEG transport stream: its sync byte in
// every packet, the first one at offset at (ISO/IEC 13818-1, 2.4.3.2).
func isTransport(head []byte, at, size int) bool {
	if len(head) < at+3*size {
		return false
	}
	for ; at < len(head); at += size {
		if head[at] != 0x47 {
			return false
		}
	}
	return true
}

// isText reports whether head is nothing but printable text, which no film begins
// with.
func isText(head []byte) bool {
	if len(head) == sniffSize {
		for n := 0; n < utf8.UTFMax && !utf8.Valid(head); n++ { // it may end within a letter
			head = head[:len(head)-1]
		}
	}
	return utf8.Valid(head) && !bytes.ContainsFunc(head, func(r rune) bool { return unicode.IsControl(r) && !unicode.IsSpace(r) })
}

// isList reports whether head is text of a playlist.
func isList(head []byte) bool {
	if !isText(head) {
		return false
	}
	for line := range bytes.Lines(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf"))) {
		line = bytes.ToLower(bytes.TrimSpace(line))
		for _, start := range []string{"#extm3u", "#extinf", "#ext-x-", "ffconcat", "file ", "<mpd", "<smoothstreamingmedia", "[playlist]"} {
			if bytes.HasPrefix(line, []byte(start)) {
				return true
			}
		}
	}
	return bytes.Contains(head, []byte("<MPD")) // on a line with what comes before it
}
