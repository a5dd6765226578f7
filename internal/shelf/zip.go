package shelf

import (
	"archive/zip"
	"context"
	"io"
	"strings"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/ledger"
)

// ZipName is what the download of all of a bullpen's clips is called.
func ZipName(pen bullpen.Bullpen) string { return safe(pen.Day) + "_clips.zip" }

// Zip writes all finished clips of a bullpen with their captions as SRT, and the
// reps as CSV, which names each rep's clip. It streams: nothing is held in memory.
// An error after the first byte leaves w incomplete.
func (s *Shelf) Zip(ctx context.Context, bullpenID string, w io.Writer) error {
	b, err := s.judged.Of(ctx, bullpenID)
	if err != nil {
		return err
	}
	entries, err := s.Entries(ctx, b)
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	for _, e := range entries {
		if !e.Made {
			continue
		}
		m, err := madeFrom(e.Clip)
		if err != nil {
			return err
		}
		if err := s.add(ctx, z, e.FileName, zip.Store, m.Film); err != nil { // it is packed already
			return err
		}
		if err := s.add(ctx, z, strings.TrimSuffix(e.FileName, ".mp4")+".srt", zip.Deflate, m.SRT); err != nil {
			return err
		}
	}
	out, err := z.CreateHeader(&zip.FileHeader{Name: "reps.csv", Method: zip.Deflate, Modified: time.Now()})
	if err != nil {
		return err
	}
	postures, err := s.judged.Postures(ctx, b)
	if err != nil {
		return err
	}
	if err := ledger.WriteCSV(out, Session(b, entries, postures)); err != nil {
		return err
	}
	return z.Close()
}

func (s *Shelf) add(ctx context.Context, z *zip.Writer, name string, method uint16, key string) error {
	if err := context.Cause(ctx); err != nil {
		return err
	}
	f, err := s.files.Open(ctx, key)
	if err != nil {
		return err
	}
	defer f.Close()
	out, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method, Modified: time.Now()})
	if err != nil {
		return err
	}
	_, err = io.Copy(out, f)
	return err
}
