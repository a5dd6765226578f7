package intake

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"hash"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
	"tenoff/internal/store"
	"tenoff/internal/throttle"
)

// Receive takes a film in: r is the file, name what the phone called it, size its
// length in bytes or -1 if nobody said. It is written to the disk as it comes; once
// all of it is there and flushed, its row and the job that reads it are stored
// together. If the bullpen has this very file already, that film is returned and
// there is true. On an error nothing stays behind.
func (in *Intake) Receive(ctx context.Context, bullpenID, name string, size int64, r io.Reader) (film store.Film, there bool, err error) {
	name = cleanName(name)
	if _, _, err := in.store.Bullpen(ctx, bullpenID); err != nil {
		return film, false, err
	}
	if err := in.checkRoom(name, max(size, 0)); err != nil {
		return film, false, err
	}
	desk, err := in.blobs.TempDir()
	if err != nil {
		return film, false, err
	}
	defer disk.RemoveAll(desk)
	path := filepath.Join(desk, "original")
	bytes, sum, err := in.write(ctx, path, name, size, r)
	if err != nil {
		return film, false, err
	}
	return in.own(ctx, bullpenID, name, path, bytes, sum)
}

// Take takes a film in that has arrived whole, as the file at path on the same
// disk; name is what the phone called it. The file itself stays, the caller's to
// remove, and takes no room twice. Like Receive otherwise.
func (in *Intake) Take(ctx context.Context, bullpenID, name, path string) (film store.Film, there bool, err error) {
	name = cleanName(name)
	if _, _, err := in.store.Bullpen(ctx, bullpenID); err != nil {
		return film, false, err
	}
	desk, err := in.blobs.TempDir()
	if err != nil {
		return film, false, err
	}
	defer disk.RemoveAll(desk)
	linked := filepath.Join(desk, "original")
	if err := os.Link(path, linked); err != nil {
		return film, false, in.full(name, err)
	}
	bytes, sum, err := in.digest(ctx, linked)
	if err != nil {
		return film, false, err
	}
	return in.own(ctx, bullpenID, name, linked, bytes, sum)
}

// digest returns a file's length and its SHA-256 in hex.
func (in *Intake) digest(ctx context.Context, path string) (int64, string, error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, "", err
	}
	defer f.Close()
	sum := sha256.New()
	n, err := in.lane.Copy(ctx, sum, f)
	return n, hex.EncodeToString(sum.Sum(nil)), err
}

// SumObject reads a film through that has arrived as an object of so many bytes in the bucket
// that the files lie in, and returns its SHA-256 in hex.
func (in *Intake) SumObject(ctx context.Context, object string, size int64) (string, error) {
	f, err := in.blobs.OpenObject(ctx, object, size)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := in.lane.Copy(ctx, sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// TakeObject is Take for such an object, whose SHA-256 SumObject found: the storage copies it.
func (in *Intake) TakeObject(ctx context.Context, bullpenID, name, object string, size int64, sum string) (film store.Film, there bool, err error) {
	name = cleanName(name)
	if _, _, err := in.store.Bullpen(ctx, bullpenID); err != nil {
		return film, false, err
	}
	return in.ownBy(ctx, bullpenID, name, size, sum, func(key string) error {
		_, err := in.blobs.TakeObject(ctx, object, key, size)
		return err
	})
}

// own gives a file on a desk its key and stores its row and the job that reads it.
func (in *Intake) own(ctx context.Context, bullpenID, name, path string, bytes int64, sum string) (film store.Film, there bool, err error) {
	return in.ownBy(ctx, bullpenID, name, bytes, sum, func(key string) error {
		_, err := in.blobs.Adopt(ctx, key, path, sum)
		return err
	})
}

// ownBy is own for what keep puts under a key.
func (in *Intake) ownBy(ctx context.Context, bullpenID, name string, bytes int64, sum string, keep func(key string) error) (film store.Film, there bool, err error) {
	id := store.NewFilmID()
	key := "films/" + id + "/original"
	if err := in.store.Expect(ctx, key); err != nil {
		return film, false, err
	}
	kept := false
	defer func() {
		if !kept {
			in.discard(ctx, []store.File{{Key: key}})
		}
	}()
	if err := keep(key); err != nil {
		return film, false, err
	}
	film = store.Film{
		Film: bullpen.Film{ID: id, BullpenID: bullpenID, Name: name, SHA256: sum, Bytes: bytes, State: bullpen.FilmReading},
		Made: store.FilmFiles{Original: key},
	}
	// What has arrived is kept even if the sender has just gone away.
	film, there, err = in.store.AddFilm(context.WithoutCancel(ctx), film, store.NewJob{Kind: OpenKind})
	kept = err == nil && !there
	return film, there, err
}

// write streams the film into a new file at path and returns its length and its
// SHA-256 in hex.
func (in *Intake) write(ctx context.Context, path, name string, size int64, r io.Reader) (int64, string, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return 0, "", in.full(name, err)
	}
	sum := sha256.New()
	n, err := in.stream(ctx, f, sum, name, r)
	if err := errors.Join(err, f.Close()); err != nil {
		return 0, "", in.full(name, err)
	}
	switch {
	case n == 0:
		return 0, "", bullpen.Errorf(bullpen.Invalid, "“%s” is empty: the phone wrote no film into it. Export it from the phone anew, and send that.", name)
	case size >= 0 && n != size:
		return 0, "", bullpen.Errorf(bullpen.Invalid, "“%s” is cut off: %s of %s arrived. Send it again.", name, megabytes(n), megabytes(size))
	}
	return n, hex.EncodeToString(sum.Sum(nil)), nil
}

// lookEvery is after how many bytes the room on the disk is looked at again.
const lookEvery = 64 << 20

// stream copies r, hashing it, as long as there is room for it.
func (in *Intake) stream(ctx context.Context, f io.Writer, sum hash.Hash, name string, r io.Reader) (total int64, err error) {
	to := in.lane.Writer(ctx, io.MultiWriter(sum, f))
	buffer := make([]byte, throttle.Piece)
	unchecked := 0
	for {
		if err := ctx.Err(); err != nil {
			return total, err
		}
		n, readErr := r.Read(buffer)
		if n > 0 {
			total += int64(n)
			if total > in.options.MaxBytes {
				return total, in.tooLarge(name)
			}
			if _, err := to.Write(buffer[:n]); err != nil {
				return total, err
			}
			if unchecked += n; unchecked >= lookEvery {
				unchecked = 0
				if err := in.checkRoom(name, 0); err != nil {
					return total, err
				}
			}
		}
		if errors.Is(readErr, io.EOF) {
			return total, nil
		}
		if readErr != nil {
			return total, lost(name, readErr)
		}
	}
}

// lost is the error of a sender that went away.
func lost(name string, err error) error {
	return &bullpen.Error{Code: bullpen.Invalid, Message: "“" + name + "” did not arrive: the connection was lost. Send it again.", Err: err}
}

// cleanName makes a file's name fit to be shown: its last part, without what can't
// be seen, and not too long.
func cleanName(name string) string {
	name = strings.ToValidUTF8(name, "")
	if i := strings.LastIndexAny(name, `/\`); i >= 0 {
		name = name[i+1:]
	}
	name = strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, name))
	if runes := []rune(name); len(runes) > 120 {
		name = string(runes[:80]) + "…" + string(runes[len(runes)-39:])
	}
	if name == "" || name == "." || name == ".." {
		return "film"
	}
	return name
}
