package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/server"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/web"
)

// doctor says whether this machine can do the job and what to install, and whether
// the data folder is whole. It ends with 3 when something has to be installed.
func doctor(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	at := placeFlags(flags)
	asJSON := flags.Bool("json", false, "as JSON, for scripts")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	tools, err := server.Tools(ctx)
	if err != nil {
		return err
	}
	report := wire.Doctor{OK: tools.OK, Checks: append(tools.Checks, pageCheck())}
	data, err := dataChecks(ctx, *at)
	if err != nil {
		return err
	}
	report.Checks = append(report.Checks, data...)
	var ill int
	for _, c := range report.Checks {
		if !c.OK {
			report.OK = false
			ill++
		}
	}
	if *asJSON {
		err = json.NewEncoder(io.out).Encode(report)
	} else {
		err = printChecks(io, report.Checks)
	}
	switch {
	case err != nil || report.OK:
		return err
	case !tools.OK:
		return installError{"something has to be installed first; see above"}
	}
	return bullpen.Errorf(bullpen.Unavailable, "%d of %d things are not all right; see above.", ill, len(report.Checks))
}

func printChecks(io streams, checks []wire.Check) error {
	for _, c := range checks {
		mark := "ok "
		if !c.OK {
			mark = "NOT"
		}
		if _, err := fmt.Fprintf(io.out, "%s  %-20s %s\n", mark, c.Name, c.Found); err != nil {
			return err
		}
		if c.Todo != "" {
			if _, err := fmt.Fprintf(io.out, "     %s\n", c.Todo); err != nil {
				return err
			}
		}
	}
	return nil
}

func pageCheck() wire.Check {
	if web.Built() {
		return wire.Check{Name: "page", OK: true, Found: "built in"}
	}
	return wire.Check{Name: "page", Found: "not built in", Todo: "Run `go run ./cmd/dev build`; the command line works without."}
}

func dataChecks(ctx context.Context, at place) ([]wire.Check, error) {
	if at.rows != "" {
		return academyChecks(ctx, at)
	}
	dir := at.dir
	if err := rowsFor(ctx, dir); err != nil {
		return []wire.Check{{Name: "data folder", Found: dir, Todo: sentenceOf(err)}}, nil
	}
	if _, err := os.Stat(filepath.Join(dir, store.Database)); err != nil {
		return []wire.Check{{Name: "data folder", OK: true, Found: "nothing in " + dir + " yet"}}, nil
	}
	d, err := openData(ctx, dir, existing)
	if err != nil {
		return []wire.Check{{Name: "data folder", Found: dir, Todo: sentenceOf(err)}}, nil
	}
	return filesChecks(ctx, d)
}

// academyChecks looks at rows that several machines share, and at their files.
func academyChecks(ctx context.Context, at place) ([]wire.Check, error) {
	if err := at.check(); err != nil {
		return nil, err
	}
	facts, err := store.InspectPostgres(ctx, at.rows)
	if err != nil {
		return append([]wire.Check{{Name: "PostgreSQL", Found: "no answer", Todo: sentenceOf(err)}}, bucketChecks(ctx, at)...), nil
	}
	checks := append(rowsChecks(facts), bucketChecks(ctx, at)...)
	switch { // opening it would bring it up to date
	case facts.Schema == 0:
		return append(checks, wire.Check{Name: "rows", OK: true, Found: "nothing in this database yet"}), nil
	case facts.Schema < facts.Newest:
		return append(checks, wire.Check{Name: "rows", Found: "of an older tenoff", Todo: "Start `tenoff serve` once: it brings the database up to date. Stop the machines with an older tenoff first, and make a backup."}), nil
	case facts.Schema > facts.Newest:
		return append(checks, wire.Check{Name: "rows", Found: "of a newer tenoff", Todo: "Use that one on this machine too."}), nil
	}
	d, err := at.open(ctx, existing)
	if err != nil {
		return append(checks, wire.Check{Name: "films", Found: at.String(), Todo: sentenceOf(err)}), nil
	}
	files, err := filesChecks(ctx, d)
	return append(checks, files...), err
}

// rowsChecks are of the server that an academy's rows lie in.
func rowsChecks(facts store.PostgresFacts) []wire.Check {
	room := wire.Check{Name: "PostgreSQL", OK: facts.Programs >= 2, Found: fmt.Sprintf("%s, schema %d, room for %d machines", facts.Version, facts.Schema, facts.Programs)}
	if !room.OK {
		room.Todo = "Raise max_connections: each machine takes up to 12."
	}
	able := wire.Check{Name: "rows can be kept", OK: len(facts.Lacks) == 0, Found: "written, taken back, and heard of", Todo: strings.Join(facts.Lacks, " ")}
	if !able.OK {
		able.Found = "something is missing"
	}
	return []wire.Check{room, able, clockCheck("database's clock", facts.Ahead)}
}

// bucketChecks are of the bucket that an academy's films lie in, if they do.
func bucketChecks(ctx context.Context, at place) []wire.Check {
	if at.files == "" {
		return nil
	}
	address, err := blob.ParseAddress(at.files)
	if err != nil {
		return []wire.Check{{Name: "bucket", Todo: sentenceOf(err)}}
	}
	bucket := wire.Check{Name: "bucket", OK: true, Found: "written, read in part and deleted, in " + address.String()}
	ahead, err := blob.Examine(ctx, address)
	if err != nil {
		bucket.OK, bucket.Found, bucket.Todo = false, address.String(), sentenceOf(err)
		return []wire.Check{bucket}
	}
	if address.Plain() {
		bucket.OK, bucket.Todo = false, "The way to it is not encrypted, and films of children go over it: use an endpoint with https://."
	}
	return []wire.Check{bucket, clockCheck("bucket's clock", ahead)}
}

// apart is how far two clocks may be apart without a word. Nothing of ours hangs on it: what
// runs out does so by the database's clock. An S3 refuses requests from 15 minutes on (Amazon
// S3 API Reference, "RequestTimeTooSkewed").
const apart = 30 * time.Second

func clockCheck(name string, ahead time.Duration) wire.Check {
	c := wire.Check{Name: name, OK: ahead.Abs() <= apart, Found: fmt.Sprintf("%.0f s ahead of this machine's", ahead.Seconds())}
	if ahead < 0 {
		c.Found = fmt.Sprintf("%.0f s behind this machine's", -ahead.Seconds())
	}
	if !c.OK {
		c.Todo = "Have both clocks set by the network (NTP): the times in logs don't fit, and a bucket refuses what is sent when it is 15 minutes."
	}
	return c
}

// filesChecks looks at the files of open data, and closes it.
func filesChecks(ctx context.Context, d *data) ([]wire.Check, error) {
	uploads, err := d.uploads(nil, nil)
	if err != nil {
		return nil, errors.Join(err, d.Close())
	}
	checks, err := server.Data(ctx, d.store, d.blobs, uploads)
	return checks, errors.Join(err, d.Close())
}

// needFFmpeg fails with what to install when ffmpeg can't do the job.
func needFFmpeg(ctx context.Context) error {
	box, err := film.Tools(ctx)
	if err != nil {
		return err
	}
	if len(box.Lacks) > 0 {
		return installError{box.Lacks[0]}
	}
	return nil
}

func today() string { return time.Now().Format(time.DateOnly) }
