package film

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"tenoff/internal/proc"
)

// Toolbox is what this machine has for reading and cutting films.
type Toolbox struct {
	FFmpeg  string   // version, "" if there is none
	FFprobe string   // likewise
	Lacks   []string // what is missing, each a sentence that says what it is for and how to get it
}

// needed is a part of ffmpeg that some builds leave out.
type needed struct {
	list string // the option that lists parts of its kind
	name string // as listed
	what string // for a sentence
}

var parts = []needed{
	{"-encoders", "libx264", "the encoder libx264, which makes working copies and clips"},
	{"-encoders", "aac", "the encoder aac, which makes the sound of clips"},
	{"-encoders", "mjpeg", "the encoder mjpeg, which makes the pictures of the timeline"},
	{"-filters", "ass", "the filter ass (libass), which burns in captions"},
	{"-filters", "zscale", "the filter zscale (zimg), which HDR film needs"},
	{"-filters", "tonemap", "the filter tonemap, which HDR film needs"},
	{"-decoders", "h264", "the decoder of H.264 film"},
	{"-decoders", "hevc", "the decoder of HEVC film"},
}

// Tools looks at the ffmpeg of this machine. The error is ctx's only.
func Tools(ctx context.Context) (Toolbox, error) {
	var box Toolbox
	var err error
	if box.FFmpeg, err = box.version(ctx, "ffmpeg"); err != nil {
		return Toolbox{}, err
	}
	if box.FFprobe, err = box.version(ctx, "ffprobe"); err != nil {
		return Toolbox{}, err
	}
	if box.FFmpeg == "" {
		return box, nil
	}
	if tooOld(box.FFmpeg) {
		box.Lacks = append(box.Lacks, "This ffmpeg, "+box.FFmpeg+", is too old; "+oldest+" or newer is needed: install it with "+proc.Install("ffmpeg")+" and try again.")
	}
	lists := map[string]string{}
	for _, p := range parts {
		if _, ok := lists[p.list]; !ok {
			if lists[p.list], err = ask(ctx, "ffmpeg", "-hide_banner", p.list); err != nil && ctx.Err() != nil {
				return Toolbox{}, context.Cause(ctx)
			}
		}
		if !listed(lists[p.list], p.name) {
			box.Lacks = append(box.Lacks, "This ffmpeg was built without "+p.what+": install the full one with "+proc.Install("ffmpeg")+" and try again.")
		}
	}
	return box, nil
}

// version returns a program's version, or "" after noting that it is missing.
func (b *Toolbox) version(ctx context.Context, name string) (string, error) {
	said, err := ask(ctx, name, "-version")
	if missing, ok := errors.AsType[*proc.MissingError](err); ok {
		b.Lacks = append(b.Lacks, missing.Error())
		return "", nil
	}
	if ctx.Err() != nil {
		return "", context.Cause(ctx)
	}
	words := strings.Fields(said) // ffmpeg version 5.1.9-0+deb12u1 Copyright ...
	if err != nil || len(words) < 3 {
		b.Lacks = append(b.Lacks, name+" is installed but does not run: install it anew.")
		return "", nil
	}
	return words[2], nil
}

// oldest is the first ffmpeg that knows -fps_mode, without which frames don't keep
// their times (its Changelog: version 5.1).
const oldest = "5.1"

// tooOld reports whether a version, as ffmpeg says it, is before oldest. One that was
// built between releases (N-109..., a date) is taken for new.
func tooOld(version string) bool {
	var major, minor int
	_, err := fmt.Sscanf(strings.TrimPrefix(version, "n"), "%d.%d", &major, &minor)
	return err == nil && (major < 5 || major == 5 && minor < 1)
}

// ask returns what a program prints.
func ask(ctx context.Context, name string, args ...string) (string, error) {
	var out strings.Builder
	_, err := proc.Run(ctx, proc.Cmd{Name: name, Args: args, Stdout: func(r io.Reader) error {
		_, err := io.Copy(&out, r)
		return err
	}})
	return out.String(), err
}

// listed reports whether a list of ffmpeg's parts, one a line with the name in the
// second column, has name.
func listed(list, name string) bool {
	for line := range strings.Lines(list) {
		if words := strings.Fields(line); len(words) > 1 && words[1] == name {
			return true
		}
	}
	return false
}
