package main

import (
	"context"
	"flag"
	"fmt"

	"tenoff/internal/backup"
)

// backUp copies a data folder, also while a server works on it.
func backUp(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	data := dataFlag(flags)
	rest, err := parse(flags, args, 1)
	if err != nil {
		return err
	}
	d, err := openData(ctx, *data, existing)
	if err != nil {
		return err
	}
	defer d.Close()
	done, err := backup.Make(ctx, d.store, d.blobs, rest[0])
	if err != nil {
		return err
	}
	if _, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are in %s\n", done.Files, done.Bytes>>20, rest[0]); err != nil || done.Spoilt == 0 {
		return err
	}
	_, err = fmt.Fprintf(io.out, "%s made from films are not what they were; the films themselves are whole\n", counted(done.Spoilt, "file"))
	return err
}

// restore brings a backup back onto a data folder that is empty or not there.
func restore(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	data := dataFlag(flags)
	rest, err := parse(flags, args, 1)
	if err != nil {
		return err
	}
	held, err := hold(*data)
	if err != nil {
		return err
	}
	defer held.Close()
	done, err := backup.Restore(ctx, rest[0], *data)
	if err != nil {
		return err
	}
	if _, err = fmt.Fprintf(io.out, "the database and %d files (%d MB) are back in %s\n", done.Files, done.Bytes>>20, *data); err != nil {
		return err
	}
	if done.Spoilt > 0 {
		if _, err := fmt.Fprintf(io.out, "%s made from films are not what they were: the films are whole, and what was made from them is made again when tenoff runs; only a clip that went with an answer stays as it is\n", counted(done.Spoilt, "file")); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(io.out, "links that were open then, and are closed now: %d; instructors who were signed in, and have to sign in again: %d\n", done.Links, done.Sessions)
	return err
}
