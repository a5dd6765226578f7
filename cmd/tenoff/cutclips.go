package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/clip"
	"tenoff/internal/ledger"
	"tenoff/internal/shelf"
)

// write makes the clips of a session, then the tables that name them. Every file's
// name goes to the output stream once the file is there.
func (c *cutting) write(ctx context.Context, std streams, source clip.Source, s ledger.Session) error {
	left := 0
	for _, r := range s.Reps {
		if r.Release == bullpen.Unmarked {
			left++
			continue
		}
		plan, err := clip.PlanSingle(clip.Single{Side: c.side(source, s, r), Window: c.window, Repeat: c.repeat})
		if err != nil {
			return err
		}
		name := shelf.FileName(s.Pen.Day, r.Order, r.Pitch, r.Reading)
		if err := c.render(ctx, std, plan, name); err != nil {
			return err
		}
		s.Clips[r.ID] = name
		if err := c.beside(ctx, std, source, s, r); err != nil {
			return err
		}
	}
	if left > 0 {
		fmt.Fprintf(std.err, "%d reps of the list are not on this film: they count in the numbers and have no clip\n", left)
	}
	if err := c.table(std, "reps.csv", s, ledger.WriteCSV); err != nil {
		return err
	}
	return c.table(std, "summary.json", s, ledger.WriteJSON)
}

// beside makes an off-speed rep's side by side, if they were asked for.
func (c *cutting) beside(ctx context.Context, std streams, source clip.Source, s ledger.Session, off bullpen.Rep) error {
	if t, _ := bullpen.TypeOf(off.Pitch); !c.pair || t.Band == nil {
		return nil
	}
	fast, err := s.Partner(off)
	if err != nil {
		fmt.Fprintf(std.err, "rep %d: %s\n", off.Order, sentenceOf(err))
		return nil
	}
	plan, err := clip.PlanPair(clip.Pair{
		Left: c.side(source, s, off), Right: c.side(source, s, fast), Window: c.window, Speed: c.speed,
	})
	if err != nil {
		return err
	}
	name := shelf.PairName(s.Pen.Day, shelf.RepName(off.Order, off.Pitch, off.Reading),
		shelf.RepName(fast.Order, fast.Pitch, fast.Reading), c.speed, false)
	return c.render(ctx, std, plan, name)
}

func (c *cutting) side(source clip.Source, s ledger.Session, r bullpen.Rep) clip.Side {
	numbers, _ := s.Sheet.Rep(r.ID)
	return clip.Side{
		Source: source, Release: r.Release,
		Facts: caption.FactsOf(s.Pitcher, s.Pen, r, numbers, caption.Asked{Label: c.label != ""}),
	}
}

// render makes a clip with its captions as SRT beside it.
func (c *cutting) render(ctx context.Context, std streams, plan clip.Plan, name string) error {
	if err := clip.Run(ctx, plan, filepath.Join(c.out, name), nil); err != nil {
		return err
	}
	var srt bytes.Buffer
	if err := caption.WriteSRT(&srt, plan.Cues); err != nil {
		return err
	}
	if err := c.file(strings.TrimSuffix(name, ".mp4")+".srt", srt.Bytes()); err != nil {
		return err
	}
	_, err := fmt.Fprintln(std.out, filepath.Join(c.out, name))
	return err
}

func (c *cutting) table(std streams, name string, s ledger.Session, write func(io.Writer, ...ledger.Session) error) error {
	var b bytes.Buffer
	if err := write(&b, s); err != nil {
		return err
	}
	if err := c.file(name, b.Bytes()); err != nil {
		return err
	}
	_, err := fmt.Fprintln(std.out, filepath.Join(c.out, name))
	return err
}

// file writes a file of the output folder, whole or not at all.
func (c *cutting) file(name string, data []byte) error {
	path := filepath.Join(c.out, name)
	part := path + ".part"
	if err := os.WriteFile(part, data, 0o644); err != nil {
		return err
	}
	return os.Rename(part, path)
}

// dayOf returns the local day of an instant in microseconds UTC, "" for 0.
func dayOf(micros int64) string {
	if micros == 0 {
		return ""
	}
	return time.UnixMicro(micros).Format(time.DateOnly)
}
