package intake

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding"
	"encoding/hex"

	"tenoff/internal/film"
	"tenoff/internal/store"
)

// Measure measures a film's traces anew and puts them in the place of the old ones.
func (in *Intake) Measure(ctx context.Context, filmID string, progress func(done float64)) error {
	f, err := in.store.Film(ctx, filmID)
	if err != nil {
		return err
	}
	key, cut, err := in.Cutting(ctx, f)
	if err != nil {
		return err
	}
	path, done, err := in.blobs.Local(ctx, key)
	if err != nil {
		return err
	}
	defer done()
	motion, sound, err := film.Measure(ctx, path, f.Name, cut, f.Clock, progress)
	if err != nil {
		return err
	}
	prefix := "films/" + f.ID + "/" + store.NewFilmID() + "/"
	made := store.File{Key: prefix + "motion.trace"}
	var heard store.File
	if sound != nil {
		heard.Key = prefix + "sound.trace"
	}
	files := []store.File{made}
	if heard.Key != "" {
		files = append(files, heard)
	}
	keys := make([]string, len(files))
	for i, file := range files {
		keys[i] = file.Key
	}
	if err := in.store.Expect(ctx, keys...); err != nil {
		return err
	}
	kept := false
	defer func() {
		if !kept {
			in.discard(ctx, files)
		}
	}()
	if err := in.put(ctx, &made, motion); err != nil {
		return err
	}
	if sound != nil {
		if err := in.put(ctx, &heard, sound); err != nil {
			return err
		}
	}
	loose, err := in.store.FilmMeasured(ctx, f.ID, made, heard)
	if err != nil {
		return err
	}
	kept = true
	in.discard(ctx, loose)
	return nil
}

// put stores a trace under a file's key and completes what is known of the file.
func (in *Intake) put(ctx context.Context, f *store.File, what encoding.BinaryMarshaler) error {
	data, err := what.MarshalBinary()
	if err != nil {
		return err
	}
	sum := sha256.Sum256(data)
	f.Bytes, f.Sum = int64(len(data)), hex.EncodeToString(sum[:])
	_, err = in.blobs.Put(ctx, f.Key, bytes.NewReader(data))
	return err
}
